"""Power cuts and failing calls while a session goes on in a new file, as the chair and the commands let it go on.

At every call both files are looked at: the old one is as it was, byte for byte, and nothing that was acknowledged in
the new one is lost. Then it is opened again: it goes on in the new file, or that is made anew and what was left of it
is kept.
"""

from __future__ import annotations

import errno
import random
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from functools import cache
from itertools import count
from pathlib import Path
from unittest.mock import patch

from stepper.case.state import Case
from stepper.protocol.load import load_text
from stepper.record import continuing, journal, register
from stepper.record.clock import Clock
from stepper.record.continuing import cut_off_path, next_path
from stepper.record.journal import Journal
from stepper.record.keys import new_key
from stepper.record.members import Entry
from stepper.record.problems import Damaged, RecordError, Unreadable
from stepper.record.system import Os
from stepper.record.verify import judge, read
from stepper.session import typed_entries
from stepper.session.addendum import open_addendum
from stepper.session.signing import sign_session
from stepper.session.store import go_on, put_away, read_case, resume, successor
from tests.campaign.changes import SAMPLES
from tests.campaign.disk import Disk, Fault
from tests.campaign.power import CALLS, error
from tests.campaign.tally import Tally, Trial, scratch
from tests.record.sessions import clock

KINDS = ("damaged", "given up", "signed")
"""Why a session goes on in a new file."""

IMAGES = 6
REOPENED_IN = 20
"""One image in so many is opened again."""

_SAMPLE = SAMPLES / "plain-single-canal.jsonl"
_WORDS = "an invented passphrase"
_LOADED = cache(load_text)
Opened = tuple[Journal, Case, str]


@dataclass
class Going:
    """A session that goes on: its old file and what must stay of it, and what was acknowledged in the new one."""

    kind: str
    old: Path
    kept: bytes
    promised: list[Entry] = field(default_factory=list)
    new_kept: bytes = b""

    @property
    def new(self) -> Path:
        """The file in which it goes on."""
        return next_path(self.old)

    def acknowledged(self, journal: Journal) -> None:
        """Somebody was told of the last entry of the new file."""
        self.promised.append(journal.last)
        self.new_kept = self.new.read_bytes()


@cache
def _old(kind: str) -> bytes:
    """An old file of a kind, which is made once: it goes on from there in many rounds."""
    data = _SAMPLE.read_bytes()
    if kind != "signed":
        rows = data.split(b"\n")[:30]
        if kind == "damaged":
            rows[20] = rows[20].replace(b'"seq":', b'"sEq":')
        return b"\n".join(rows) + b"\n"
    with scratch() as place:
        path = place / _SAMPLE.name
        path.write_bytes(data)
        key = new_key(place, 1, "Invented Person", "IP", _WORDS, "2026-03-02")
        sign_session(path, clock(), place, key, _WORDS)
        return path.read_bytes()


@contextmanager
def _on(system: Os) -> Iterator[None]:
    """Let the record do its calls on this system, whoever opens a file; a protocol is read once, to save time."""
    with ExitStack() as stack:
        for module in (journal, continuing, register):
            stack.enter_context(patch.object(module, "Os", lambda: system))
        stack.enter_context(patch.object(typed_entries, "load_text", _LOADED))
        yield


def _opened_again(kind: str, old: Path, at: Clock) -> Opened:
    """Open it as its user would, who chooses the old file where no new one can be opened."""
    if kind == "signed":
        return open_addendum(old, at, 1)
    if not continuing.is_begun(next_path(old)):
        return _of_old(kind, old, at)
    try:
        return resume(next_path(old), at)
    except Damaged:  # it says so, and goes on in a third file if its user wants that
        return go_on(next_path(old), at)


def _of_old(kind: str, old: Path, at: Clock) -> Opened:
    return go_on(old, at) if kind == "damaged" else resume(old, at)


def going_on_cuts(trial: Trial) -> Tally:
    """Cut the power at every call of going on and of the first entries after that."""
    tally = Tally("images of power cuts while going on in a new file")
    for number in range(trial.rounds):
        dice = random.Random(f"{trial.seed} {number}")
        with scratch() as place:
            going, disk = _prepared(place / "disk", KINDS[number % len(KINDS)], dice)
            if number // len(KINDS) % 2:
                _left_before(going, disk, dice)
            (place / "copy").mkdir()
            disk.at = _cut(tally, going, disk, place / "copy")
            with _on(trial.without(disk)):
                _life(going, disk)
    return tally


def _prepared(root: Path, kind: str, dice: random.Random) -> tuple[Going, Disk]:
    (root / "sessions").mkdir(parents=True)
    path = root / "sessions" / _SAMPLE.name
    path.write_bytes(_old(kind))
    found = read(path)
    register.register(path.parent, found.sid, len(found.entries), found.head)
    disk = Disk(root, dice)
    disk.adopt(path)
    disk.adopt(path.parent / register.NAME)
    return Going(kind, path, _old(kind)), disk


def _left_before(going: Going, disk: Disk, dice: random.Random) -> None:
    """Leave what a power cut may have left of a first try."""
    header = _old("given up").split(b"\n")[0] + b"\n"
    left = dice.choice((b"", bytes(len(header)), header[: dice.randrange(len(header))], dice.randbytes(700)))
    going.new.write_bytes(left)
    disk.adopt(going.new)


def _life(going: Going, disk: Disk) -> str:
    """Go on in a new file, write into it, leave; gives how that came out."""
    opened: Journal | None = None
    try:
        opened = _gone_on(going, disk)
        going.acknowledged(opened)
        for _ in range(2):
            opened.append("resume", {"app": "1"}, None)
            going.acknowledged(opened)
    except RecordError as problem:
        return type(problem).__name__.lower()
    finally:
        if opened is not None:
            put_away(opened)
    return "done"


def _gone_on(going: Going, disk: Disk) -> Journal:
    at = clock()
    if going.kind != "given up":
        return _opened_again(going.kind, going.old, at)[0]
    cut, planned = disk.at, disk.plan
    disk.at, disk.plan = (lambda _: None), (lambda _: None)
    opened, case, _ = resume(going.old, at)
    going.kept = going.old.read_bytes()
    disk.plan = lambda name: error(errno.EIO) if name == "fdatasync" else None
    with suppress(RecordError):
        opened.append("resume", {"app": "1"}, None)
    disk.at, disk.plan = cut, planned
    try:
        return successor(case, opened, at)
    finally:
        opened.close()


def _cut(tally: Tally, going: Going, disk: Disk, copy: Path) -> Callable[[str], None]:
    def cut(call: str) -> None:
        for _ in range(IMAGES):
            old = disk.cut(going.old)
            new = disk.cut(going.new) if going.new.exists() else None
            outcome, wrong = _judged(going, old, new)
            if not wrong and old is not None and disk.dice.randrange(REOPENED_IN) == 0:
                known = disk.cut(going.old.parent / register.NAME)
                outcome, wrong = _reopened(
                    going, copy, {going.old.name: old, going.new.name: new, register.NAME: known}
                )
            tally.one(f"{going.kind}: {outcome}", wrong and f"{going.kind}, power cut at {call}: {wrong}")

    return cut


def _judged(going: Going, old: bytes | None, new: bytes | None) -> tuple[str, str]:
    """How two files that a power cut left come out, and what they violate."""
    if old is None or (old[: len(going.kept)] if going.kind == "given up" else old) != going.kept:
        return "old file changed", "the old file is not as it was"
    promised = len(going.promised)
    try:
        found = judge(new or b"", going.new.stem)
    except Unreadable:
        return "not begun", f"{promised} acknowledged in the new file, and it is none" if promised else ""
    lost = list(found.entries[:promised]) != going.promised or not (new or b"").startswith(going.new_kept)
    begun = "begun" if found.entries else "called damaged from its first entry on"
    return begun, f"{promised} acknowledged in the new file, and they are not all there" if lost else ""


def _reopened(going: Going, copy: Path, files: dict[str, bytes | None]) -> tuple[str, str]:
    """Open what a power cut left on an ordinary disk, and write into it; gives what came of it, and what is wrong."""
    for path in copy.iterdir():
        path.unlink()
    for name, content in files.items():
        if content is not None:
            (copy / name).write_bytes(content)
    old, left = copy / going.old.name, files[going.new.name]
    new = next_path(old)
    anew = left is not None and not continuing.is_begun(new)
    with _on(Os()):
        try:
            opened, case, said = _opened_again(going.kind, old, clock())
        except RecordError as problem:
            return "refused", f"it cannot be opened again: {problem}"
        opened.append("resume", {"app": "1"}, None)
        put_away(opened)
    _, again, fault = read_case(opened.path)
    aside = cut_off_path(new)
    if again is None or len(again.entries) != len(case.entries) + 1:
        return "opened", f"it does not read as it was written: {fault}"
    where = {new: "new", next_path(new): "third", old: "old"}.get(opened.path, "none")
    if where != "old" and old.read_bytes() != files[old.name]:
        return "opened", "the old file was written to"
    if where == "none" or (where == "old" and (going.kind != "given up" or going.promised)):
        return "opened", f"it went on in {opened.path.name}"
    there = list(read(new).entries) if where != "old" else []
    if there[: len(going.promised)] != going.promised:
        return "opened", "what was acknowledged in the new file is not in it"
    if where == "new" and anew and not (aside.exists() and aside.read_bytes() == left):
        return "opened", "what was left of the first try was not kept"
    if aside.exists() and going.kind == "damaged" and aside.name not in said:
        return "opened", "nothing is said of what was left of the first try"
    return "made anew beside what was left" if aside.exists() else f"opened in the {where} file", ""


def going_on_faults(trial: Trial) -> Tally:
    """Let the Nth call of going on fail, for each N until one passes without; once, and for ever."""
    tally = Tally("times of going on with a fault")
    for kind in KINDS:
        for call in CALLS:
            for for_ever in (False, True):
                for seed in range(trial.rounds):
                    _until_it_passes(trial, tally, (kind, call, for_ever), random.Random(f"{trial.seed} {seed}"))
    return tally


def _until_it_passes(trial: Trial, tally: Tally, how: tuple[str, str, bool], dice: random.Random) -> None:
    kind, call, for_ever = how
    for nth in count(1):
        with scratch() as place:
            going, disk = _prepared(place / "disk", kind, dice)
            made = [0]

            def plan(name: str, made: list[int] = made, nth: int = nth) -> Fault | None:
                made[0] += name == call
                return error(errno.EIO) if name == call and (made[0] == nth or (for_ever and made[0] > nth)) else None

            disk.plan = plan
            with _on(trial.without(disk)):
                outcome = _life(going, disk)
            if made[0] < nth:
                return
            wrong = _after(going, disk, place / "copy", outcome)
            often = "for ever" if for_ever else "once"
            tally.one(f"{kind}: {outcome}", wrong and f"{kind}, {call} {nth} {often}: {wrong}")


def _after(going: Going, disk: Disk, copy: Path, outcome: str) -> str:
    """What is wrong once the fault is over, as programs see it and as a power cut leaves it."""
    copy.mkdir()
    new, known = going.new, going.old.parent / register.NAME
    stands = new.read_bytes() if new.exists() else None
    if not going.promised and outcome == "notsaved" and stands is not None:
        return "it was not begun, it was said, and there is a file"
    seen = {going.old.name: going.old.read_bytes(), new.name: stands, register.NAME: known.read_bytes()}
    wrong = _judged(going, going.old.read_bytes(), stands)[1] or _reopened(going, copy, seen)[1]
    left = {new.name: disk.cut(new) if new.exists() else None, register.NAME: disk.cut(known)}
    return wrong or _reopened(going, copy, {going.old.name: disk.cut(going.old), **left})[1]
