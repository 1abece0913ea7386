"""The open file is looked at by its name only when the system told of a change, and every change is told of."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from stepper.record import watch as watching
from stepper.record.journal import Journal
from stepper.record.problems import Retired
from stepper.record.system import Os
from stepper.record.verify import read
from stepper.record.watch import Watch, watch
from tests.record.sessions import begin, put


class Watched(Os):
    """Watches wherever it can, also on a file system that no disk stands behind, and counts the looks by name."""

    def __init__(self) -> None:
        self.looks = 0
        self.watches: list[Watch] = []

    def watch(self, handle: int, path: Path) -> Watch | None:  # noqa: ARG002
        self.watches.append(Watch(path))
        return self.watches[-1]

    def lstat(self, path: str) -> os.stat_result:
        self.looks += 1
        return super().lstat(path)


def test_a_file_that_nothing_befell_is_looked_at_once(tmp_path: Path) -> None:
    system = Watched()
    journal = begin(tmp_path / "sessions", system=system)
    for number in range(20):
        put(journal, {"number": number})
    assert system.looks == 1
    journal.close()
    assert len(read(journal.path).entries) == 21


def _move(path: Path) -> None:
    path.rename(path.with_name("moved away"))


def _remove(path: Path) -> None:
    path.unlink()


def _link(path: Path) -> None:
    path.with_name("second name").hardlink_to(path)


def _put_a_copy(path: Path) -> None:
    copy = path.with_name("copy")
    copy.write_bytes(path.read_bytes())
    copy.replace(path)


def _move_the_folder(path: Path) -> None:
    path.parent.rename(path.parent.with_name("moved away"))


def _move_a_folder_above(path: Path) -> None:
    above = path.parent.parent
    above.rename(above.with_name("moved away"))


def _move_it_and_put_a_copy_there(path: Path) -> None:
    data = path.read_bytes()
    _move_a_folder_above(path)
    path.parent.mkdir(parents=True)
    path.write_bytes(data)


def _add(path: Path) -> None:
    with path.open("ab") as file:
        file.write(b"x")


def _cut(path: Path) -> None:
    os.truncate(path, 10)


WAYS = (
    _move,
    _remove,
    _link,
    _put_a_copy,
    _move_the_folder,
    _move_a_folder_above,
    _move_it_and_put_a_copy_there,
    _add,
    _cut,
)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("entries", [0, 3])
def test_what_befalls_the_file_is_noticed_by_the_next_entry(
    tmp_path: Path, way: Callable[[Path], None], entries: int
) -> None:
    system = Watched()
    journal = begin(tmp_path / "data" / "sessions", system=system)
    for number in range(entries):
        put(journal, {"number": number})
    way(journal.path)
    with pytest.raises(Retired, match="removed, moved, linked or changed"):
        put(journal, {})
    journal.close()


@pytest.mark.parametrize("way", WAYS)
def test_also_what_befalls_it_while_the_disk_is_waited_for(tmp_path: Path, way: Callable[[Path], None]) -> None:
    class Waiting(Watched):
        path: Path | None = None

        def fdatasync(self, handle: int) -> None:
            super().fdatasync(handle)
            if self.path is not None:
                way(self.path)

    system = Waiting()
    journal = begin(tmp_path / "data" / "sessions", system=system)
    put(journal, {"number": 1})
    system.path = journal.path
    with pytest.raises(Retired, match="removed, moved, linked or changed"):
        put(journal, {})
    journal.close()


def test_what_did_no_harm_is_looked_at_once_and_forgotten(tmp_path: Path) -> None:
    system = Watched()
    journal = begin(tmp_path / "sessions", system=system)
    for number in range(300):  # more events than are taken off the queue in one go
        away = journal.path.with_name(f"moved away {number}")
        journal.path.rename(away)
        away.rename(journal.path)
    journal.path.chmod(0o640)
    for number in range(20):
        put(journal, {"number": number})
    settled = system.looks
    assert settled > 1
    put(journal, {"number": 20})
    assert system.looks == settled
    journal.path.unlink()
    with pytest.raises(Retired):
        put(journal, {})
    journal.close()


def test_other_files_and_folders_are_none_of_its_business(tmp_path: Path) -> None:
    system = Watched()
    journal = begin(tmp_path / "sessions", system=system)
    other = journal.path.with_name("register")
    other.write_bytes(b"x")
    other.rename(other.with_name("other"))
    (tmp_path / "beside").mkdir()
    put(journal, {})
    assert system.looks == 1
    journal.close()


def _open() -> set[str]:
    """The handles that this process has open."""
    return {one.name for one in Path("/proc/self/fd").iterdir()}


def test_closing_gives_the_watch_back(tmp_path: Path) -> None:
    open_before = _open()
    journal = begin(tmp_path / "sessions", system=Watched())
    assert len(_open()) == len(open_before) + 2
    journal.close()
    journal.close()
    assert len(_open()) == len(open_before)


def test_where_it_cannot_be_told_of_everything_nothing_is_watched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path.resolve() / "file"
    path.write_bytes(b"x")
    handle = os.open(path, os.O_RDONLY)
    monkeypatch.setattr(os, "major", lambda _: 254)
    first = watch(handle, path)
    assert first is not None
    first.close()
    (tmp_path / "by a link").symlink_to(path.parent)
    assert watch(handle, tmp_path / "by a link" / "file") is None
    assert watch(handle, path.with_name("not there")) is None
    with monkeypatch.context() as elsewhere:
        elsewhere.setattr(watching.sys, "platform", "darwin")
        assert watch(handle, path) is None
    monkeypatch.setattr(os, "major", lambda _: 0)
    assert watch(handle, path) is None
    os.close(handle)


def test_without_a_watch_it_is_looked_at_each_time(tmp_path: Path) -> None:
    class Unwatched(Watched):
        def watch(self, handle: int, path: Path) -> Watch | None:  # noqa: ARG002
            return None

    system = Unwatched()
    journal = begin(tmp_path / "sessions", system=system)
    for number in range(5):
        put(journal, {"number": number})
    assert system.looks == 6
    journal.close()


def test_resumed_it_is_watched_anew(tmp_path: Path) -> None:
    begin(tmp_path / "sessions").close()
    (path,) = (tmp_path / "sessions").glob("*.jsonl")
    system = Watched()
    opened = Journal.resume(path, begin(tmp_path / "other")._clock, system=system)
    put(opened.journal, {})
    put(opened.journal, {})
    assert (system.looks, len(system.watches)) == (1, 1)
    opened.journal.close()
