"""Every slip of one key in a script of a whole visit: a key dropped, doubled, or its neighbour struck instead."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from unittest.mock import patch

from stepper.facts.entries import Answer
from stepper.facts.values import Absent
from stepper.kinds.outcome import outcome_of
from stepper.note.words import canal_name, show
from stepper.session import typed_entries
from stepper.session.modes.asking import Asking
from stepper.session.modes.holding import Act
from stepper.session.modes.remarking import AskAgain, _Once
from stepper.session.view import ChairView
from tests import drive
from tests.drive import START, Chair, script
from tests.session.plausible import listed, mode
from tests.session.stations import _LOAD_FILE, _LOAD_TEXT
from tests.session.ways import UNSAID

SCRIPTS = Path(__file__).parent.parent / "scripts"
NAMES = ("plain_single.keys", "four_canals.keys")
FORM = 6
"""So many lines lead from the start screen into the session."""

KEYPAD = (" /*-", "789+", "456+", "123 ", "00. ")
"""Where the keys lie. Num Lock is at the left of `/`, Enter below `+`; neither types a sign."""

ACTS = {"close", "void", "ending"}


class Came(StrEnum):
    """What can come of a slip."""

    REFUSED = "refused in words, nothing logged"
    READ_BACK = "logged, and said with canal and value"
    RANG = "logged and said, and a rule asks about it"
    BLIND = "logged under cover: what is said of it would answer the blind question that comes next"
    COMPARED = "logged as a blind answer, and compared: it rings"
    HELD = "held before it is done, a list is open"
    OPENED = "a list was opened, nothing logged"
    MOVED = "another place, or another time, which is said or asked for"
    DECLARED = "said to be not done or owed, which is said with its canal"
    TOLD = "another thing was logged in a list, and said"


class AmissError(AssertionError):
    """A slip that is neither refused nor read back, or that does an act."""


@dataclass(frozen=True)
class OneKey:
    """A line of a script and what is struck instead of it."""

    script: str
    number: int
    meant: str
    struck: str


def neighbours(sign: str) -> str:
    """Give the keys beside a key, above and below it included."""
    cells = {(row, col): key for row, keys in enumerate(KEYPAD) for col, key in enumerate(keys) if key != " "}
    at = [cell for cell, key in cells.items() if key == sign]
    beside = {
        cells[row + down, col + right]
        for row, col in at
        for down, right in ((0, 1), (0, -1), (1, 0), (-1, 0))
        if (row + down, col + right) in cells
    }
    return "".join(sorted(beside - {sign}))


def one_key(line: str) -> Iterator[str]:
    """Give each line that comes of one key dropped, doubled, or struck beside; each once."""
    found: dict[str, None] = {}
    for place, sign in enumerate(line):
        before, after = line[:place], line[place + 1 :]
        for struck in ("", sign * 2, *neighbours(sign)):
            found[f"{before}{struck}{after}"] = None
    found.pop(line, None)
    yield from found


def slips(name: str) -> Iterator[OneKey]:
    """Give every slip of one key in a script, from the first line of the session to its last."""
    lines = script(SCRIPTS / name)
    for number, line in enumerate(lines[:-1]):
        if number >= FORM:
            yield from (OneKey(name, number, line, struck) for struck in one_key(line))


@dataclass(frozen=True)
class Kept:
    """A session as it stood before a line: its file, the time, and the lines that were keyed since."""

    name: str
    held: bytes
    wall: dt.datetime
    since: tuple[str, ...]


class Script:
    """A script, keyed once; before each of its lines a chair can be had."""

    def __init__(self, name: str, folder: Path) -> None:
        self.folder, self.lines = folder, script(SCRIPTS / name)
        self._kept: list[Kept] = []
        self._made = 0
        with read_once():
            self._key_all(Chair(folder / "whole"))

    def _key_all(self, chair: Chair) -> None:
        chair.key(*self.lines[:FORM])
        since: tuple[str, ...] = ()
        kept = (chair.path.name, chair.path.read_bytes(), chair.clock.now().wall)
        for line in self.lines[FORM:-1]:
            if chair.lobby.session is not None and type(mode(chair)) is Asking and chair.session.room.armed is None:
                kept, since = (chair.path.name, chair.path.read_bytes(), chair.clock.now().wall), ()
            self._kept.append(Kept(*kept, since))
            chair.key(line)
            since = (*since, line)

    def chair_before(self, number: int) -> Chair:
        """Give a chair as it was before a line."""
        kept = self._kept[number - FORM]
        self._made += 1
        folder = self.folder / str(self._made)
        folder.mkdir(mode=0o700)
        (folder / kept.name).write_bytes(kept.held)
        with read_once():
            chair = Chair(folder, start=kept.wall.astimezone(START.tzinfo))
            chair.key(next(one.number for one in chair.lobby.view().prompt.choices if "entries, open" in one.text))
        chair.key(*kept.since)
        return chair

    def put_away(self, chair: Chair) -> None:
        """Leave a chair; its files go."""
        chair.session.leave()
        shutil.rmtree(chair.path.parent)


@contextmanager
def read_once() -> Iterator[None]:
    """Read the protocol once for all chairs: it is always the same."""
    with patch.object(drive, "load_file", _LOAD_FILE), patch.object(typed_entries, "load_text", _LOAD_TEXT):
        yield


def strike(chair: Chair, slip: OneKey) -> Came:
    """Strike a line and say what came of it; raises AmissError where that is neither refused nor said."""
    entries, was, filled = len(chair.case.entries), mode(chair), _filled(chair)
    before, cursor, armed = chair.session.view(), chair.session.room.cursor, chair.session.room.armed
    view = chair.key(slip.struck)
    new = [one for one in chair.case.entries[entries:] if one.kind not in UNSAID]
    kinds = {str(one.kind) for one in new}
    if kinds & ACTS or chair.lobby.session is None:
        raise AmissError(f"{slip}: an act by one line: {kinds}")
    if _filled(chair) != filled and type(was) is not Act:
        raise AmissError(f"{slip}: filled by one line")
    answers = [one for one in new if isinstance(one, Answer)]
    if answers:
        return _logged(chair, slip, answers, view)
    if new:
        return _told(slip, view, kinds)
    if type(mode(chair)) is not type(was):
        return _opened(chair, slip, view)
    if chair.session.room.cursor != cursor or chair.session.room.armed != armed:
        if slip.struck and not view.saying:
            raise AmissError(f"{slip}: moved without a word")
        return Came.MOVED
    if not view.saying and view.prompt == before.prompt and view.readback == before.readback:
        raise AmissError(f"{slip}: nothing is said")
    return Came.REFUSED


def _filled(chair: Chair) -> set[int]:
    told = chair.case.told
    return {number for number in told.canals if outcome_of(told, number) == "filled"}


def _logged(chair: Chair, slip: OneKey, answers: list[Answer], view: ChairView) -> Came:
    said = f"{view.saying} {view.readback}"
    if type(mode(chair)) in (AskAgain, _Once):
        return Came.COMPARED
    unsaid = [words for one in answers for words in _words(chair, one, several=len(answers)) if words not in said]
    if unsaid and view.covered:
        return Came.BLIND
    if unsaid:
        raise AmissError(f"{slip}: {unsaid} not in {said!r}")
    return Came.READ_BACK if type(mode(chair)) is Asking else Came.RANG


def _words(chair: Chair, answer: Answer, *, several: int) -> Iterator[str]:
    """Give what has to be said of an answer: each value as it was taken, and its canal where there are several."""
    step = chair.case.protocol.by_step[answer.step]
    for name, value in answer.values.items():
        asked = step.asked(name)
        if asked is not None and (several == 1 or not asked.keep) and not (asked.act and not isinstance(value, Absent)):
            yield show(chair.case.protocol, asked, value)
    if answer.canal and len(chair.case.told.canals) > 1:
        yield canal_name(chair.case, answer.canal)


def _told(slip: OneKey, view: ChairView, kinds: set[str]) -> Came:
    if not view.saying:
        raise AmissError(f"{slip}: {kinds} logged without a word")
    return Came.DECLARED if kinds == {"step"} else Came.TOLD


def _opened(chair: Chair, slip: OneKey, view: ChairView) -> Came:
    """A list lies over the question now, or one for each canal: each is left by Enter, 0 or its number for no."""
    now, entries = mode(chair), len(chair.case.entries)
    if type(now) is Asking:
        return Came.MOVED if view.saying or not slip.struck else Came.OPENED
    for _ in range(max(len(chair.case.told.canals), 1)):
        if type(now) is Asking:
            break
        no = listed(chair)[-1:] if isinstance(now, Act) else listed(chair)[:1]
        for way in ("", "0", *no):
            if mode(chair) is now:
                chair.key(way)
        now = mode(chair)
    new = {one.kind for one in chair.case.entries[entries:]} - set(UNSAID)
    if type(now) is not Asking or not new <= {"held"}:
        raise AmissError(f"{slip}: {type(now).__name__} is not left by Enter, 0 or its number for no")
    return Came.HELD if new else Came.OPENED
