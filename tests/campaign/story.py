"""The life of one session on such a disk, and what was promised of it."""

from __future__ import annotations

import contextlib
import random
from collections.abc import Callable, Sequence
from pathlib import Path

from stepper.record.journal import Journal, Opened
from stepper.record.members import Entry
from stepper.record.problems import Damaged, NotSaved, RecordError, Retired, Unreadable
from stepper.record.system import Os
from stepper.record.verify import Verified, judge, read
from tests.campaign.disk import Killed
from tests.record.sessions import SID, clock, put

RECOVERED = "recovered"
_SIZES = (0, 5, 60, 150, 300, 700, 2_000)
_LONG = (9_000, 30_000, 60_000)


def body_of(number: int, dice: random.Random) -> dict[str, object]:
    """A body that tells its number, of some length; one in twenty is long."""
    size = dice.choice(_LONG) if dice.random() < 0.05 else dice.choice(_SIZES)
    return {"number": number, "text": "ä" * (size // 4) + "x" * (size // 2)}


class Story:
    """A session that is begun, written and resumed, through whatever happens.

    `promised` are the entries that were acknowledged, `kept` the bytes that they take. `pending` is the number of the
    body that is being written, which may be there or not. `broken` collects what was not as promised.
    """

    def __init__(self, folder: Path, system: Os) -> None:
        self.folder = folder
        self.system = system
        self.path = folder / f"{SID}.jsonl"
        self.promised: list[Entry] = []
        self.kept = b""
        self.pending: int | None = None
        self.recovering = False
        self.broken: list[str] = []
        self._journal: Journal | None = None

    @property
    def open(self) -> bool:
        """Whether a program has the session."""
        return self._journal is not None

    def begin(self) -> str:
        """Begin the session; gives how that came out."""
        self.pending = 0
        return self._try(self._begin)

    def append(self, body: dict[str, object]) -> str:
        """Write an entry; gives how that came out."""
        self.pending = int(str(body["number"]))
        return self._try(lambda: self._append(body))

    def resume(self) -> str:
        """Open the session again; gives how that came out."""
        self.recovering = True
        try:
            return self._try(self._resume)
        finally:
            self.recovering = False

    def leave(self) -> None:
        """End the program, whatever it was doing."""
        if self._journal is not None:
            self._journal.close()
        self._journal = None

    def _begin(self) -> None:
        self._journal = Journal.create(self.folder, clock(), {"number": 0}, 1, sid=SID, system=self.system)
        self._acknowledge([self._journal.last])

    def _append(self, body: dict[str, object]) -> None:
        if self._journal is None:
            raise AssertionError("the session is not open")
        before = len(self.promised)
        entry = put(self._journal, body)
        if entry["number"] != body["number"] or entry["seq"] != before:
            self.broken.append(f"entry {before} was acknowledged as {entry['seq']}")
        self._acknowledge([entry])

    def _resume(self) -> None:
        opened = Journal.resume(self.path, clock(), system=self.system)
        self._journal = opened.journal
        self._shown(opened)

    def _shown(self, opened: Opened) -> None:
        """What a program shows of a session that it opened is as good as acknowledged."""
        before = len(self.promised)
        wrong = strange(opened.entries[before:], self.pending)
        if list(opened.entries[:before]) != self.promised:
            wrong = f"{before} were acknowledged, and they are not all there"
        if wrong:
            self.broken.append(f"resumed: {wrong}")
        self.promised = list(opened.entries)
        self._acknowledge([])

    def _acknowledge(self, more: Sequence[Entry]) -> None:
        self.promised += more
        self.pending = None
        self.kept = self.path.read_bytes() if self.path.exists() else b""

    def _write_again(self) -> None:
        """A handle that is said to be dead is dead."""
        if self._journal is None:
            return
        before = self.path.read_bytes() if self.path.exists() else b""
        with contextlib.suppress(RecordError, Killed):
            put(self._journal, {"number": -2})
        if self.path.exists() and self.path.read_bytes() != before:
            self.broken.append("a handle that was said to be dead wrote again")

    def _try(self, act: Callable[[], None]) -> str:
        try:
            act()
        except NotSaved:
            self.pending = None
            if not self.recovering and self.path.exists() and self.path.read_bytes() != self.kept:
                self.broken.append("nothing was saved, it was said, and the file is not as it was")
            return "not saved"
        except (Retired, Unreadable, Damaged) as problem:
            self._write_again()
            self.leave()
            return type(problem).__name__.lower()
        except Killed:
            self.leave()
            return "killed"
        return "done"


def strange(more: Sequence[Entry], pending: int | None) -> str:
    """What is wrong with entries behind those acknowledged: one that was being written may be there, and a rescue."""
    facts = [entry for entry in more if entry["kind"] != RECOVERED]
    if len(facts) > 1 or len(more) - len(facts) > 1:
        return f"{len(more)} entries that nobody was told of"
    if facts and facts[0].get("number") != pending:
        return f"an entry that nobody was writing, number {facts[0].get('number')}"
    return ""


def judged(data: bytes | None, story: Story) -> tuple[str, str]:
    """How bytes that a power cut left come out, and what they violate."""
    promised = len(story.promised)
    if data is None:
        return "no file", f"{promised} acknowledged, and the file's name is gone" if promised else ""
    try:
        found = judge(data, SID)
    except Unreadable:
        return "not begun", f"{promised} acknowledged, and it is no session" if promised else ""
    if not data.startswith(story.kept) or found.size < len(story.kept):
        return "lost", f"{promised} acknowledged, {len(found.entries)} there, {said(found)}"
    wrong = strange(found.entries[promised:], story.pending)
    if wrong and story.recovering and len(found.entries) == promised + 1:
        wrong = strange(found.entries[promised:], None)
    if not found.unfinished and found.damage is None and found.size != len(data):
        wrong = "it is called whole, and there is more in it"
    tail = data[found.size :]
    if found.damage is not None and b"\n" not in tail[:-1] and promised:
        wrong = f"an unfinished end is called damage: {found.damage.sentence}"
    return said(found), wrong


def said(found: Verified) -> str:
    """How a session reads, in a word or two."""
    if found.damage is not None:
        return "called damaged at its end"
    return "unfinished" if found.unfinished else "whole"


def resumable(data: bytes, folder: Path, without: Callable[[Os], Os]) -> str:
    """Go on with what a power cut left, as a person would; what is wrong then, or nothing."""
    path = folder / f"{SID}.jsonl"
    path.write_bytes(data)
    try:
        before = judge(data, SID)
        opened = Journal.resume(path, clock(), system=without(Os()))
    except Damaged:
        return "" if path.read_bytes() == data else "a damaged file was written to"
    except RecordError as problem:
        return "" if path.read_bytes() == data else f"changed, and then refused: {problem}"
    entries = [*opened.entries]
    entries.append(put(opened.journal, {"number": -1}))
    opened.journal.close()
    after = read(path)
    whole = after.damage is None and not after.unfinished and list(after.entries) == entries
    number = len(before.entries)
    if entries[:number] != list(before.entries) or not whole:
        return "gone on with, and it does not read as it was written"
    if before.unfinished and entries[number].get("bytes") != len(before.unfinished):
        return "an unfinished end was not kept"
    path.unlink()
    return ""
