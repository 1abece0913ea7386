"""Facts out of their turn: outcomes, more anaesthetic, detours and the way back, the dam, and what a line reopens."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from stepper.case.gate import shut
from stepper.facts.entries import Go
from stepper.facts.values import Number
from stepper.kinds.outcome import outcome_of
from stepper.session.session import Session
from tests.drive import Chair
from tests.session.plausible import asking
from tests.session.stations import RINSED, SHAPED, seated
from tests.session.ways import kinds_since

LATER = ("Irrigation", "Drying", "Cone fit")


def outcomes(chair: Chair) -> list[str | None]:
    return [outcome_of(chair.case.told, number) for number in chair.case.told.canals]


def at(chair: Chair) -> tuple[str, int]:
    return chair.session.room.cursor.step, chair.session.room.cursor.canal


def resumed(folder: Path) -> Session:
    again = Chair(folder)
    again.key(next(one.number for one in again.lobby.view().prompt.choices if "4711" in one.text))
    return again.session


# ---- How a canal ended, at any time --------------------------------------------------------------


def test_an_outcome_of_any_canal_is_stated_out_of_turn_in_one_line(tmp_path: Path) -> None:
    chair = seated(tmp_path, "three canals")
    entries = len(chair.case.entries)
    view = chair.key("17/", "2*2**17.5")
    assert kinds_since(chair, entries) == "answer"
    assert outcomes(chair) == [None, "blocked", None]
    ended = chair.case.told.fact("closing.ended_at", 2)
    assert ended is not None
    assert ended.value == Number(value=Decimal("17.5"))
    assert view.prompt.question == "Files, clamp, floss, pellets accounted for", "the closing itself waits"


def test_the_depth_is_asked_of_blocked_and_fragment_only(tmp_path: Path) -> None:
    chair = seated(tmp_path, "three canals")
    view = chair.key("17/", "1*1**17")
    assert "one answer too many" in view.saying
    assert outcomes(chair)[0] is None, "nothing of a line that does not fit is logged"
    view = chair.key("1*1", "3*3**16", "1**1**1**5")
    assert (view.prompt.canal, view.prompt.question) == ("ML", "How the canal ended")
    view = chair.key("2")
    assert (view.prompt.canal, view.prompt.question) == ("ML", "Treated to, from the reference point")
    chair.key("15")
    assert outcomes(chair) == ["not_treated", "blocked", "fragment"]


def test_0_means_the_canals_that_have_no_final_outcome(tmp_path: Path) -> None:
    chair = seated(tmp_path, "three canals")
    entries = len(chair.case.entries)
    view = chair.key("17/", "1*1", "", "0*20")
    assert [getattr(entry, "canal", 0) for entry in chair.case.entries[entries:] if entry.kind == "answer"] == [1, 2, 3]
    assert view.saying.startswith("Logged for ML D")
    chair.key("15/", "2*1**1")
    view = chair.key("17/", "0*3**18")
    assert view.saying.startswith("Logged for ML D"), "a dressed canal is not done with"
    assert outcomes(chair) == ["not_treated", "fragment", "fragment"]
    view = chair.key("0*1")
    assert view.saying.startswith("No canal is open any more")


def test_a_canal_that_is_not_there_is_refused_by_name(tmp_path: Path) -> None:
    chair = seated(tmp_path, "both measured")
    entries = len(chair.case.entries)
    view = chair.key("17/", "3*1")
    assert "There is no canal 3; there are: 1 B, 2 P." in view.saying
    assert kinds_since(chair, entries) == ""


# ---- Away and back ------------------------------------------------------------------------------


def test_more_anaesthetic_in_the_middle_and_back_to_the_place_left(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    chair.key("25/4-0")
    before = chair.session.view().prompt
    view = chair.key("4/", "22**1.8**1**1")
    assert view.prompt.offer == "Effect tested"
    view = chair.key("", "1")
    assert view.prompt.offer == "Shaping single canal"
    assert chair.key("").prompt == before
    assert len([row for row in chair.case.told.rows_of("anaesthesia", 0) if row.get("agent") or row.number == 2]) == 1


@pytest.mark.parametrize(
    ("station", "first"),
    [("shaping", "25/4-0"), ("irrigation", RINSED[0]), ("length", "22.5"), ("drying", "0**1"), ("fill", "")],
)
def test_a_look_at_the_closing_and_back_by_enter(tmp_path: Path, station: str, first: str) -> None:
    chair = seated(tmp_path, station)
    chair.key(*([first] if first else []))
    place, before = at(chair), chair.session.view().prompt
    view = chair.key("17/", "")
    assert at(chair) == place
    assert view.prompt == before


@pytest.mark.parametrize("station", ["shaping", "irrigation", "length", "fill"])
def test_the_detour_is_remembered_over_a_pulled_plug(tmp_path: Path, station: str) -> None:
    chair = seated(tmp_path, station)
    place = at(chair)
    chair.key("4/", "22**1.8**1**1", "", "1")
    chair.session.leave()
    again = resumed(tmp_path)
    again.enter("")
    assert (again.room.cursor.step, again.room.cursor.canal) == place


def test_the_dam_comes_off_and_goes_on_again_in_rows(tmp_path: Path) -> None:
    chair = seated(tmp_path, "irrigation")
    chair.key(RINSED[0])
    before = chair.session.view().prompt
    view = chair.key("5/", "2")
    assert view.prompt.offer == "Irrigation single canal", "by Enter only: the next line would land elsewhere"
    assert "the dam is not on" in shut(chair.case, 1)["clear"]
    chair.key("1**1**11**1")
    assert "the dam" not in shut(chair.case, 1).get("clear", "")
    assert chair.key("").prompt == before, "in the middle of the rinses, where it was left"
    rows = chair.case.told.rows_of("isolation", 0)
    assert [(row.number, row.options("dam")) for row in rows] == [(1, ("on",)), (2, ("off",)), (3, ("on",))]


def test_a_step_that_is_said_to_be_not_done_where_one_is_goes_on(tmp_path: Path) -> None:
    chair = seated(tmp_path, "diagnosis")
    view = chair.key("1/--")
    assert view.saying == "Diagnosis: not done."
    assert view.prompt.title == "2 Time-out"


def test_a_step_that_is_said_to_be_not_done_elsewhere_leaves_one_where_one_is(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    before = chair.session.view().prompt
    assert chair.key("15/--").prompt == before
    chair.session.leave()
    assert resumed(tmp_path).view().prompt == before


# ---- What a line reopens, in one sentence --------------------------------------------------------


def reopens(saying: str) -> str:
    """The sentence about what was reopened; empty where there is none."""
    _, found, rest = saying.partition("Reopened ")
    return rest.partition(".")[0] if found else ""


def test_an_answer_says_what_it_reopened_and_says_it_once(tmp_path: Path) -> None:
    chair = seated(tmp_path, "lot")
    view = chair.key("10/", "40/4-0")
    assert reopens(view.saying).startswith("by it: ")
    assert all(step in reopens(view.saying) for step in LATER)
    assert view.saying.startswith("Logged")
    assert view.saying.count("Reopened") == 1
    view = chair.key("45/4-0")
    assert reopens(view.saying) == "", "they stand reopened already"


def test_a_new_length_reopens_all_that_rests_on_it(tmp_path: Path) -> None:
    chair = seated(tmp_path, "lot")
    view = chair.key("7/", "22**22**21**1**1")
    assert all(step in reopens(view.saying) for step in ("Apical gauging", "Shaping", *LATER))
    assert "Coronal flare" not in reopens(view.saying)


def test_patency_alone_reopens_the_drying_and_nothing_else(tmp_path: Path) -> None:
    view = seated(tmp_path, "lot").key("10/", "10/2+0.5**3")
    assert reopens(view.saying) == "by it: Drying single canal"


def test_a_correction_says_what_it_reopened(tmp_path: Path) -> None:
    """The drying is the fourth last entry: measured anew, the point went only half way."""
    chair = seated(tmp_path, "drying")
    chair.key("0**1", ".", "2", "2", "1")
    view = chair.key("2")
    assert view.saying.startswith("Correction logged")
    assert reopens(view.saying) == "by it: Drying single canal"


def test_a_join_says_what_it_reopened_and_which_entry_did_it(tmp_path: Path) -> None:
    """P was dried before B was filed once more: in the part they share, that was after the drying."""
    chair = seated(tmp_path, "both measured")
    chair.key("10/", "12*25/4-0", "12/", "12*0**1", "10/", "1*30/4-0")
    view = chair.key("/", "4", "2**1**19")
    seq = next(entry.seq for entry in reversed(chair.case.entries) if entry.kind == "answer")
    assert f"Reopened by entry {seq} (Shaping B, file 30/.04 at length, purpose cut): Drying P." in view.saying


def test_a_late_entry_says_what_it_reopened_and_that_it_waits(tmp_path: Path) -> None:
    chair = seated(tmp_path, "lot")
    chair.key("11/", "2--")
    view = chair.key("1**2**-2")
    assert "Logged as late" in view.saying
    assert reopens(view.saying) == "by it: Drying single canal"


def test_a_line_for_several_canals_names_each(tmp_path: Path) -> None:
    chair = seated(tmp_path, "both measured")
    chair.key("10/", "12*25/4-0", "12/", "12*0**1", "10/")
    view = chair.key("12*30/4-0")
    assert "Drying B, P" in reopens(view.saying)


def test_what_reopens_nothing_says_nothing(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    assert "Reopened" not in " ".join(chair.key(line).saying for line in (*SHAPED, *RINSED))
    assert asking(chair)


def test_a_filled_canal_is_not_called_reopened(tmp_path: Path) -> None:
    chair = seated(tmp_path, "coronal seal")
    view = chair.key("10/", "40/4-0")
    assert "Reopened" not in view.saying


def test_going_somewhere_is_logged_with_the_place_that_was_left(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    chair.key("4/")
    gone = chair.case.entries[-1]
    assert isinstance(gone, Go)
    assert gone.left is not None
    assert (gone.left.step, gone.left.canal) == ("shaping", 1)
