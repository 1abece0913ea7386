"""Ending a visit early: a reason and who said it, then only what makes the tooth safe, then the closing."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.facts.entries import Ending
from stepper.kinds.outcome import outcome_of
from stepper.session.modes.closing import CloseVisit
from stepper.session.modes.reasons import Reason
from tests.cases import protocol
from tests.drive import Chair
from tests.session.plausible import asking, mode, question
from tests.session.stations import seated
from tests.session.ways import kinds_since

TIME_IS_UP = next(one.text for one in protocol().reason if one.number == 6)
SAFE = {f"{step.id}.{asked.id}" for step in protocol().step for asked in step.question if asked.make_safe}


@pytest.fixture
def chair(tmp_path: Path) -> Chair:
    """One file was used in the only canal."""
    chair = seated(tmp_path, "shaping")
    chair.key("25/4-0")
    return chair


def asked_now(chair: Chair) -> str:
    """The step and the question where one is; nothing where nothing is asked."""
    now = question(chair)
    return f"{chair.session.room.cursor.step}.{now.id}" if now is not None else ""


def ending(chair: Chair) -> Ending | None:
    return chair.case.ending


@pytest.mark.parametrize("keys", [("6**1",), ("6", "1"), ("6", ""), ("2", "0", "6**1"), ("9**1", "6**1")])
def test_the_reason_and_who_said_it_in_one_line_or_in_two(chair: Chair, keys: tuple[str, ...]) -> None:
    entries = len(chair.case.entries)
    view = chair.key("/", "5", *keys)
    assert kinds_since(chair, entries) == "ending"
    logged = ending(chair)
    assert logged is not None
    assert (logged.reason, logged.said_by) == (TIME_IS_UP, 1)
    assert view.prompt.title == "15 Dressing"


@pytest.mark.parametrize("keys", [("0",), ("6", "0", "0"), ("6**9", "0", "0")])
def test_0_goes_back_and_nothing_ends(chair: Chair, keys: tuple[str, ...]) -> None:
    entries = len(chair.case.entries)
    view = chair.key("/", "5", *keys)
    assert kinds_since(chair, entries) == ""
    assert ending(chair) is None
    assert view.prompt.title == "10 Shaping"


def test_it_takes_more_than_one_line_from_the_menu(chair: Chair) -> None:
    chair.key("/", "5")
    assert type(mode(chair)) is Reason
    assert ending(chair) is None
    chair.key("")
    assert ending(chair) is None, "Enter is no reason"


def test_what_makes_safe_is_asked_in_order_and_nothing_else(chair: Chair) -> None:
    chair.key("/", "5", "6**1")
    asked = []
    for line in ("1", "1", "1", "4", "3", "1", "1", "1", "5"):
        asked.append(asked_now(chair))
        chair.key(line)
    assert asked == [
        "dressing.material",
        "dressing.pellet",
        "coronal_seal.material",
        "coronal_seal.thickness",
        "coronal_seal.restorer",
        "closing.counted",
        "closing.dam_off",
        "closing.advice",
        "closing.next_visit",
    ]
    assert set(asked) <= SAFE
    view = chair.session.view()
    assert asked_now(chair) == ""
    assert view.prompt.offer == "close the visit"


def test_in_few_lines_it_is_all_said_and_closed(chair: Chair) -> None:
    entries = len(chair.case.entries)
    view = chair.key("/", "5", "6**1", "1**1", "1**4**3", "1**1**1**5", "", "2")
    assert kinds_since(chair, entries) == "ending answer answer answer close"
    assert view.prompt.title == "Start"
    assert outcome_of(chair.case.told, 1) == "dressed"


def test_the_other_questions_of_a_step_are_not_even_offered_in_its_line(chair: Chair) -> None:
    view = chair.key("/", "5", "6**1")
    assert view.prompt.then == "** pellet"
    view = chair.key("1**1")
    assert view.prompt.then == "** thickness?, restorer"


def test_each_canal_is_dressed_or_its_outcome_is_asked(tmp_path: Path) -> None:
    chair = seated(tmp_path, "both measured")
    chair.key("10/", "25/4-0", "/", "5", "3**1")
    where = []
    for line in ("1**1", "15/--", "1**4**3", "1**1**1**5"):
        where.append((asked_now(chair), chair.session.view().prompt.canal))
        chair.key(line)
    assert where == [
        ("dressing.material", "B"),
        ("dressing.material", "P"),
        ("coronal_seal.material", ""),
        ("closing.counted", ""),
    ]
    assert (asked_now(chair), chair.session.view().prompt.canal) == ("closing.outcome", "P")
    chair.key("2")
    assert asked_now(chair) == "closing.ended_at"
    chair.key("17.5")
    assert [outcome_of(chair.case.told, number) for number in (1, 2)] == ["dressed", "blocked"]
    assert asked_now(chair) == ""


def test_a_filled_canal_is_asked_for_no_dressing(tmp_path: Path) -> None:
    chair = seated(tmp_path, "coronal seal")
    chair.key("/", "5", "6**1")
    assert asked_now(chair) == "coronal_seal.material"


def test_facts_at_other_steps_can_still_be_logged(chair: Chair) -> None:
    chair.key("/", "5", "6**1")
    entries = len(chair.case.entries)
    chair.key("10/", "30/4-0", "5/", "2", "11/", "3**2**-2**31")
    assert kinds_since(chair, entries) == "answer answer answer"
    assert [use.size for use in chair.case.told.canals[1].files][-1] == 30
    view = chair.key("")
    assert view.prompt.title == "15 Dressing", "the way leads on to what makes safe"


def test_alarms_still_ring_after_it(chair: Chair) -> None:
    view = chair.key("/", "5", "6**1", "5/", "2", "11/", "1**2**-2**31")
    assert view.prompt.title.startswith("STOP")
    assert chair.bells == 2


def test_the_closing_names_it_once_and_calls_no_step_open_that_is_not_wanted_any_more(chair: Chair) -> None:
    view = chair.key("/", "5", "6**1", "1**1", "1**4**3", "1**1**1**5", "")
    assert type(mode(chair)) is CloseVisit
    assert [line for line in view.prompt.card if "Ended early" in line] == [f"Ended early: {TIME_IS_UP}"]
    assert not [line for line in view.prompt.card if line.startswith("Open")]


def test_what_was_not_made_safe_is_named_open_at_the_closing(chair: Chair) -> None:
    view = chair.key("/", "5", "6**1", "/", "6")
    assert "Open: Dressing single canal, Coronal seal, Closing." in view.prompt.card
    assert view.prompt.question.startswith("Held back")


def test_it_is_offered_once_only(chair: Chair) -> None:
    view = chair.key("/", "5", "6**1", "/")
    assert "5" not in {one.number for one in view.prompt.choices}
    entries = len(chair.case.entries)
    chair.key("5", "0")
    assert len(chair.case.entries) == entries
    assert asking(chair)


def test_ended_while_an_act_is_held_the_act_is_not_logged(tmp_path: Path) -> None:
    chair = seated(tmp_path, "irrigation")
    chair.key("5/", "2", "", "1**4**-2**31")
    entries = len(chair.case.entries)
    view = chair.key("/", "5", "6**1")
    assert kinds_since(chair, entries) == "ending"
    assert view.prompt.title == "15 Dressing"
    assert not chair.case.told.canals[1].rinses


def test_an_ask_that_stood_open_waits_in_the_menu(tmp_path: Path) -> None:
    chair = seated(tmp_path, "labels")
    chair.key("2**1", "2", "/", "5", "6**1")
    view = chair.key("/")
    assert view.prompt.choices[0].number == "21"
    assert "not labelled" in view.prompt.choices[0].text


def test_resumed_it_goes_on_with_what_makes_safe(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    chair.key("25/4-0", "/", "5", "6**1", "1**1", "1")
    before = chair.session.view().prompt
    chair.session.leave()
    again = Chair(tmp_path)
    again.key(next(one.number for one in again.lobby.view().prompt.choices if "4711" in one.text))
    assert again.session.view().prompt == before
    assert again.case.ending is not None
