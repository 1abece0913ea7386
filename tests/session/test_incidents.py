"""Incidents at the chair: stamped at once from anywhere, named, carded, told at once or later, and told otherwise."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from stepper.case.incidents import half_told, unnamed
from stepper.facts.entries import Incident, IncidentDetail
from stepper.facts.values import Absent, Choice, Number, Value, Why
from stepper.protocol.models import IncidentKind
from stepper.session.modes.incident import Details, What
from stepper.session.modes.waiting import FIRST
from tests.cases import protocol
from tests.drive import Chair
from tests.session.plausible import asking, mode
from tests.session.stations import seated
from tests.session.table import EACH_CONVERSATION
from tests.session.ways import Case, kinds_since

SHAPING = "10 Shaping"


@pytest.fixture
def chair(tmp_path: Path) -> Chair:
    """In the middle of shaping."""
    return seated(tmp_path, "shaping")


def stamped(chair: Chair) -> Incident:
    return next(entry for entry in reversed(chair.case.entries) if isinstance(entry, Incident))


def told(chair: Chair) -> dict[str, Value]:
    """What stands of the last incident."""
    return {name: fact.value for name, fact in chair.case.details.get(stamped(chair).seq, {}).items()}


def what(chair: Chair) -> str | None:
    return chair.case.incidents[stamped(chair).seq]


def waits(chair: Chair) -> list[str]:
    """What the menu lists before what is always there."""
    texts = [one.text for one in chair.key("/").prompt.choices if int(one.number) >= FIRST]
    chair.key("0")
    return texts


@pytest.mark.parametrize("case", EACH_CONVERSATION, ids=lambda case: case.mode.__name__)
def test_it_is_stamped_at_once_from_anywhere_and_a_slip_leads_back(tmp_path: Path, case: Case) -> None:
    chair = case.provoked(tmp_path)
    before, entries, at = chair.session.view().prompt, len(chair.case.entries), chair.session.room.cursor
    view = chair.key("//")
    assert kinds_since(chair, entries) == "incident"
    assert (stamped(chair).step, stamped(chair).canal) == (at.step, at.canal)
    assert view.prompt.title == "INCIDENT"
    chair.key("0")
    assert kinds_since(chair, entries) == "incident incident_detail"
    after = chair.session.view().prompt
    assert (after.title, after.question) == (before.title, before.question)
    assert type(mode(chair)) is case.mode


def test_the_time_is_that_of_the_stamp_however_late_it_is_named(chair: Chair) -> None:
    chair.key("//")
    at = stamped(chair).t
    chair.key("", "25/4-0", "/", "21", "1")
    details = [entry for entry in chair.case.entries if isinstance(entry, IncidentDetail)]
    assert [one.of for one in details] == [stamped(chair).seq]
    assert stamped(chair).t == at < details[0].t


@pytest.mark.parametrize("kind", protocol().incident, ids=lambda kind: kind.id)
def test_each_kind_shows_the_practices_card_and_asks_its_own_questions(chair: Chair, kind: IncidentKind) -> None:
    view = chair.key("//", str(kind.number))
    if not kind.card and not kind.question:
        assert asking(chair)
        return
    assert kind.card
    assert view.prompt.card == kind.card
    assert kind.label in view.prompt.title
    assert view.prompt.question == kind.question[0].prompt
    assert what(chair) == kind.id
    chair.key("")
    assert chair.session.view().prompt.card == (), "the card goes with the conversation"


def test_the_details_are_told_in_one_line(chair: Chair) -> None:
    entries = len(chair.case.entries)
    view = chair.key("//", "1", "25/4**4**3**3")
    assert kinds_since(chair, entries) == "incident incident_detail incident_detail"
    assert view.prompt.title == SHAPING
    assert list(told(chair)) == ["file", "fragment_mm", "level", "result"]
    assert told(chair)["level"] == Choice(options=("apical",))
    assert waits(chair) == []


def test_the_details_are_told_line_by_line_and_the_card_stays_up(chair: Chair) -> None:
    chair.key("//", "1")
    asked = []
    for line in ("25/4", "4", "3", "3"):
        prompt = chair.session.view().prompt
        assert prompt.card
        asked.append(prompt.question)
        chair.key(line)
    assert asked == ["Which file, size and taper", "Length of the fragment", "Where it lies", "What became of it"]
    assert len(told(chair)) == 4
    assert asking(chair)


def test_a_detail_that_is_not_known_is_said_not_to_be_and_not_asked_again(chair: Chair) -> None:
    view = chair.key("//", "1", "--", "-/")
    assert view.prompt.question == "Where it lies"
    assert told(chair) == {"file": Absent(why=Why.NOT_DONE), "fragment_mm": Absent(why=Why.NOT_MEASURED)}
    chair.key("3**3")
    assert waits(chair) == []


def test_a_detail_that_is_owed_is_passed_over_now_and_asked_the_next_time(chair: Chair) -> None:
    view = chair.key("//", "1", "-.")
    assert view.prompt.question == "Length of the fragment"
    chair.key("4**3**3")
    assert asking(chair), "nothing more is asked just now"
    assert [text.partition(",")[0] for text in waits(chair)] == ["more about: Separated file"]
    view = chair.key("/", "21")
    assert view.prompt.question == "Which file, size and taper"
    chair.key("25/4")
    assert told(chair)["file"] != Absent(why=Why.OWED)
    assert waits(chair) == []


def test_a_question_with_a_condition_is_asked_only_when_it_holds(chair: Chair) -> None:
    view = chair.key("//", "3", "1")
    assert view.prompt.question == "After how many minutes"
    chair.key("5")
    assert told(chair)["minutes"] == Number(value=Decimal(5))
    chair.key("//", "3", "4")
    assert asking(chair)
    assert "minutes" not in told(chair)
    assert waits(chair) == []


def test_a_line_with_one_bad_field_logs_nothing(chair: Chair) -> None:
    chair.key("//", "1")
    entries = len(chair.case.entries)
    view = chair.key("25/4**400")
    assert "Length of the fragment" in view.saying
    assert len(chair.case.entries) == entries
    view = chair.key("25/4**4**3**3**1")
    assert "one answer too many" in view.saying
    assert len(chair.case.entries) == entries


def test_named_later_and_told_later_it_waits_in_the_menu_at_11(chair: Chair) -> None:
    view = chair.key("//", "")
    assert view.prompt.title == SHAPING
    assert unnamed(chair.case) == [stamped(chair).seq]
    assert waits(chair)[0].startswith("name the incident of ")
    chair.key("25/4-0", "/", "21")
    assert type(mode(chair)) is What
    view = chair.key("3")
    assert view.prompt.card
    chair.key("")
    assert half_told(chair.case) == [stamped(chair).seq]
    assert waits(chair)[0].startswith("more about: Bleeding that does not stop")
    view = chair.key("/", "21")
    assert type(mode(chair)) is Details
    assert view.prompt.card, "the card again, with its questions"
    chair.key("4")
    assert waits(chair) == []


def test_one_that_waits_is_still_there_after_the_plug_is_pulled(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    chair.key("//", "", "//", "1", "25/4")
    chair.session.leave()
    again = Chair(tmp_path)
    again.key(next(one.number for one in again.lobby.view().prompt.choices if "4711" in one.text))
    assert [text[:17] for text in waits(again)] == ["name the incident", "more about: Separ"[:17]]


def test_a_slip_is_kept_as_a_slip_and_waits_for_nothing(chair: Chair) -> None:
    entries = len(chair.case.entries)
    view = chair.key("//", "0")
    assert kinds_since(chair, entries) == "incident incident_detail"
    assert what(chair) == "slip"
    assert view.prompt.title == SHAPING
    assert waits(chair) == []


def test_the_canal_it_was_in_can_be_said_with_its_name_or_with_its_details(tmp_path: Path) -> None:
    chair = seated(tmp_path, "both measured")
    chair.key("10/", "//", "2*1", "25/4**4**3**3")
    detail = next(entry for entry in chair.case.entries if isinstance(entry, IncidentDetail))
    assert stamped(chair).canal == 1
    assert detail.canal == 2
    assert chair.key("17/").prompt.question == "Files, clamp, floss, pellets accounted for"
    assert chair.key("1**1**1+3**2").prompt.canal == "B", "what is asked of a mishap is asked of the canal it was in"


def test_named_wrong_it_is_named_anew_and_its_answers_fall_away(chair: Chair) -> None:
    chair.key("//", "4", "1+2**1**1")
    assert what(chair) == "hypochlorite_accident"
    view = chair.key(".", "1")
    assert [one.text for one in view.prompt.choices][:2] == [
        "what it was: Hypochlorite accident",
        "Signs: sudden pain, swelling",
    ]
    view = chair.key("1", "3")
    assert view.prompt.title == "INCIDENT: Bleeding that does not stop"
    assert told(chair) == {}
    chair.key("4")
    assert what(chair) == "bleeding"
    assert told(chair) == {"stopped": Choice(options=("not_stopped",))}
    assert asking(chair)


def test_named_the_same_once_more_it_keeps_its_answers(chair: Chair) -> None:
    chair.key("//", "1", "25/4**4", "", ".", "1", "1", "1")
    assert list(told(chair)) == ["file", "fragment_mm"]
    assert chair.session.view().prompt.question == "Where it lies"


def test_one_answer_about_it_is_given_anew_and_the_later_word_counts(chair: Chair) -> None:
    chair.key("//", "1", "25/4**14**3**3")
    entries = len(chair.case.entries)
    view = chair.key(".", "1", "3")
    assert view.prompt.question == "Length of the fragment"
    assert view.prompt.offer == "nothing: leave it as it is"
    chair.key("4")
    assert told(chair)["fragment_mm"] == Number(value=Decimal(4))
    assert len(told(chair)) == 4
    assert kinds_since(chair, entries) == "incident_detail"
    chair.key(".", "1", "3", "")
    assert told(chair)["fragment_mm"] == Number(value=Decimal(4))


def test_a_slip_that_was_none_is_named_after_all(chair: Chair) -> None:
    chair.key("//", "0", ".", "1", "1", "7", "1")
    assert what(chair) == "dam_off"
    assert told(chair) == {"contaminated": Choice(options=("yes",))}


def test_several_wait_one_behind_the_other(chair: Chair) -> None:
    chair.key("//", "//", "", "")
    assert len(unnamed(chair.case)) == 2
    assert [text[:17] for text in waits(chair)] == ["name the incident"] * 2
    chair.key("/", "22", "9", "/", "21", "0")
    assert list(chair.case.incidents.values()) == ["slip", "other"]
    assert waits(chair) == []
