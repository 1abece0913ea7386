"""Files that are written whole or not at all, under faults of the disk; and what stands in their way."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

import pytest

from stepper.record.problems import NotSaved, Unreadable
from stepper.record.system import Os
from stepper.record.whole import add_line, read_private, read_whole, replace_whole, write_new
from tests.record.test_faults import BROKEN, FULL, Faulty

DATA = bytes(range(256)) * 9000  # more than one write takes


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_it_is_there_whole_synced_and_private(tmp_path: Path) -> None:
    system, path = Faulty(), tmp_path / "new"
    before = os.umask(0)
    try:
        write_new(path, DATA, system)
    finally:
        os.umask(before)
    assert path.read_bytes() == DATA
    assert mode(path) == 0o600
    assert path.stat().st_nlink == 1
    assert names(tmp_path) == ["new"]
    assert [call for call in system.calls if call != "write"] == ["fdatasync", "fsync"]
    assert system.calls[-2:] == ["fdatasync", "fsync"]


def test_it_has_no_name_before_its_bytes_are_on_the_disk(tmp_path: Path) -> None:
    seen = []

    class Watching(Os):
        def fdatasync(self, handle: int) -> None:
            seen.append((tmp_path / "new").exists())
            super().fdatasync(handle)

        def fsync(self, handle: int) -> None:
            seen.append(names(tmp_path))
            super().fsync(handle)

    write_new(tmp_path / "new", DATA, Watching())
    assert seen == [False, ["new"]]  # and no second name when the folder is synced


def test_short_writes_go_on(tmp_path: Path) -> None:
    system = Faulty()
    system.plan = {"write": (50, 7)}
    write_new(tmp_path / "new", DATA, system)
    assert (tmp_path / "new").read_bytes() == DATA


@pytest.mark.parametrize("call", ["write", "fdatasync", "fsync"])
@pytest.mark.parametrize("fault", [FULL, BROKEN, KeyboardInterrupt()])
def test_where_it_fails_nothing_is_left_behind(tmp_path: Path, call: str, fault: BaseException) -> None:
    system = Faulty()
    system.plan = {call: (1, fault)}
    with pytest.raises((NotSaved, KeyboardInterrupt)) as raised:
        write_new(tmp_path / "new", DATA, system)
    if isinstance(fault, OSError):
        assert str(raised.value) == f"{tmp_path / 'new'} was not written: {fault.strerror}."
        assert names(tmp_path) == []
    else:  # it stopped after the name was given: then it is whole
        assert names(tmp_path) == (["new"] if call == "fsync" else [])


@pytest.mark.parametrize("links", [True, False])
def test_what_is_there_is_never_written_over(tmp_path: Path, links: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    (tmp_path / "file").write_bytes(b"mine")
    (tmp_path / "nowhere").symlink_to("no such file")
    (tmp_path / "folder").mkdir()
    for name in ("file", "nowhere", "folder"):
        with pytest.raises(NotSaved, match="is there already and is not written over"):
            write_new(tmp_path / name, DATA, Os())
    assert (tmp_path / "file").read_bytes() == b"mine"
    assert names(tmp_path) == ["file", "folder", "nowhere"]


def no_links(*_: object) -> None:
    raise OSError(errno.EPERM, "Operation not permitted")


def test_where_a_file_cannot_have_two_names_it_is_renamed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on the file systems of most sticks (FAT; common practice, no source): link() says EPERM there."""
    monkeypatch.setattr(os, "link", no_links)
    write_new(tmp_path / "new", DATA, Os())
    assert (tmp_path / "new").read_bytes() == DATA
    assert names(tmp_path) == ["new"]


def test_no_such_folder(tmp_path: Path) -> None:
    with pytest.raises(NotSaved, match="was not written: No such file or directory"):
        write_new(tmp_path / "no" / "new", DATA, Os())


def test_lines_are_added_to_a_private_file(tmp_path: Path) -> None:
    path = tmp_path / "lines"
    add_line(path, "one", Os())
    assert mode(path) == 0o600
    path.write_bytes(b"one\n# remark without an end")
    path.chmod(0o666)
    add_line(path, "two", Os())
    assert path.read_bytes() == b"one\n# remark without an end\ntwo\n"
    assert mode(path) == 0o600


@pytest.mark.parametrize("plan", [{"write": (1, FULL)}, {"fdatasync": (1, BROKEN)}, {"fsync": (1, BROKEN)}])
def test_a_line_that_fails_is_taken_back(tmp_path: Path, plan: dict[str, tuple[int, int | BaseException]]) -> None:
    path, system = tmp_path / "lines", Faulty()
    add_line(path, "one", system)
    system.plan = plan
    with pytest.raises(NotSaved, match="was not written"):
        add_line(path, "two", system)
    assert path.read_bytes() == b"one\n"


def test_a_line_goes_through_no_link_and_into_no_pipe(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"mine\n")
    (tmp_path / "link").symlink_to(tmp_path / "file")
    os.mkfifo(tmp_path / "pipe")
    for name, why in (("link", "was not written"), ("pipe", "it is not a regular file")):
        with pytest.raises(NotSaved, match=why):
            add_line(tmp_path / name, "two", Os())
        with pytest.raises(Unreadable, match="cannot be read"):
            read_private(tmp_path / name, 99)
    assert (tmp_path / "file").read_bytes() == b"mine\n"


def test_reading_has_a_limit_and_mends_what_is_private(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"x" * 2048)
    path.chmod(0o644)
    assert read_whole(path, 2048) == b"x" * 2048
    assert mode(path) == 0o644
    assert read_private(path, 2048) == b"x" * 2048
    assert mode(path) == 0o600
    with pytest.raises(Unreadable, match="too large: the most is 1 KB"):
        read_whole(path, 1024)
    with pytest.raises(Unreadable, match="not a regular file"):
        read_whole(tmp_path, 1024)
    with pytest.raises(Unreadable, match="No such file"):
        read_whole(tmp_path / "no", 1024)


def test_a_file_is_replaced_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "file"
    replace_whole(path, b"one", Os())
    (tmp_path / ".file.new").write_bytes(b"left behind by a crash")
    replace_whole(path, b"two", Os())
    assert (path.read_bytes(), path.stat().st_mode & 0o777) == (b"two", 0o600)

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    for call in ("write", "fdatasync"):
        with monkeypatch.context() as patched:
            patched.setattr(Os, call, full)
            with pytest.raises(OSError, match="No space left"):
                replace_whole(path, b"three", Os())
        assert [one.name for one in tmp_path.iterdir()] == ["file"]
        assert path.read_bytes() == b"two"
