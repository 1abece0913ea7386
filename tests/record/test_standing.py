"""The open file is looked at by its name only when the system told of a change, and every change is told of."""

from __future__ import annotations

import os
import subprocess
import sys
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


def _open() -> set[str]:
    """The handles that this process has open."""
    return {one.name for one in Path("/proc/self/fd").iterdir()}


class Unwatched(Watched):
    """Watches nothing."""

    def watch(self, handle: int, path: Path) -> Watch | None:  # noqa: ARG002
        return None


@pytest.mark.parametrize(("system", "looks"), [(Watched(), 1), (Unwatched(), 21)])
def test_a_file_that_nothing_befell_is_looked_at_once_and_without_a_watch_each_time(
    tmp_path: Path, system: Watched, looks: int
) -> None:
    journal = begin(tmp_path / "sessions", system=system)
    for number in range(20):
        put(journal, {"number": number})
    assert system.looks == looks
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


def test_from_the_first_event_on_it_is_looked_at_each_time(tmp_path: Path) -> None:
    """What was watched may no longer be what its name leads by."""
    system = Watched()
    journal = begin(tmp_path / "sessions", system=system)
    put(journal, {"number": 0})
    handles = len(_open())
    journal.path.chmod(0o640)
    for number in range(3):
        put(journal, {"number": number})
    assert (system.looks, len(system.watches), len(_open())) == (4, 1, handles - 2)
    journal.path.unlink()
    with pytest.raises(Retired):
        put(journal, {})
    journal.close()


def _lead_elsewhere(path: Path) -> Callable[[], None]:
    """Move the folder and leave a link in its place; the link is led to a copy later."""
    folder = path.parent
    folder.rename(folder.with_name("moved"))
    folder.symlink_to(folder.with_name("moved"))

    def later() -> None:
        copy = folder.with_name("copy")
        copy.mkdir()
        (copy / path.name).write_bytes(path.read_bytes())
        folder.unlink()
        folder.symlink_to(copy)

    return later


def _make_the_folder_anew(path: Path) -> Callable[[], None]:
    """Make its folder anew and move the file in; the new folder is moved later."""
    folder = path.parent
    folder.rename(folder.with_name("before"))
    folder.mkdir()
    (folder.with_name("before") / path.name).rename(path)
    return lambda: folder.rename(folder.with_name("moved")) and None


@pytest.mark.parametrize("way", [_lead_elsewhere, _make_the_folder_anew])
def test_what_came_into_the_place_of_a_folder_is_looked_through_too(
    tmp_path: Path, way: Callable[[Path], Callable[[], None]]
) -> None:
    journal = begin(tmp_path / "sessions", system=Watched())
    later = way(journal.path)
    put(journal, {"number": 1})
    later()
    with pytest.raises(Retired, match="removed, moved, linked or changed"):
        put(journal, {"number": 2})
    journal.close()


@pytest.mark.skipif(os.geteuid() != 0, reason="only root may mount")
def test_a_mount_over_a_folder_on_the_way_is_noticed(tmp_path: Path) -> None:
    journal = begin(tmp_path / "data" / "sessions", system=Watched())
    put(journal, {"number": 1})
    mounted = subprocess.run(["mount", "-t", "tmpfs", "none", str(tmp_path / "data")], check=False, capture_output=True)
    if mounted.returncode:
        pytest.skip("nothing may be mounted here")
    try:
        with pytest.raises(Retired, match="removed, moved, linked or changed"):
            put(journal, {"number": 2})
        journal.close()
    finally:
        subprocess.run(["umount", str(tmp_path / "data")], check=True)


@pytest.mark.parametrize("lacking", ["ctypes", "inotify"])
def test_without_the_means_to_watch_it_is_looked_at_each_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lacking: str
) -> None:
    monkeypatch.setattr(os, "major", lambda _: 254)
    if lacking == "ctypes":
        monkeypatch.setitem(sys.modules, "ctypes", None)
    else:
        monkeypatch.setattr("ctypes.CDLL", lambda *_, **__: object())
    before = len(_open())
    journal = begin(tmp_path.resolve() / "sessions")
    put(journal, {"number": 1})
    assert len(_open()) == before + 1
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


def test_closing_gives_the_watch_back(tmp_path: Path) -> None:
    open_before = _open()
    journal = begin(tmp_path / "sessions", system=Watched())
    assert len(_open()) == len(open_before) + 3
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


def test_resumed_it_is_watched_anew(tmp_path: Path) -> None:
    begin(tmp_path / "sessions").close()
    (path,) = (tmp_path / "sessions").glob("*.jsonl")
    system = Watched()
    opened = Journal.resume(path, begin(tmp_path / "other")._clock, system=system)
    put(opened.journal, {})
    put(opened.journal, {})
    assert (system.looks, len(system.watches)) == (1, 1)
    opened.journal.close()
