"""The session file being written: each entry is on the disk before anyone is told that it is logged."""

from __future__ import annotations

import base64
import contextlib
import hashlib
import os
import re
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from stepper.record.chain import genesis, hash_in, seal
from stepper.record.clock import Clock, Moment
from stepper.record.frames import Frames
from stepper.record.members import (
    OPEN,
    Entry,
    UnfitError,
    cap,
    decode_again,
    encode,
    enveloped,
    opening,
    shape_fault,
)
from stepper.record.problems import Damage, Damaged, NotSaved, Retired
from stepper.record.register import Register
from stepper.record.standing import Standing
from stepper.record.system import Os, make_folder, make_private, open_new, open_there, sync_folder, take, write_again
from stepper.record.verify import FILE_CAP, SUFFIX, Take, Verified, contents, judge, leave, session_id

# at least eight signs, because some short names are devices on some systems
_SID = re.compile(r"[a-z0-9][a-z0-9_-]{7,63}(\.[1-9][0-9]{0,3})?")

RECOVERED = "recovered"
"""The kind of the entry that keeps an unfinished line: the byte it was `at`, its `bytes`, its `sha256` and `base64`."""

_KEPT = 45_000
"""Bytes of an unfinished line that its `recovered` entry holds; in base64 they fit a line."""


@dataclass(frozen=True)
class Opened:
    """A session to go on with: its entries, and a sentence if its last one was not finished."""

    journal: Journal
    entries: Sequence[Entry]
    recovered: str | None


class Journal:
    """One open session file, locked until `close`. Made by `create` or `resume`; for one thread at a time.

    `head` is the hash of the last entry on the disk, `count` the number of entries. `before` is how many entries
    of other files come before those of this one, whose first does not count among them: it only goes on from there.
    """

    def __init__(self, handle: int, path: Path, clock: Clock, system: Os) -> None:
        self.path = path
        self.sid = path.stem
        self.head = genesis(self.sid)
        self.count = 0
        self.before = 0
        self._last = b"{}"
        self._handle = handle
        self._standing = Standing(handle, path, system)
        self._clock = clock
        self._system = system
        self._size = 0
        self._retired = ""
        self._interrupted = f"Saving to session {self.sid} was interrupted: close it and resume it."
        self._frames = Frames()

    @classmethod
    def create(
        cls,
        folder: Path,
        clock: Clock,
        body: Mapping[str, object],
        by: int | None,
        *,
        sid: str | None = None,
        system: Os | None = None,
    ) -> Journal:
        """Begin a session with its entry 0, in a private folder that is made if need be.

        `sid` is a random UUID unless given. Raises any `RecordError` but `Damaged`, and leaves no file then.
        """
        sid = str(uuid.uuid4()) if sid is None else sid
        if not _SID.fullmatch(sid):
            raise NotSaved(f"{sid!a:.100} cannot name a session: 8 to 64 of a-z, 0-9, - and _ can, and .2 after them.")
        system = system or Os()
        make_folder(folder, system)
        path = folder / f"{sid}{SUFFIX}"
        journal = cls(open_new(path), path, clock, system)
        try:
            journal._begin(body, by)
        except BaseException:
            if journal.in_place:  # another program may have put what it made in that place
                with contextlib.suppress(OSError):
                    path.unlink()
            journal.close()
            raise
        return journal

    @classmethod
    def resume(
        cls, path: Path, clock: Clock, *, system: Os | None = None, each: Take = leave, known: Register | None = None
    ) -> Opened:
        """Open a session to go on with it; a last entry that was not finished is kept in a `recovered` entry.

        Each entry that stands in the file is handed to `each` as it is verified; `known` is its folder's register.

        Raises `Unreadable`, `Busy`, `Damaged` (the file is left as it is), `NotSaved` or `Retired`.
        """
        sid = session_id(path)
        journal = cls(open_there(path), path, clock, system or Os())
        try:
            take(journal._handle, path)
            data = contents(journal._handle, path)
            found = judge(data, sid, each)
            damage = found.damage or _against(known, found)
            if damage:
                raise Damaged(damage, found.entries, found.head)
            make_private(journal._handle, path)
            return journal._go_on(found, data[: found.size])
        except BaseException:
            journal.close()
            raise

    def append(self, kind: str, body: Mapping[str, object], by: int | None) -> Entry:
        """Write one entry and bring it to the disk; returns it as it stands there, number, time and hash included.

        Raises `NotSaved` (nothing has changed, key it again) or `Retired` (nothing more can be written here).
        """
        self._look_alive()
        self._put(self._with_every_look(kind, self._clock.now(), by, body))
        return self.last

    def append_typed(self, kind: str, body: Mapping[str, object], by: int | None, now: Moment) -> None:
        """Do the same with an entry of this moment that the caller has read by its own types before.

        What they take is plain JSON, and is not read back before it is written.
        """
        self._look_alive()
        line = self._frames.line(self.count, kind, now, by, body)
        if line is None:
            line = self._with_every_look(kind, now, by, body)
            if self.count:  # only line 0 may be of its kind
                self._frames.learn(kind, now, by)
        self._put(line)

    @property
    def last(self) -> Entry:
        """The last entry on the disk."""
        return decode_again(self._last)

    @property
    def in_place(self) -> bool:
        """Whether the open file still is the one of that name."""
        try:
            return self._handle >= 0 and os.path.samestat(os.fstat(self._handle), self.path.lstat())
        except OSError:
            return False

    def close(self) -> None:
        """Close the file and give up the lock; doing it again does nothing."""
        if self._handle >= 0:
            self._standing.close()
            os.close(self._handle)
        self._handle = -1
        self._retired = f"Session {self.sid} was closed: resume it to write."

    def _begin(self, body: Mapping[str, object], by: int | None) -> None:
        take(self._handle, self.path)
        make_private(self._handle, self.path)
        try:
            members = opening(self.sid, body)
        except UnfitError as fault:
            raise NotSaved(f"The session was not begun: its first entry {fault}.") from None
        self.append(OPEN, members, by)
        self._settle()

    def _go_on(self, found: Verified, good: bytes) -> Opened:
        self.head, self.count, self._size = found.head, len(found.entries), found.size
        self._last = good[good.rindex(b"\n", 0, -1) + 1 :] if len(found.entries) > 1 else good
        self._settle(good)  # the program before may have been killed before its sync, or have seen it fail
        if not found.unfinished:
            return Opened(self, found.entries, None)
        kept = self._recover(found.unfinished)
        sentence = f"The last entry was cut off while it was being saved; its bytes are kept in entry {kept['seq']}."
        return Opened(self, [*found.entries, kept], sentence)

    def _settle(self, found: bytes = b"") -> None:
        """Bring to the disk what was found, and the file's name in its folder."""
        try:
            if found:
                write_again(self._handle, self.path, found, self._system)
            self._system.fdatasync(self._handle)
            sync_folder(self.path.parent, self._system)
        except OSError as error:
            raise self._retire(f"the disk reported an error ({error.strerror})") from None

    def _recover(self, raw: bytes) -> Entry:
        """Put an unfinished line out of the way and log what it was."""
        body = {
            "at": self._size,
            "bytes": len(raw),
            "sha256": hashlib.sha256(raw).hexdigest(),
            "base64": base64.b64encode(raw[:_KEPT]).decode(),
        }
        try:
            self._system.ftruncate(self._handle, self._size)
        except OSError as error:
            raise NotSaved(f"The unfinished end of session {self.sid} cannot be cut off: {error.strerror}.") from None
        try:
            return self.append(RECOVERED, body, None)
        except NotSaved:
            with contextlib.suppress(OSError):  # no room for the entry, but there was room for these
                self._system.write(self._handle, raw)
            raise

    def _look_alive(self) -> None:
        if self._retired:
            raise Retired(self._retired)

    def _with_every_look(self, kind: str, now: Moment, by: int | None, body: Mapping[str, object]) -> bytes:
        """Return the line of the next entry, without its hash, or raise what is wrong with it."""
        try:
            line, entry = encode(enveloped(self.count, kind, now, by, body))
            wrong = shape_fault({**entry, "hash": ""}, self.count)
        except UnfitError as fault:
            wrong = str(fault)
        if wrong:
            raise _unfit(wrong)
        return line

    def _put(self, open_line: bytes) -> None:
        """Write the line of the next entry with its hash, and bring it to the disk."""
        line = seal(open_line, self.head) + b"\n"
        size = self._size + len(line)
        if len(line) > cap(self.count):
            raise _unfit(f"takes {len(line)} bytes, and {cap(self.count)} are allowed")
        if size > FILE_CAP:
            raise _unfit(f"no longer fits, {FILE_CAP} bytes are the most of a session; go on in a new one")
        # until it is known how this ends, nothing may follow it: an interrupt could come at any point from here on
        self._retired = self._interrupted
        self._write(line)
        self._sync(size)
        self.head, self._last, self._size = hash_in(line[:-1]), line, size
        self.count += 1
        self._retired = ""

    def _write(self, line: bytes) -> None:
        try:
            taken = self._system.write(self._handle, line)
            why = "" if taken == len(line) else f"the disk took {taken} of {len(line)} bytes"
        except OSError as error:
            why = str(error.strerror)
        if not why:
            return
        try:
            self._system.ftruncate(self._handle, self._size)
        except OSError as error:
            raise self._retire(f"{why}, and that part could not be taken back ({error.strerror})") from None
        self._retired = ""
        raise NotSaved(f"Nothing was saved: {why}. What was logged before is kept; mend the cause and key it again.")

    def _sync(self, size: int) -> None:
        try:
            self._system.fdatasync(self._handle)
            if self._standing.holds(size):
                return
        except OSError as error:
            # never tried again: after a failed sync the system may call pages clean that never reached the disk
            raise self._retire(f"the disk reported an error ({error.strerror})") from None
        raise self._retire("another program removed, moved, linked or changed the file")

    def _retire(self, why: str) -> Retired:
        self._retired = (
            f"Session {self.sid} cannot be written any more: {why}. Whether the last entry is kept is not known."
        )
        return Retired(self._retired)


def _unfit(why: str) -> NotSaved:
    return NotSaved(f"Nothing was saved: the entry {why}.")


def _against(known: Register | None, found: Verified) -> Damage | None:
    """Tell what a whole file lacks of what was registered of it: it is as little to be written to as a damaged one."""
    sentence = known.complaint(found) if known is not None else ""
    return Damage(len(found.entries), found.size, sentence) if sentence else None
