"""Reading a session file: any bytes give what can be trusted of them, or one sentence why they are no session."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from stepper.record.chain import FORMAT, check, genesis, whole_line_length
from stepper.record.lines import Lines
from stepper.record.members import LINE_CAP, Entry, UnfitError, cap, decode, in_shape, shape_fault
from stepper.record.problems import Damage, Unreadable

SUFFIX = ".jsonl"
"""Ending of a session file's name; what stands before it is the session id."""

FILE_CAP = 64 * 1024 * 1024
"""Most bytes of a session file."""

_BEGINNING = re.compile(rb'\{"v":([0-9]{1,9}),')


Take = Callable[[Entry], object]
"""Takes the entries of a file in their order, as they are verified."""


def leave(entry: Entry) -> None:
    """Have no use for an entry."""


@dataclass(frozen=True)
class Verified:
    """What a session file holds.

    `entries` are the good ones from the start, `size` the bytes that they take and `head` the hash of the last. After
    them comes nothing, or `unfinished` (the bytes of one last write that was cut off), or `damage`.
    """

    sid: str
    entries: Lines
    head: str
    size: int
    unfinished: bytes = b""
    damage: Damage | None = None

    @property
    def remark(self) -> str:
        """Say that the last bytes of the file are no whole entry, where that is so."""
        if not self.unfinished:
            return ""
        return (
            f"Its last {len(self.unfinished)} bytes are an entry that was cut off while it was being saved, or changed "
            "since: they do not count."
        )


def read(path: Path, take: Take = leave) -> Verified:
    """Read and verify a session file of any mode, handing each entry over; raises `Unreadable`."""
    sid = session_id(path)
    try:
        # without O_NONBLOCK a named pipe would hold the program until someone writes into it
        handle = os.open(path, os.O_RDONLY | os.O_CLOEXEC | os.O_NONBLOCK | os.O_NOCTTY)
    except OSError as error:
        raise Unreadable(f"{path} cannot be read: {error.strerror}.") from None
    try:
        return judge(contents(handle, path), sid, take)
    finally:
        os.close(handle)


def session_id(path: Path) -> str:
    """Return the session id that a file's name tells; raises `Unreadable`."""
    if not str(path).isprintable():  # no control sequence may reach the screen, and no half character the hash
        raise Unreadable(f"{str(path)!a} is not the name of a session file: it holds unprintable characters.")
    if path.suffix != SUFFIX:
        raise Unreadable(f"{path} is not the name of a session file: such a name ends in {SUFFIX}.")
    return path.stem


def contents(handle: int, path: Path) -> bytes:
    """Return all bytes of an open session file; raises `Unreadable`. The path serves the sentences only."""
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise Unreadable(f"{path} is not a session: it is not a regular file.")
        with open(handle, "rb", closefd=False) as file:
            data = file.read(FILE_CAP + 1)
    except OSError as error:
        raise Unreadable(f"{path} cannot be read: {error.strerror}.") from None
    if len(data) > FILE_CAP:
        raise Unreadable(f"{path} is too large for a session: the most is {FILE_CAP // 1024 // 1024} MB.")
    return data


def judge(data: bytes, sid: str, take: Take = leave) -> Verified:
    """Verify the bytes of session `sid`; raises `Unreadable` if they are no session that this program can read.

    Each entry that holds is handed to `take`, so that it need not be read a second time.
    """
    _recognise(data, sid)
    entries = Lines(data)
    head, size, number, whole = genesis(sid), 0, 0, len(data)
    while size < whole:
        end = data.find(b"\n", size)
        line = data[size:end]
        follows = check(line, head) if end >= 0 else None
        if follows is None:
            return _broken(data, Verified(sid, entries, head, size))
        try:
            if end - size >= LINE_CAP and end - size >= cap(number):
                raise UnfitError(f"is longer than the {cap(number)} bytes allowed")
            entry = decode(line)
            if not in_shape(line, entry, number):
                _look_at_shape(entry, number, sid)
            entries.add(end, str(entry["kind"]))
        except UnfitError as fault:
            # its hash holds, so that it was written whole: not one that was cut off
            return _damaged(Verified(sid, entries, head, size), str(fault))
        take(entry)
        head, size, number = follows, end + 1, number + 1
    return Verified(sid, entries, head, size)


def _recognise(data: bytes, sid: str) -> None:
    beginning = _BEGINNING.match(data)
    if not data:
        raise Unreadable(f"Session {sid} is empty: it was never begun.")
    if beginning is None or beginning[1] == b"0":
        raise Unreadable(f"{sid}{SUFFIX} is not a session: it does not begin as one.")
    if int(beginning[1]) > FORMAT:
        raise Unreadable(
            f"Session {sid} is of format version {int(beginning[1])}, and this program reads up to {FORMAT}: "
            "use a newer program."
        )
    if b"\n" not in data:
        raise Unreadable(f"Session {sid} was never begun: its first entry is not finished.")


def _look_at_shape(entry: Entry, seq: int, sid: str) -> None:
    """Raise `UnfitError` where the common members of an entry are not in order."""
    fault = shape_fault(entry, seq)
    if fault is None and seq == 0 and entry["sid"] != sid:
        fault = f"opens session {entry['sid']!r:.100}"
    if fault:
        raise UnfitError(fault)


def _broken(data: bytes, good: Verified) -> Verified:
    """Tell one last write that was cut off from damage.

    A power cut can leave the last line without its newline, or with it and with anything in between. What it cannot
    leave is anything after that newline, more than one longest line, or a whole entry and more than its newline.
    """
    rest = data[good.size :]
    whole = whole_line_length(rest[:LINE_CAP], good.head)
    last_write = len(rest) <= LINE_CAP and b"\n" not in rest[:-1] and (not whole or len(rest) - whole <= 1)
    if good.entries and last_write:
        return replace(good, unfinished=rest)
    return _damaged(good, _other_session(data, good.sid) or "does not match its hash")


def _other_session(data: bytes, sid: str) -> str | None:
    """Say so if line 0 is whole but opens another session than the file's name tells."""
    line = data[: data.find(b"\n")]
    try:
        told = str(decode(line).get("sid"))
    except UnfitError:
        return None
    if told == sid or not check(line, genesis(told)):
        return None
    return (
        f"opens session {told!r:.100}, and the file is named {sid + SUFFIX!r:.100}: it was renamed or put in its place"
    )


def _damaged(good: Verified, fault: str) -> Verified:
    number = len(good.entries)
    intact = f"; the {number} before it are intact" if number > 1 else "; the one before it is intact" if number else ""
    sentence = f"Session {good.sid} is damaged: entry {number}, from byte {good.size} on, {fault}{intact}."
    return replace(good, damage=Damage(number, good.size, sentence))
