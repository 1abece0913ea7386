"""Coming back after a pause: the next answer says where one was, and which canal it is for is asked once."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from stepper.facts.entries import Answer
from stepper.facts.values import Instrument
from tests.drive import STEP_S, Chair
from tests.session.stations import seated


def shaping(folder: Path) -> Chair:
    chair = seated(folder, "both measured")
    chair.key("10/", "1*")
    assert chair.session.view().prompt.canal == "B"
    return chair


def files(chair: Chair) -> list[tuple[int, int]]:
    """The canal and size of every file that was logged."""
    answers = [one for one in chair.case.entries if isinstance(one, Answer)]
    found = [(one.canal, value) for one in answers for value in one.values.values()]
    return [(canal, value.size) for canal, value in found if isinstance(value, Instrument)]


def test_after_two_minutes_the_canal_is_asked_before_anything_is_logged(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    logged = len(chair.case.entries)
    view = chair.key("AWAY 2", "20/4-0")
    assert view.prompt.title == "Which canal"
    assert "After 2 min: which canal is 20/4-0 for? You were at 10 Shaping, 1 B." in view.prompt.question
    assert [(one.number, one.text) for one in view.prompt.choices] == [("1", "B"), ("2", "P")]
    assert not view.prompt.offer
    assert len(chair.case.entries) == logged


@pytest.mark.parametrize("canal", [1, 2])
def test_the_line_is_taken_for_the_canal_that_is_named(tmp_path: Path, canal: int) -> None:
    chair = shaping(tmp_path)
    view = chair.key("AWAY 5", "20/4-0", str(canal))
    assert files(chair)[-1] == (canal, 20)
    assert view.prompt.canal == {1: "B", 2: "P"}[canal]
    chair.key("25/4-0")
    assert files(chair)[-1] == (canal, 25), "it is asked once"


def test_enter_alone_never_names_the_canal_and_none_is_logged_for_a_wrong_number(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    for line in ("", "3", "25/4-0", "word", "-/"):
        view = chair.key(*(("AWAY 2", "20/4-0") if line == "" else ()), line)
        assert view.prompt.title == "Which canal"
    assert files(chair) == []
    assert "20/4-0 is not logged yet" in view.saying
    chair.key("2")
    assert files(chair) == [(2, 20)]


def test_none_forgets_the_line(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    view = chair.key("AWAY 2", "20/4-0", "0")
    assert files(chair) == []
    assert view.saying == "Forgotten; nothing was logged."


@pytest.mark.parametrize("line", ["12*20/4-0", "2*20/4-0", "0*20/4-0"])
def test_a_line_that_names_its_canals_is_taken_at_once(tmp_path: Path, line: str) -> None:
    chair = shaping(tmp_path)
    view = chair.key("AWAY 30", line)
    assert files(chair)
    assert view.saying.startswith("After 30 min, at 10 Shaping, 1 B.")


def test_just_below_two_minutes_nothing_is_asked(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    chair.clock.advance(119 - STEP_S)
    chair.key("20/4-0")
    assert files(chair) == [(1, 20)]


def test_at_two_minutes_it_is(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    chair.clock.advance(120 - STEP_S)
    assert chair.key("20/4-0").prompt.title == "Which canal"


def test_looking_about_counts_as_being_there(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    chair.key("AWAY 2", "++", "20/4-0")
    assert files(chair) == [(1, 20)]


def test_a_lone_canal_is_not_asked_for_but_said(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    view = chair.key("AWAY 4", "25/4-0")
    assert files(chair)[-1] == (1, 25)
    assert view.saying.startswith("After 4 min, at 10 Shaping, 1 ")


def test_a_canal_that_has_ended_needs_no_question(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    chair.key("17/", "2*4", "10/", "1*")
    chair.key("AWAY 3", "20/4-0")
    assert files(chair) == [(1, 20)]


def test_what_the_tooth_is_asked_needs_no_canal(tmp_path: Path) -> None:
    chair = seated(tmp_path, "both measured")
    view = chair.key("4/", "AWAY 3", "22**1**1**1")
    assert view.prompt.title == "4 Anaesthesia"
    assert view.saying.startswith("After 3 min, at 4 Anaesthesia.")


def test_after_the_plug_was_pulled_the_canal_is_asked_too_and_the_line_is_offered_again(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    chair.key("AWAY 2", "20/4-0")
    chair.lobby.leave()
    again = Chair(tmp_path, start=chair.clock.now().wall)
    again.key("AWAY 5", "11")
    assert again.lobby.pending == "20/4-0"
    view = again.key("20/4-0")
    assert view.prompt.title == "Which canal"
    again.key("2")
    assert files(again) == [(2, 20)]


def test_a_length_for_the_wrong_canal_is_not_kept(tmp_path: Path) -> None:
    chair = seated(tmp_path, "two canals")
    chair.key("12*22", "1*")
    chair.key("AWAY 6", "19**19**19**2**1", "2")
    lengths = {number: canal.length.mm if canal.length else None for number, canal in chair.case.told.canals.items()}
    assert lengths == {1: None, 2: Decimal(19)}


def test_a_blind_answer_is_not_repeated_while_the_canal_is_asked(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    chair.key("12*20/4-0", "12*25/4-0", "", "12*25/4", "13/", "12*1**11")
    view = chair.key("AWAY 3", "25/4")
    assert view.prompt.title == "Which canal"
    assert "25/4" not in view.prompt.question


def test_the_line_to_be_typed_asks_for_the_canal_as_soon_as_two_minutes_are_over(tmp_path: Path) -> None:
    chair = shaping(tmp_path)
    chair.clock.advance(119)
    assert not chair.session.clocks().away
    assert chair.session.view().armed == ""
    chair.clock.advance(1)
    assert chair.session.clocks().away
    assert chair.session.view().armed == "canal first, as 2*"
    chair.key("2*20/4-0")
    assert not chair.session.clocks().away
    assert files(chair)[-1] == (2, 20)


def test_a_lone_canal_is_never_asked_for(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    chair.clock.advance(600)
    assert not chair.session.clocks().away
    assert chair.session.view().armed == ""
