"""Closing: everything listed once, what waits answered from the list, and held back while a stop stands."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.facts.entries import Answer
from stepper.facts.values import Absent, Scan
from stepper.kinds.outcome import outcome_of
from stepper.session.modes.closing import CloseVisit, VoidVisit
from stepper.session.modes.correcting import SpokenYes
from stepper.session.modes.incident import Details
from stepper.session.modes.owing import Owed
from stepper.session.modes.remarking import Asked
from tests.cases import protocol
from tests.drive import Chair
from tests.session.plausible import asking, mode
from tests.session.stations import rest, seated
from tests.session.ways import kinds_since


def numbers(chair: Chair) -> dict[str, str]:
    """What is listed, by the number keyed for it."""
    return {one.number: one.text for one in chair.session.view().prompt.choices}


def waiting(chair: Chair) -> list[str]:
    """What waits, as it is listed."""
    return [text for number, text in numbers(chair).items() if int(number) > 10]


@pytest.fixture
def owing(tmp_path: Path) -> Chair:
    """The visit is done but for the closing; seven answers of the diagnosis are owed."""
    chair = seated(tmp_path, "diagnosis")
    chair.key("-.", "1", *["-."] * 5, "3**2", "-.", "27.2.2026**1", *rest("time-out"))
    return chair


# ---- What is said before it ---------------------------------------------------------------------


def test_a_plain_visit_says_how_each_canal_ended_and_nothing_else(tmp_path: Path) -> None:
    chair = seated(tmp_path, "closed")
    prompt = chair.key("").prompt
    assert prompt.card == ("single canal filled.",)
    assert prompt.question == "Nothing is owed. Close it?"
    assert list(numbers(chair)) == ["1", "2"]


def test_the_ends_of_all_canals_stand_in_one_line(tmp_path: Path) -> None:
    chair = seated(tmp_path, "three canals")
    prompt = chair.key("17/", "1*1", "2*2**17.5", "/", "6").prompt
    assert prompt.card[0] == "MB not treated; ML blocked; D open."


def test_open_steps_are_named_with_their_canals_and_the_rest_counted(tmp_path: Path) -> None:
    chair = seated(tmp_path, "three canals")
    prompt = chair.key("0*20", "/", "6").prompt
    (line,) = [line for line in prompt.card if line.startswith("Open: ")]
    assert line.startswith("Open: Working length MB ML D, Coronal flare MB ML D,")
    assert line.endswith(" more.")


def test_what_was_passed_keyed_late_or_held_is_counted_in_one_line(tmp_path: Path) -> None:
    chair = seated(tmp_path, "labels")
    chair.key("2**1", "1", "7**1", *rest("anaesthesia", "irrigation"))
    chair.key("1**4**-1**31", "1", *rest("irrigation", "lot"), "11/", "2--", "3**2**-2")
    prompt = chair.key("/", "6").prompt
    assert "In the note: 1 passed with a reason, 1 keyed late, 1 held." in prompt.card


# ---- What waits, answered from the list ----------------------------------------------------------


def test_owed_answers_are_listed_by_pages_and_keep_their_numbers(owing: Chair) -> None:
    prompt = owing.key("").prompt
    assert prompt.question == "Close it?"
    assert list(numbers(owing)) == ["1", "2", "21", "22", "23", "24", "25"]
    assert numbers(owing)["21"] == "owed: Diagnosis, What brings the patient"
    assert prompt.then == "+ shows 2 more that wait"
    prompt = owing.key("+").prompt
    assert list(numbers(owing)) == ["1", "2", "26", "27"]
    assert prompt.then == "+ shows 5 more that wait"
    owing.key("+")
    assert "21" in numbers(owing)


def test_owed_answers_are_given_from_the_list_one_behind_the_other(owing: Chair) -> None:
    owing.key("")
    entries = len(owing.case.entries)
    view = owing.key("21")
    assert type(mode(owing)) is Owed
    assert view.prompt.question == "What brings the patient"
    assert view.prompt.offer == "still owed"
    owing.key("2")
    assert type(mode(owing)) is CloseVisit, "back at the list"
    assert len(waiting(owing)) == 5
    for line in ("1", "2", "1", "1", "1", "1"):
        owing.key("21", line)
    assert kinds_since(owing, entries) == " ".join(["answer"] * 7)
    assert owing.session.view().prompt.question == "Nothing is owed. Close it?"
    owing.key("2")
    assert owing.case.closed


def test_a_number_of_another_page_is_taken_as_well(owing: Chair) -> None:
    view = owing.key("", "27")
    assert view.prompt.question == "Restorable"


def test_an_owed_answer_can_be_left_owed_and_the_visit_closed_with_it(owing: Chair) -> None:
    owing.key("", "21", "")
    assert type(mode(owing)) is CloseVisit
    owing.key("2")
    assert owing.case.closed
    left = [fact for row in owing.case.told.rows_of("diagnosis", 0) for fact in row.facts.values() if fact.absent]
    assert len(left) == 7


def test_an_owed_answer_can_be_said_never_to_come(owing: Chair) -> None:
    owing.key("", "21", "-/", "21", "--")
    said = [entry.values for entry in owing.case.entries[-2:] if isinstance(entry, Answer)]
    assert [value.why.value for values in said for value in values.values() if isinstance(value, Absent)] == [
        "not_measured",
        "not_done",
    ]
    assert numbers(owing)["21"] == "owed: Diagnosis, Cold test, this tooth"


def test_a_bad_answer_is_refused_and_asked_again(owing: Chair) -> None:
    view = owing.key("", "22", "1+2")
    assert "goes with no other" in view.saying
    assert type(mode(owing)) is Owed
    assert "without a canal" in owing.key("1*1").saying


def test_a_lot_that_is_owed_can_be_scanned(tmp_path: Path) -> None:
    chair = seated(tmp_path, "set-up")
    chair.key("11**6.2027", "-.", "/", "21", "]d210L5")
    fact = chair.case.told.fact("set_up.lot", 0)
    assert fact is not None
    assert fact.value == Scan(raw="]d210L5", lot="L5")


def test_what_a_scan_holds_no_lot_for_stays_owed(tmp_path: Path) -> None:
    chair = seated(tmp_path, "set-up")
    view = chair.key("11**6.2027", "-.", "/", "21", "]E02000000000015")
    assert view.saying == "Scan not taken: the code holds no lot. Key it."
    view = chair.key("]d20102000000000016")
    assert view.saying.startswith("Scan not taken: the check digit of the item number is wrong.")
    assert type(mode(chair)) is Owed


def test_an_owed_answer_does_not_take_away_a_line_that_waits_for_another_canal(tmp_path: Path) -> None:
    """The needle is too near in B; before that is answered an owed answer is given: the line for P is not lost."""
    chair = seated(tmp_path, "both measured")
    chair.key("12/", "0", "-.", "11/", "12*3**2**-1**31", "/", "21", "1")
    assert chair.session.view().prompt.title == "Ask the clinician: Irrigation B"
    view = chair.key("1")
    assert view.prompt.title == "Ask the clinician: Irrigation P"


def test_owed_asks_are_answered_from_the_list_with_their_reason(tmp_path: Path) -> None:
    chair = seated(tmp_path, "labels")
    chair.key("2**1", "2", *rest("anaesthesia", "lot"), "10/", "10/2+2**3", "2", "/", "6")
    assert [text.partition(":")[0] for text in waiting(chair)] == ["owed", "owed single canal"]
    chair.key("21")
    assert type(mode(chair)) is Asked
    chair.key("1", "7**1")
    assert type(mode(chair)) is CloseVisit
    chair.key("21", "1", "7**1")
    assert waiting(chair) == []
    assert len(chair.case.departures) == 2


def test_the_clinicians_yes_is_given_from_the_list(tmp_path: Path) -> None:
    chair = seated(tmp_path, "closed")
    chair.key(".", "1", "1", "1", "1", "2", "")
    assert waiting(chair) == [f"clinician's yes to entry {chair.case.unconfirmed[0]}"]
    view = chair.key("21")
    assert type(mode(chair)) is SpokenYes
    assert "counted" in view.prompt.question
    chair.key("1")
    assert type(mode(chair)) is CloseVisit
    assert chair.case.unconfirmed == ()
    assert waiting(chair) == []


def test_incident_details_are_told_from_the_list(tmp_path: Path) -> None:
    chair = seated(tmp_path, "closed")
    chair.key("//", "7", "", "")
    assert waiting(chair)[0].startswith("more about: Dam came off")
    chair.key("21")
    assert type(mode(chair)) is Details
    chair.key("2")
    assert waiting(chair) == []


# ---- Held back, and closed by a second line ------------------------------------------------------


def test_a_count_that_is_not_explained_holds_it_back(tmp_path: Path) -> None:
    chair = seated(tmp_path, "closing")
    prompt = chair.key("2**1+3**4", "1**1**1", "").prompt
    assert prompt.question.startswith("Held back: Something is not accounted for.")
    assert "2" not in numbers(chair)
    entries = len(chair.case.entries)
    view = chair.key("2")
    assert view.saying.startswith("Type one of")
    assert not chair.case.closed
    assert len(chair.case.entries) == entries


@pytest.mark.parametrize("explained", ["1", "3"])
def test_a_count_that_is_explained_does_not(tmp_path: Path, explained: str) -> None:
    chair = seated(tmp_path, "closing")
    prompt = chair.key(f"2**1**{explained}", "1**1**1", "").prompt
    assert prompt.question == "Nothing is owed. Close it?"


def test_what_was_missing_is_explained_from_the_list(tmp_path: Path) -> None:
    chair = seated(tmp_path, "closing")
    chair.key("2**1**4", "1**1**1", "", "21", "2", "3", "1")
    assert chair.session.view().prompt.question == "Nothing is owed. Close it?"
    chair.key("2")
    assert chair.case.closed


def test_a_canal_without_outcome_holds_it_back_and_is_answered_from_the_list(tmp_path: Path) -> None:
    chair = seated(tmp_path, "both measured")
    prompt = chair.key("17/", "1**1**1**5", "/", "6").prompt
    assert prompt.question == "Held back: B: nobody has said how it ended. P: nobody has said how it ended."
    chair.key("21", "2", "1", "21", "2", "1")
    assert [outcome_of(chair.case.told, number) for number in (1, 2)] == ["not_treated", "not_treated"]
    assert "2" in numbers(chair)


def test_it_takes_two_lines_and_enter_closes_nothing(tmp_path: Path) -> None:
    chair = seated(tmp_path, "closed")
    chair.key("", "", "", "1")
    assert asking(chair)
    assert not chair.case.closed
    view = chair.key("", "2")
    assert chair.case.closed
    assert view.prompt.title == "Start"
    assert "4711" not in " ".join(one.text for one in view.prompt.choices), "a closed visit is not offered again"


def test_it_can_be_closed_from_the_menu_at_any_time_when_nothing_holds_it_back(tmp_path: Path) -> None:
    chair = seated(tmp_path, "set-up")
    prompt = chair.key("/", "6").prompt
    assert prompt.card[0].startswith("Open: Set-up, Anaesthesia")
    chair.key("2")
    assert chair.case.closed


# ---- Void ---------------------------------------------------------------------------------------


def test_a_visit_is_voided_by_a_reason_of_the_practice_and_a_second_line(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    view = chair.key("/", "9")
    assert [one.text for one in view.prompt.choices] == [one.text for one in protocol().void_reason]
    chair.key("4")
    assert type(mode(chair)) is VoidVisit
    assert chair.case.void is None
    chair.key("2")
    assert chair.case.void == "For practice only."


@pytest.mark.parametrize("keys", [("0",), ("4", "1"), ("", "0"), ("9", "0")])
def test_voiding_can_be_left(tmp_path: Path, keys: tuple[str, ...]) -> None:
    chair = seated(tmp_path, "shaping")
    entries = len(chair.case.entries)
    chair.key("/", "9", *keys)
    assert asking(chair)
    assert kinds_since(chair, entries) == ""
