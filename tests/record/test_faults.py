"""Faults of the disk, put in below the journal: what was acknowledged stays, what was not is taken back or told."""

from __future__ import annotations

import errno
import os
import shutil
from pathlib import Path

import pytest

from stepper.record.journal import Journal
from stepper.record.problems import NotSaved, RecordError, Retired
from stepper.record.system import Os
from stepper.record.verify import read
from stepper.record.watch import Watch
from tests.record.sessions import begin, clock, logged


class Faulty(Os):
    """Fails the calls named in `plan`: the call's name, how often it still fails, and how."""

    def __init__(self) -> None:
        self.plan: dict[str, tuple[int, int | BaseException]] = {}
        self.calls: list[str] = []

    def _call(self, name: str) -> int | None:
        self.calls.append(name)
        times, how = self.plan.get(name, (0, 0))
        if not times:
            return None
        self.plan[name] = (times - 1, how)
        if isinstance(how, BaseException):
            raise how
        return how

    def write(self, handle: int, data: bytes) -> int:
        short = self._call("write")
        return os.write(handle, data if short is None else data[:short])

    def fdatasync(self, handle: int) -> None:
        self._call("fdatasync")
        os.fdatasync(handle)

    def fsync(self, handle: int) -> None:
        self._call("fsync")
        os.fsync(handle)

    def ftruncate(self, handle: int, size: int) -> None:
        self._call("ftruncate")
        os.ftruncate(handle, size)

    def lstat(self, path: str) -> os.stat_result:
        self._call("lstat")
        return os.lstat(path)

    def watch(self, handle: int, path: Path) -> Watch | None:  # noqa: ARG002 - so that it is looked at each time
        return None

    def pwrite(self, handle: int, data: bytes, offset: int) -> int:
        short = self._call("pwrite")
        return os.pwrite(handle, data if short is None else data[:short], offset)


def error(number: int) -> OSError:
    return OSError(number, os.strerror(number))


FULL, BROKEN = error(errno.ENOSPC), error(errno.EIO)


@pytest.mark.parametrize("how", [FULL, BROKEN, 0, 1, 100])
def test_a_write_that_fails_or_is_short_is_taken_back(tmp_path: Path, how: int | BaseException) -> None:
    system = Faulty()
    journal = begin(tmp_path, system=system)
    first = journal.append("fact", {"n": 1}, None)
    before = journal.path.read_bytes()
    system.plan["write"] = (3, how)
    for _ in range(3):
        with pytest.raises(NotSaved, match="Nothing was saved"):
            journal.append("fact", {"n": 2}, None)
        assert journal.path.read_bytes() == before
    second = journal.append("fact", {"n": 3}, None)
    journal.close()
    assert second["seq"] == 2
    assert read(journal.path).entries[1:] == [first, second]


@pytest.mark.parametrize("call", ["fdatasync", "lstat"])
def test_a_failed_sync_ends_the_handle_for_good(tmp_path: Path, call: str) -> None:
    system = Faulty()
    journal = begin(tmp_path, system=system)
    system.plan[call] = (1, BROKEN)
    with pytest.raises(Retired, match=r"\(Input/output error\).*is not known"):
        journal.append("fact", {"n": 1}, None)
    before, calls = journal.path.read_bytes(), list(system.calls)
    with pytest.raises(Retired):
        journal.append("fact", {"n": 2}, None)
    assert (journal.path.read_bytes(), system.calls) == (before, calls)
    journal.close()


def test_a_part_that_cannot_be_taken_back_ends_the_handle(tmp_path: Path) -> None:
    system = Faulty()
    journal = begin(tmp_path, system=system)
    system.plan = {"write": (1, 50), "ftruncate": (1, BROKEN)}
    with pytest.raises(Retired, match="could not be taken back"):
        journal.append("fact", {"n": 1}, None)
    with pytest.raises(Retired):
        journal.append("fact", {"n": 2}, None)
    journal.close()
    assert len(read(journal.path).unfinished) == 50


@pytest.mark.parametrize("call", ["write", "fdatasync"])
def test_an_interrupt_in_the_middle_ends_the_handle_and_nothing_follows(tmp_path: Path, call: str) -> None:
    system = Faulty()
    journal = begin(tmp_path, system=system)
    system.plan[call] = (1, KeyboardInterrupt())
    with pytest.raises(KeyboardInterrupt):
        journal.append("fact", {"n": 1}, None)
    with pytest.raises(Retired, match="interrupted"):
        journal.append("fact", {"n": 2}, None)
    journal.close()
    opened = Journal.resume(journal.path, clock())
    opened.journal.append("fact", {"n": 3}, None)
    opened.journal.close()
    assert read(journal.path).damage is None


def test_every_entry_is_written_once_then_synced(tmp_path: Path) -> None:
    system = Faulty()
    journal = begin(tmp_path, system=system)
    assert system.calls[-5:] == ["write", "fdatasync", "lstat", "fdatasync", "fsync"]
    system.calls.clear()
    journal.append("fact", {}, None)
    journal.close()
    assert system.calls == ["write", "fdatasync", "lstat"]


def test_the_names_of_new_folders_are_synced_too(tmp_path: Path) -> None:
    system = Faulty()
    begin(tmp_path / "data" / "sessions", system=system).close()
    assert system.calls == ["fsync", "fsync", "write", "fdatasync", "lstat", "fdatasync", "fsync"]


def test_resuming_syncs_what_it_found_before_it_is_shown(tmp_path: Path) -> None:
    path, _ = logged(tmp_path)
    system = Faulty()
    Journal.resume(path, clock(), system=system).journal.close()
    assert system.calls == ["pwrite", "fdatasync", "fsync"]


@pytest.mark.parametrize("call", ["write", "fdatasync", "fsync", "lstat"])
def test_a_session_that_was_not_begun_leaves_no_file(tmp_path: Path, call: str) -> None:
    system = Faulty()
    system.plan[call] = (9, FULL)
    with pytest.raises(RecordError):
        begin(tmp_path / "sessions", system=system)
    assert list(tmp_path.rglob("*.jsonl")) == []


@pytest.mark.parametrize("call", ["ftruncate", "write", "fdatasync", "fsync", "lstat"])
def test_a_fault_while_recovering_loses_nothing(tmp_path: Path, call: str) -> None:
    path, entries = logged(tmp_path)
    with path.open("ab") as file:
        file.write(b'{"v":1,"seq":4,"ki')
    whole = path.read_bytes()
    system = Faulty()
    system.plan[call] = (1, FULL)
    with pytest.raises(RecordError):
        Journal.resume(path, clock(), system=system)
    if call in ("ftruncate", "write"):
        assert path.read_bytes() == whole
    opened = Journal.resume(path, clock())
    opened.journal.close()
    assert opened.entries[:4] == entries
    assert opened.entries[4]["kind"] == "recovered"


def test_a_file_removed_linked_or_written_by_another_is_not_acknowledged(tmp_path: Path) -> None:
    def remove(path: Path) -> None:
        path.unlink()

    def link(path: Path) -> None:
        (path.parent / "second name").hardlink_to(path)

    def write(path: Path) -> None:
        with path.open("ab") as file:
            file.write(b"x")

    def cut(path: Path) -> None:
        os.truncate(path, 10)

    for number, meddle in enumerate((remove, link, write, cut)):
        journal = begin(tmp_path / str(number))
        meddle(journal.path)
        with pytest.raises(Retired, match="removed, moved, linked or changed"):
            journal.append("fact", {}, None)
        journal.close()


def test_a_copy_that_took_the_files_place_is_not_taken_for_it(tmp_path: Path) -> None:
    """It has one name and the right size, and what is synced is another file."""
    journal = begin(tmp_path)

    class Swapping(Faulty):
        def fdatasync(self, handle: int) -> None:
            os.fdatasync(handle)
            away = journal.path.with_name("moved-away")
            journal.path.rename(away)
            shutil.copyfile(away, journal.path)

    journal._system = Swapping()
    with pytest.raises(Retired, match="removed, moved, linked or changed"):
        journal.append("fact", {"n": 1}, None)
    journal.close()


def test_what_another_program_made_of_the_name_outlives_a_beginning_that_failed(tmp_path: Path) -> None:
    class Replaced(Faulty):
        def fdatasync(self, handle: int) -> None:
            os.fdatasync(handle)
            (path,) = tmp_path.glob("*.jsonl")
            path.rename(path.with_name("moved-away"))
            path.write_bytes(b"of another program")

    with pytest.raises(Retired):
        begin(tmp_path, system=Replaced())
    assert [path.read_bytes() for path in tmp_path.glob("*.jsonl")] == [b"of another program"]
