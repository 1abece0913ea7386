"""What is looked at by pages: one line away from anywhere, true to the record, and Enter leads back."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.case.state import Case
from stepper.note import text as text_note
from stepper.note.compose import compose
from stepper.note.words import clock
from tests.drive import Chair
from tests.session.stations import seated

LOOKS = {
    "/2": "Look back",
    "/10": "Canal drawing",
    "/11": "Record of the canal",
    "/12": "Remarks",
    "/13": "Open and owed",
}


def note(case: Case) -> str:
    return text_note.render(compose(case))


def text(chair: Chair) -> str:
    page = chair.session.view().page
    assert page is not None
    return "\n".join(page.rows)


@pytest.mark.parametrize(("line", "title"), LOOKS.items())
def test_each_is_one_line_away_and_enter_leads_back(tmp_path: Path, line: str, title: str) -> None:
    chair = seated(tmp_path, "shaping")
    before, logged = chair.session.view().prompt, len(chair.case.entries)
    assert chair.key(line).prompt.title == title
    assert chair.key("").prompt == before
    assert len(chair.case.entries) == logged


@pytest.mark.parametrize(("line", "title"), LOOKS.items())
def test_each_leads_back_to_a_list_that_was_open(tmp_path: Path, line: str, title: str) -> None:
    chair = seated(tmp_path, "cone")
    before = chair.key("45/4").prompt
    assert before.title.startswith("STOP")
    assert chair.key(line).prompt.title == title
    assert chair.key("").prompt == before


@pytest.mark.parametrize("line", ["/1", "/3", "/5", "/6", "/7", "/8", "/9", "/0", "/15", "/21", "/99"])
def test_one_line_opens_nothing_that_changes_something(tmp_path: Path, line: str) -> None:
    chair = seated(tmp_path, "shaping")
    before = chair.session.view().prompt
    view = chair.key(line)
    assert view.prompt == before
    assert view.saying.startswith(f"{line}: one line opens only what changes nothing, /2 /10 /11 /12 /13")


@pytest.mark.parametrize("line", ["/10", "/11"])
def test_there_is_no_canal_to_look_at_before_one_is_found(tmp_path: Path, line: str) -> None:
    chair = seated(tmp_path, "isolation")
    view = chair.key(line)
    assert view.saying == "No canal is found yet."
    assert view.prompt.title == "5 Isolation"


@pytest.mark.parametrize("line", [*LOOKS, "/"])
def test_nothing_that_may_hold_a_blind_answer_is_shown(tmp_path: Path, line: str) -> None:
    chair = seated(tmp_path, "cone")
    keys = (line,) if line != "/" else ("/", "11")
    view = chair.key(*keys)
    assert view.page is None
    assert "35/" not in " ".join((view.prompt.question, view.saying, *(one.text for one in view.prompt.choices)))
    assert view.saying == "Covered: answer what is asked from its source first."


def test_the_record_of_a_canal_tells_how_it_stands_and_every_entry_in_order(tmp_path: Path) -> None:
    chair = seated(tmp_path, "drying")
    chair.key("/11")
    said = text(chair)
    assert "Working length 22 mm; gauged 30; master apical file 35/.04." in said
    assert "Fill gate shut: " in said
    told = " ".join(said.split())
    places = [told.index(part) for part in ("estimate 22.5", "working length 22 mm", "25/.08 14 mm short")]
    assert places == sorted(places)
    assert "Set-up" not in said


def test_the_record_of_another_canal_is_a_number_away(tmp_path: Path) -> None:
    chair = seated(tmp_path, "both measured")
    chair.key("8/", "2*0/54-13", "/11", "2")
    page = chair.session.view().page
    assert page is not None
    assert page.title == "Record of canal 2 P"
    assert "25/.08 13 mm short" in text(chair)
    chair.key("1")
    assert "25/.08" not in text(chair)


def test_a_correction_stands_in_the_record_of_its_canal(tmp_path: Path) -> None:
    chair = seated(tmp_path, "flare")
    chair.key(".", "1**2**3**21", "/11")
    assert "Working length 21 mm" in text(chair)
    assert "measured anew, entry 23: now 21 mm" in text(chair)


def test_the_gate_that_is_open_is_said(tmp_path: Path) -> None:
    chair = seated(tmp_path, "fill")
    chair.key("/11")
    assert "The fill gate is open." in text(chair)


def test_remarks_are_grouped_and_a_silent_one_is_found_there(tmp_path: Path) -> None:
    chair = seated(tmp_path, "lot")
    assert text(chair.key("/12") and chair).strip() == "Nothing is remarked."
    chair.key("", "999", "2", "/12")
    said = text(chair)
    assert said.index("Owed:") < said.index("999 is none of the lots")
    assert "Only told" not in said


def test_a_tell_stands_under_what_nothing_waits_for(tmp_path: Path) -> None:
    chair = seated(tmp_path, "access")
    chair.key("11**1", "1", "1**1", "/12")
    said = text(chair).strip()
    assert said.startswith("Only told: nothing waits for these:")
    assert "Access: " in said


def test_what_was_done_all_the_same_stays_among_the_remarks(tmp_path: Path) -> None:
    chair = seated(tmp_path, "cone")
    chair.key("45/4", "2", "/12")
    said = " ".join(text(chair).split())
    assert "Done all the same: !! " in said
    assert "Cone 45/.04 does not go with master apical file 35/.04" in said


def test_what_is_owed_is_listed_with_open_steps_and_answered_by_its_number(tmp_path: Path) -> None:
    chair = seated(tmp_path, "drying")
    chair.key("0", "-.", "/13")
    said = text(chair)
    assert "21  owed: Drying" in said
    assert "Open steps:" in said
    assert "Cone fit" in said[said.index("Open steps:") :]
    view = chair.key("21")
    assert view.prompt.title == "Owed: Drying"
    view = chair.key("1")
    assert view.prompt.title == "Open and owed"
    assert "Nothing waits for an answer." in text(chair)


def test_long_pages_turn_both_ways_and_keep_every_row(tmp_path: Path) -> None:
    chair = seated(tmp_path, "fill")
    chair.lobby.fit(8)
    chair.key("/11")
    page = chair.session.view().page
    assert page is not None and page.of > 2
    pages = [text(chair)]
    for _ in range(page.of - 1):
        chair.key("+")
        pages.append(text(chair))
    chair.key("+")
    assert text(chair) == pages[-1], "the last page stays"
    for before in reversed(pages[:-1]):
        chair.key("-")
        assert text(chair) == before
    chair.lobby.fit(80)
    assert text(chair).split() == " ".join(pages).split()


def test_a_whole_correction_goes_into_one_line(tmp_path: Path) -> None:
    chair = seated(tmp_path, "flare")
    view = chair.key(".", "1**1**3**21.5")
    assert view.prompt.title == "Read aloud", "the clinician's yes is a line of its own"
    chair.key("1")
    assert [one.kind for one in chair.case.entries[-2:]] == ["correction", "confirm"]


@pytest.mark.parametrize(
    "line",
    ["1**1**3**21.5**1", "1**3**3**21.5", "1**1**9**21.5", "1**1**3**word", "9**1**3**21", "1**1**3**99", "0**1"],
)
def test_a_correction_that_does_not_fit_as_a_whole_changes_nothing(tmp_path: Path, line: str) -> None:
    chair = seated(tmp_path, "flare")
    logged = len(chair.case.entries)
    view = chair.key(".", line)
    assert len(chair.case.entries) == logged
    assert view.saying
    assert view.prompt.title in ("Correct", "8 Coronal flare")


def test_the_note_says_when_the_wrong_cone_was_keyed_not_when_the_right_one_was(tmp_path: Path) -> None:
    chair = seated(tmp_path, "cone")
    chair.key("45/4", "2", "AWAY 5", "0**1**1", "13/", "35/4", "0**1**1", "503", "1", "1")
    wrong = next(one for one in chair.case.entries if one.kind == "overruled")
    said = " ".join(note(chair.case).split())
    keyed = said[said.index("Cone fit single canal: cone 45/.04, seat at length") :]
    assert keyed.split("Keyed at ")[1].startswith(clock(wrong))
    fill = next(one for one in reversed(chair.case.entries) if one.kind == "answer")
    assert clock(fill) != clock(wrong)
