"""Slips of the keys themselves, through the real key buffer: bounces, Num Lock, lines struck too early."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest

from stepper.lines.keys import DOUBLED_ENTER_S, Entered, Ignored, KeyBuffer, MoveWish, NumLockOff, Press
from stepper.session.modes.asking import Asking
from stepper.session.modes.holding import Act, Holding
from stepper.session.modes.remarking import Stopped
from stepper.session.modes.scanned import StockNumber
from tests.drive import Chair
from tests.session.plausible import asking, mode
from tests.session.stations import OTHER, VISIT, seated
from tests.session.table import EACH_CONVERSATION
from tests.session.ways import Case
from tests.slips.lists import SCAN

KEY_S = 0.15
"""From one key to the next, of a quick hand."""

CURSOR = {
    "0": "insert", "1": "end", "2": "down", "3": "pagedown", "4": "left", "5": "\ue053", "6": "right", "7": "home",
    "8": "up", "9": "pageup", ".": "delete",
}  # fmt: skip
"""What the keypad sends in the place of its digits while Num Lock is off."""


@dataclass
class Hand:
    """A hand at the keypad of a chair: keys in order, each at its time, as the screen hands them on."""

    chair: Chair
    keys: KeyBuffer = field(default_factory=KeyBuffer)
    now: float = 10.0
    entered: list[str] = field(default_factory=list)

    def press(self, key: str, after: float = KEY_S) -> Press:
        self.now += after
        result = self.keys.press(key, key if len(key) == 1 and key.isprintable() else None, self.now)
        if isinstance(result, Entered):
            self.entered.append(result.line)
            self.chair.key(result.line)
        elif isinstance(result, MoveWish):
            self.chair.session.move(result.direction)
        return result

    def line(self, text: str, after: float = KEY_S) -> Press:
        for sign in text:
            self.press(sign, after)
        return self.press("enter", after)


def hand(folder: Path, station: str, *before: str) -> Hand:
    chair = seated(folder, station)
    chair.key(*before)
    return Hand(chair)


@pytest.mark.parametrize("station", [*VISIT, *OTHER])
def test_a_doubled_enter_takes_no_offer(tmp_path: Path, station: str) -> None:
    at = hand(tmp_path, station)
    at.line("*")
    kept, asked = at.chair.path.read_bytes(), at.chair.session.view().prompt
    assert at.press("enter", DOUBLED_ENTER_S) == Ignored()
    assert at.chair.path.read_bytes() == kept
    assert at.chair.session.view().prompt == asked


def test_an_enter_that_is_no_bounce_takes_the_offer_and_the_question_says_where_one_is(tmp_path: Path) -> None:
    at = hand(tmp_path, "shaping", "25/4-0")
    at.line("*")
    assert at.press("enter", DOUBLED_ENTER_S + 0.01) == Entered("")
    assert at.chair.session.view().prompt.question == "Master apical file declared"


@pytest.mark.parametrize("case", [pytest.param(case, id=case.mode.__name__) for case in EACH_CONVERSATION])
def test_a_doubled_enter_leaves_no_list_that_has_just_opened(tmp_path: Path, case: Case) -> None:
    chair = case.provoked(tmp_path)
    at = Hand(chair)
    at.line("zz")  # refused, or a page that is only read: what counts is the Enter after it
    opened, kept = mode(chair), chair.path.read_bytes()
    assert at.press("enter") == Ignored()
    assert mode(chair) is opened
    assert chair.path.read_bytes() == kept


def test_a_doubled_enter_at_the_fill_asks_once_more_and_no_more(tmp_path: Path) -> None:
    at = hand(tmp_path, "fill")
    at.line("1")
    assert at.press("enter", 0.1) == Ignored()
    assert type(mode(at.chair)) is Act


@pytest.mark.parametrize(
    ("station", "struck", "first", "second"),
    [
        ("length", ("22", ".5"), "Logged 22 mm", ".5: outside 5 to 40 mm"),
        ("shaping", ("25", "/4-0"), "taper and distance missing", "type size, taper and distance"),
        ("shaping", ("25/4", "-0"), "distance missing", "-0: type size, taper and distance"),
        ("shaping", ("25/4-", "0"), "distance missing", "0 opens a stock number"),
        ("cone", ("35", "/4"), "taper missing", "one line opens only what changes nothing"),
        ("set-up", ("1**12.", "2027**501"), "12.: type month and year", "2027: not a choice"),
        ("irrigation", ("1**4**", "-2**31"), "nothing stands before or after **", "-2: not a choice"),
        ("coronal seal", ("1**4**1**1**16.", "3.2026"), "16.: type day", "3.2026: not a choice"),
        ("lot", ("50", "3"), "Logged 50", "Type one of 1, 2"),
    ],
)
def test_enter_in_the_middle_of_a_line(
    tmp_path: Path, station: str, struck: tuple[str, str], first: str, second: str
) -> None:
    at = hand(tmp_path, station)
    at.line(struck[0])
    assert first in at.chair.session.view().saying
    kept = at.chair.path.read_bytes()
    at.line(struck[1])
    assert second in at.chair.session.view().saying
    assert at.chair.path.read_bytes() == kept


@pytest.mark.parametrize("digit", CURSOR)
@pytest.mark.parametrize("place", [1, 2])
def test_num_lock_off_in_the_middle_of_a_file(tmp_path: Path, digit: str, place: int) -> None:
    """What is typed already stays; the digit is missed, and the line that lacks it is not taken by one Enter."""
    at = hand(tmp_path, "shaping")
    kept = at.chair.path.read_bytes()
    for sign in "35"[:place]:
        at.press(sign)
    assert isinstance(at.press(CURSOR[digit]), NumLockOff)
    assert at.keys.line == "35"[:place]
    assert isinstance(at.press("enter"), NumLockOff)
    assert at.entered == []
    assert at.chair.path.read_bytes() == kept
    assert at.keys.line == "35"[:place]


@pytest.mark.parametrize("digit", CURSOR)
def test_num_lock_off_from_the_first_digit_logs_no_fact(tmp_path: Path, digit: str) -> None:
    at = hand(tmp_path, "both measured", "10/", "1*")
    facts = [one for one in at.chair.case.entries if one.kind == "answer"]
    result = at.press(CURSOR[digit])
    assert isinstance(result, NumLockOff | MoveWish)
    assert isinstance(at.press("enter"), NumLockOff)
    assert [one for one in at.chair.case.entries if one.kind == "answer"] == facts
    assert not isinstance(result, MoveWish) or at.chair.session.view().saying.startswith("At ")


def test_num_lock_switched_back_on_goes_on_with_the_line(tmp_path: Path) -> None:
    at = hand(tmp_path, "shaping")
    at.press("3")
    at.press("\ue053")
    at.press("num_lock")
    at.line("5/4-0")
    assert at.entered == ["35/4-0"]
    assert "35/.04 at length" in at.chair.session.view().saying


def test_the_next_line_struck_while_a_stop_opens_is_held_and_said(tmp_path: Path) -> None:
    """A cone that does not match: the answer after it follows at once. What it picks unseen holds the cone back."""
    at = hand(tmp_path, "cone")
    at.line("30/4", 0.05)
    assert type(mode(at.chair)) is Stopped
    at.line("1", 0.05)
    view = at.chair.session.view()
    assert view.saying == "Held back. Logged as held."
    assert view.covered, "the cone is read anew"
    at.line("35/4")
    assert at.chair.session.view().saying == "Logged 35/.04"
    assert asking(at.chair)


def test_the_yes_to_a_fill_struck_ahead_meets_the_gate_and_fills_nothing(tmp_path: Path) -> None:
    at = hand(tmp_path, "lot", "10/", "40/4-0", "14/", "503")
    at.line("1", 0.05)
    assert type(mode(at.chair)) is Holding
    at.line("1", 0.05)
    assert at.chair.session.view().saying == "Held back, not done: filled. Logged as held."
    assert at.chair.case.told.fact("sealing.fill", 1) is None
    assert type(mode(at.chair)) is Asking


@pytest.mark.parametrize("struck", ["0**1**1", "25/4-0", "22.5", ""])
def test_a_longer_line_struck_ahead_is_refused_by_every_stop(tmp_path: Path, struck: str) -> None:
    at = hand(tmp_path, "cone")
    at.line("30/4", 0.05)
    kept = at.chair.path.read_bytes()
    at.line(struck, 0.05)
    assert type(mode(at.chair)) is Stopped
    assert at.chair.path.read_bytes() == kept


@pytest.mark.parametrize("station", [*VISIT, *OTHER])
def test_a_scan_into_a_wrong_question(tmp_path: Path, station: str) -> None:
    """Where no scan answers, it is refused; where one does, this code names no item, and no fact is logged unsaid."""
    at = hand(tmp_path, station)
    answers = sum(one.kind == "answer" for one in at.chair.case.entries)
    at.line(SCAN, 0.01)
    assert at.entered == [SCAN]
    view = at.chair.session.view()
    if station == "lot":
        assert "L5" in view.readback
        return
    assert sum(one.kind == "answer" for one in at.chair.case.entries) == answers
    assert view.saying
    if type(mode(at.chair)) is StockNumber:
        at.line("", 1.0)
    assert asking(at.chair)


def test_a_scan_behind_typed_digits_is_not_taken(tmp_path: Path) -> None:
    at = hand(tmp_path, "lot")
    kept = at.chair.path.read_bytes()
    at.line(f"50{SCAN}", 0.01)
    assert "typed before the scan" in at.chair.session.view().saying
    assert at.chair.path.read_bytes() == kept


def test_two_scans_of_which_the_first_lost_its_enter_are_refused(tmp_path: Path) -> None:
    at = hand(tmp_path, "set-up")
    kept = at.chair.path.read_bytes()
    at.line(f"{SCAN}{SCAN}", 0.01)
    assert at.chair.session.view().saying.startswith("Scan not taken")
    assert at.chair.path.read_bytes() == kept
