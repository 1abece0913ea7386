"""The register of a folder's session files: how many entries each had when it was last left, and the hash of its last.

A session alone cannot tell that its last entries are gone, or that the whole file is. The register can: a file has to
pass through what was registered of it. It is a chain of its own, one line for each time a session was opened or left,
and so closed, voided or signed; whoever changes both it and a session is not seen by either, so a copy of it belongs
elsewhere. After a crash it does not know what was keyed since the session was opened. Noting that now and then would
make it many times as long, and it is read whole at each start; and whoever can cut the one file can cut the other.
"""

from __future__ import annotations

import errno
import fcntl
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from stepper.record.chain import check, genesis, seal
from stepper.record.members import UnfitError, decode, encode
from stepper.record.system import Os, sync_folder
from stepper.record.verify import SUFFIX, Verified

NAME = "register"
_START = genesis(NAME)
_MOST = 64 * 1024 * 1024


@dataclass(frozen=True)
class Registered:
    """What was last registered of a session."""

    entries: int
    head: str


@dataclass(frozen=True)
class Register:
    """What a folder's register says, as far as it holds; `fault` is a sentence where it does not."""

    sessions: Mapping[str, Registered]
    fault: str = ""

    def complaint(self, found: Verified) -> str:
        """Say what a session file lacks of what was registered of it; nothing where it has all of it."""
        known = self.sessions.get(found.sid)
        if known is None or found.damage is not None:
            return ""
        have = len(found.entries)
        if have < known.entries:
            return f"Session {found.sid} was shortened: {known.entries} entries were registered, {have} are there."
        if found.entries[known.entries - 1]["hash"] != known.head:
            return f"Session {found.sid} is not the file that was registered: entry {known.entries - 1} is another one."
        return ""

    def missing(self, folder: Path) -> list[str]:
        """Name the sessions that were registered and have no file any more."""
        return sorted(sid for sid in self.sessions if not (folder / f"{sid}{SUFFIX}").exists())


def read_register(folder: Path) -> Register:
    """Read the register of a folder; one that is not there knows no session."""
    try:
        with (folder / NAME).open("rb") as file:
            data = file.read(_MOST)
    except FileNotFoundError:
        return Register({})
    except OSError as error:
        return Register({}, f"The register of files cannot be read: {error.strerror}.")
    sessions: dict[str, Registered] = {}
    for number, (line, follows) in enumerate(_lines(data)):
        told = _told(line) if follows is not None else None
        if told is None:
            return Register(sessions, f"The register of files is damaged from line {number + 1} on.")
        sessions[told[0]] = told[1]
    return Register(sessions)


def _told(line: bytes) -> tuple[str, Registered] | None:
    try:
        sid, entries, head = (decode(line).get(name) for name in ("sid", "entries", "head"))
    except UnfitError:
        return None
    if isinstance(sid, str) and isinstance(entries, int) and isinstance(head, str) and entries > 0:
        return sid, Registered(entries, head)
    return None


def register(folder: Path, sid: str, entries: int, head: str, system: Os | None = None) -> None:
    """Note how far a session has come. Raises OSError; the session itself is none the worse for it.

    A last line that a power cut spoilt is cut off; what is damaged otherwise is not written to again.
    """
    system = system or Os()
    handle = os.open(folder / NAME, os.O_RDWR | os.O_CREAT | os.O_APPEND | os.O_NOFOLLOW | os.O_CLOEXEC, 0o600)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        previous, good = _START, 0
        data = os.pread(handle, _MOST, 0)
        if len(data) == _MOST:  # what comes after was not read, and an end that looks cut off is none
            raise OSError(errno.EFBIG, os.strerror(errno.EFBIG))
        for line, follows in _lines(data):
            if follows is None:
                if b"\n" in data[good:-1]:
                    raise OSError(errno.EIO, "it is damaged")
                system.ftruncate(handle, good)
                break
            previous, good = follows, good + len(line) + 1
        content, _ = encode({"v": 1, "sid": sid, "entries": entries, "head": head})
        line = seal(content, previous) + b"\n"
        if system.write(handle, line) != len(line):
            system.ftruncate(handle, good)
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        system.fdatasync(handle)
        if not data:
            sync_folder(folder, system)
    finally:
        os.close(handle)


def _lines(data: bytes) -> Iterator[tuple[bytes, str | None]]:
    """Give each line with its hash; with None the first that does not hold, which is the last to be given."""
    previous, begin = _START, 0
    while begin < len(data):
        end = data.find(b"\n", begin)
        line = data[begin : end if end >= 0 else len(data)]
        follows = check(line, previous) if end >= 0 else None
        yield line, follows
        if follows is None:
            return
        previous, begin = follows, end + 1
