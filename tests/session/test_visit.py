"""Whole visits keyed line by line, without a screen: what is logged, held back, asked and rung."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from stepper.case.gate import shut
from stepper.case.judge import judge
from stepper.kinds.outcome import outcome_of
from stepper.session.store import read_case
from tests.drive import Chair, script

SCRIPTS = Path(__file__).parent.parent / "scripts"
PLAIN = script(SCRIPTS / "plain_single.keys")
WRONG = script(SCRIPTS / "wrong_cone.keys")

DIAGNOSED = ["2**1**1**2**1**1**1**3**2**1", "27.2.2026**1"]
TIMED_OUT = ["4711", "11", "11"]
SET_UP = ["1**12.2027**501", "2**9.2027**502", "11**6.2027**503", "41**11.2028**504", "31**1.2028**505", "", "1**1"]
NUMBED = ["74", "22**1.8**1**1", "", "1"]
ISOLATED = ["1**1**11**1"]
ACCESSED = ["11**3", "1", "1**1"]
MEASURED = ["22.5", "22**22**22**1**1", ""]
SHAPED = ["0/54-14", "", "30-0", "35-1**1", "", "25/4-0", "30/4-0", "35/4-0", "", "35/4"]
RINSED = ["1**4**-2**31", "2**2**-2", "1**4**-2", ""]
DRIED = ["0**1", ""]
FITTED = ["1**11", "35/4", "0**1**1"]


@pytest.fixture
def chair(tmp_path: Path) -> Chair:
    made = Chair(tmp_path / "sessions")
    made.open()
    return made


def to_sealing(chair: Chair) -> None:
    chair.key(
        *DIAGNOSED, *TIMED_OUT, *SET_UP, *NUMBED, *ISOLATED, *ACCESSED, *MEASURED, *SHAPED, *RINSED, *DRIED, *FITTED
    )


def waiting(chair: Chair) -> str:
    """Give the menu number of the clinician's yes."""
    return next(one.number for one in chair.session.view().prompt.choices if one.text.startswith("clinician's yes"))


def kinds(chair: Chair) -> list[str]:
    return [entry.kind for entry in chair.case.entries]


@pytest.mark.parametrize("lines", [PLAIN, WRONG])
def test_what_was_judged_is_what_stands_in_the_file(tmp_path: Path, lines: list[str]) -> None:
    """Entries are read by their types before they are written; read from the disk they are the same."""
    chair = Chair(tmp_path / "sessions")
    chair.key(*lines)
    case = read_case(chair.path)[1]
    assert case is not None
    assert list(case.entries) == list(chair.case.entries)
    assert len(case.entries) > 40


def test_the_plain_visit_is_filled_closed_and_rings_zero_times(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    view = chair.key(*PLAIN)
    assert view.over
    assert chair.case.closed
    assert outcome_of(chair.case.told, 1) == "filled"
    assert chair.bells == 0
    assert chair.case.sounds == 0
    assert len(PLAIN) <= 60


def test_the_wrong_cone_rings_twice_before_it_is_handed_over(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    at = WRONG.index("35/4")
    view = chair.key(*WRONG[: at + 1])
    assert view.prompt.title.startswith("STOP")
    assert "35/.04" in view.prompt.question
    assert "30/.04" in view.prompt.question
    assert view.band is not None
    assert view.band.word == "STOP"
    assert chair.bells == 2
    assert shut(chair.case, 1)["cone_fit"]


def test_a_larger_file_after_the_fit_reopens_and_shuts_the_gate(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    at = WRONG.index("10/")
    chair.key(*WRONG[:at])
    assert shut(chair.case, 1) == {}
    view = chair.key("10/", "35/4-0")
    assert "Reopened by it: Irrigation" in view.saying
    for step in ("Irrigation", "Drying", "Cone fit"):
        assert step in view.saying
    assert set(shut(chair.case, 1)) == {"master_apical_file", "cone_fit", "dry", "rinse"}


def test_a_fill_while_the_gate_is_shut_is_held_back_or_logged_as_outside(chair: Chair) -> None:
    to_sealing(chair)
    chair.key("10/", "40/4-0", "14/", "503", "1")
    assert chair.session.view().prompt.title.startswith("STOP")
    assert chair.bells == 2
    before = kinds(chair).count("answer")
    chair.key("1")
    assert kinds(chair)[-1] == "held"
    assert kinds(chair).count("answer") == before
    assert outcome_of(chair.case.told, 1) is None
    chair.key("1", "2")
    assert chair.bells == 2, "the same evidence never rings twice"
    assert outcome_of(chair.case.told, 1) == "filled_outside"


def test_a_fill_takes_two_lines(chair: Chair) -> None:
    to_sealing(chair)
    chair.key("503", "1")
    assert chair.case.told.canals[1].fill is None
    chair.key("2")
    assert chair.case.told.canals[1].fill is None
    chair.key("1", "1")
    assert outcome_of(chair.case.told, 1) == "filled"


def test_an_expired_lot_is_held_and_its_row_is_no_evidence(chair: Chair) -> None:
    chair.key(*DIAGNOSED, *TIMED_OUT)
    view = chair.key("11", "1.2026")
    assert view.prompt.title.startswith("STOP")
    assert "expired" in view.prompt.question.lower() or "2026-01" in view.prompt.question
    assert chair.bells == 2
    chair.key("1")
    rows = chair.case.told.rows_of("set_up", 0)
    assert [row for row in rows if row.get("item_expiry")] == []
    view = chair.key("11**6.2027**503")
    assert view.saying.startswith("Logged")


def test_an_expired_lot_used_all_the_same_is_outside_the_chain(chair: Chair) -> None:
    chair.key(*DIAGNOSED, *TIMED_OUT, "11**1.2026**503", "2")
    row = chair.case.told.rows_of("set_up", 0)[-1]
    assert row.outside


def test_a_wrong_tooth_is_asked_again_without_either_value(chair: Chair) -> None:
    chair.key(*DIAGNOSED, "4711")
    view = chair.key("21")
    assert chair.bells == 2
    assert view.covered
    shown = " ".join(
        [view.title, view.subtitle, view.prompt.question, view.saying, *(one.text for one in view.remarks)]
    )
    assert "11" not in shown.replace("4711", "")
    assert "21" not in shown
    view = chair.key("11")
    assert not any(one.word == "stop" for one in view.remarks)


def test_a_second_miss_calls_the_clinician_and_shows_both_values(chair: Chair) -> None:
    chair.key(*DIAGNOSED, "4711", "21")
    view = chair.key("21")
    assert "clinician" in view.prompt.title
    assert "21" in view.prompt.question
    assert "11" in view.prompt.question
    view = chair.key("2")
    assert chair.case.told.tooth == "21"
    assert view.prompt.title == "Read aloud"
    assert view.prompt.question == "Tooth, was 11, is 21"
    view = chair.key("1")
    assert view.covered, "the time-out is asked anew"
    chair.key("4711", "21", "21", *SET_UP, *NUMBED, "1**1**21**1", "21**3", "1", "1**1")
    assert "clear" not in shut(chair.case, 1)


def test_a_header_corrected_later_shuts_every_gate_until_confirmed_and_asked_anew(chair: Chair) -> None:
    to_sealing(chair)
    assert shut(chair.case, 1) == {}
    chair.session.room.log("correction", of=0, how="keyed_wrong", values={"patient": {"kind": "digits", "value": "99"}})
    assert set(shut(chair.case, 1)) == {"clear"}
    chair.key("/")
    chair.key(waiting(chair), "1")
    assert set(shut(chair.case, 1)) == {"clear"}
    chair.key("2/", "99", "11", "11")
    assert shut(chair.case, 1) == {}


def test_an_unlabelled_syringe_is_asked_about_and_may_be_owed(chair: Chair) -> None:
    chair.key(*DIAGNOSED, *TIMED_OUT, *SET_UP[:-1])
    view = chair.key("2**1")
    assert view.prompt.title.startswith("Ask the clinician")
    assert chair.bells == 0
    chair.key("2")
    assert kinds(chair)[-1] == "owe"
    assert any(one.standing == "owed" for one in chair.session.view().remarks)


def test_a_reason_passes_an_ask_with_who_said_it(chair: Chair) -> None:
    chair.key(*DIAGNOSED, *TIMED_OUT, *SET_UP[:-1], "2**1", "1", "1", "")
    assert kinds(chair)[-1] == "departure"
    departure = next(iter(chair.case.departures.values()))
    assert departure.said_by == 1


def test_a_dose_forecast_over_the_limit_is_held_before_it_is_given(chair: Chair) -> None:
    chair.key(*DIAGNOSED, *TIMED_OUT, *SET_UP, "20")
    view = chair.key("22**3.6**1**1")
    assert view.prompt.title.startswith("Ask the clinician")
    assert chair.bells == 1
    assert "held" not in kinds(chair)
    chair.key("1")
    assert kinds(chair)[-1] == "held"
    assert [row for row in chair.case.told.rows_of("anaesthesia", 0) if row.number > 0] == []


def test_hypochlorite_without_dam_is_held(chair: Chair) -> None:
    chair.key(*DIAGNOSED, *TIMED_OUT, *SET_UP, *NUMBED, "2", *ACCESSED)
    view = chair.key("11/", "1**3**-2**31")
    assert view.prompt.title.startswith("STOP")
    assert chair.bells == 2


def test_keyed_wrong_shuts_at_once_and_opens_only_with_a_spoken_yes(chair: Chair) -> None:
    to_sealing(chair)
    assert shut(chair.case, 1) == {}
    chair.key(".", "1")
    prompt = chair.session.view().prompt
    assert "keyed wrong" in prompt.choices[0].text
    chair.key("1", "2", "2")
    assert chair.session.view().prompt.title == "Read aloud"
    chair.key("2")
    assert "cone_fit" in shut(chair.case, 1), "a slip can shut the gate at once"
    chair.key("/")
    chair.key(waiting(chair), "1")
    assert "cone_fit" in shut(chair.case, 1)
    chair.key(".", "1", "1", "1", "2")
    assert "has not confirmed" in shut(chair.case, 1)["cone_fit"], "it opens nothing by itself"
    chair.key("/")
    chair.key(waiting(chair), "1")
    assert shut(chair.case, 1) == {}


def test_minutes_ago_is_used_up_by_one_answer(chair: Chair) -> None:
    chair.key(*DIAGNOSED, *TIMED_OUT, *SET_UP, *NUMBED, *ISOLATED, *ACCESSED, *MEASURED)
    view = chair.key("3--")
    assert view.armed == "3 min ago"
    view = chair.key("0/54-14")
    assert view.armed == ""
    entry = chair.case.entries[-1]
    assert entry.kind == "answer"
    assert entry.ago_min == 3
    chair.key("0/54-12")
    assert getattr(chair.case.entries[-1], "ago_min", None) is None


def test_one_line_for_several_canals(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    chair.open(tooth="36")
    chair.key(*DIAGNOSED, "4711", "36", "36", *SET_UP, *NUMBED, "1**1**36**1", "36**3", "2+5+11", "1**1")
    chair.key("123*20", "22.5")
    lengths = {number: chair.case.told.fact("length.estimate", number) for number in (1, 2, 3)}
    assert all(fact is not None for fact in lengths.values())
    assert [canal.name for canal in chair.case.told.canals.values()] == ["MB", "ML", "D"]
    view = chair.key("45*20")
    assert "no canal 4" in view.saying


def test_enter_passes_nothing_over(chair: Chair) -> None:
    chair.key(*DIAGNOSED, *TIMED_OUT, *SET_UP, *NUMBED, *ISOLATED, *ACCESSED, "22.5")
    view = chair.key("")
    assert view.prompt.title == "7 Working length"
    assert view.prompt.offer == ""
    assert "-- says not done" in view.saying
    view = chair.key("--")
    assert view.prompt.title == "8 Coronal flare"


def test_minutes_ago_reach_back_to_the_opening_and_no_further(chair: Chair) -> None:
    chair.key(*DIAGNOSED)
    view = chair.key("200--")
    assert view.armed == ""
    assert "not open" in view.saying


def test_a_blind_question_stays_covered_under_a_list_and_is_asked_for_one_canal(chair: Chair) -> None:
    chair.key(*DIAGNOSED)
    assert chair.key("/").covered
    assert "Covered" in chair.key("0", ".").saying


def test_every_tooth_answer_of_one_line_is_asked_again(chair: Chair) -> None:
    chair.key(*DIAGNOSED)
    view = chair.key("4711**21**21")
    assert "image" in view.prompt.blind
    assert view.readback == ""
    view = chair.key("11")
    assert "counted" in view.prompt.blind
    view = chair.key("11")
    assert view.prompt.title == "3 Set-up"


def test_a_correction_can_be_left_by_enter(chair: Chair) -> None:
    chair.key(*DIAGNOSED, *TIMED_OUT, ".", "1", "1")
    before = len(chair.case.entries)
    view = chair.key("")
    assert len(chair.case.entries) == before
    assert view.prompt.title == "3 Set-up"


def test_a_sealer_lot_that_was_not_set_up_is_asked_about(chair: Chair) -> None:
    to_sealing(chair)
    view = chair.key("9999")
    assert view.prompt.title.startswith("Ask the clinician")
    assert "9999" in view.prompt.question


def test_an_incident_is_stamped_from_inside_a_list_and_comes_back_to_it(chair: Chair) -> None:
    to_sealing(chair)
    chair.key("503", "1")
    assert chair.session.view().prompt.title == "Sure"
    view = chair.key("//")
    assert kinds(chair)[-1] == "incident"
    assert view.prompt.title == "INCIDENT"
    view = chair.key("0")
    assert view.prompt.title == "Sure"
    chair.key("1")
    assert outcome_of(chair.case.told, 1) == "filled"


def test_sounds_are_mute_while_an_incident_is_told_and_no_longer(chair: Chair) -> None:
    """A wrong tooth corrected into the record from inside the incident is mute; put off, an incident mutes nothing."""
    chair.key(*DIAGNOSED, "4711", "11", "11", "//", ".", "1", "1", "21")
    assert "tooth" in {one.remark.rule for one in judge(chair.case)}
    assert chair.bells == 0
    chair.key("2", "", ".", "1", "1", "31")
    assert chair.bells == 2


def test_addresses_wait_while_something_is_being_asked(chair: Chair) -> None:
    to_sealing(chair)
    chair.key("503", "1")
    view = chair.key("10/")
    assert "Answer this first" in view.saying
    assert view.prompt.title == "Sure"


def test_closing_is_held_while_a_canal_has_no_outcome(chair: Chair) -> None:
    to_sealing(chair)
    chair.key("17/")
    menu = chair.key("/").prompt.choices
    number = next(one.number for one in menu if one.text == "close the visit")
    view = chair.key(number)
    assert "nobody has said how it ended" in view.prompt.question
    assert [one.text for one in view.prompt.choices] == ["not yet: go on"]


@pytest.mark.parametrize("lines", [PLAIN, WRONG], ids=["plain", "wrong cone"])
def test_the_file_tells_the_live_state_after_every_line(tmp_path: Path, lines: list[str]) -> None:
    chair = Chair(tmp_path / "sessions")
    for line in lines:
        chair.key(line)
        if chair.lobby.session is None:
            continue
        _, case, _ = read_case(chair.path)
        assert case is not None
        assert case.told == chair.case.told
        assert case.sure == chair.case.sure
        assert case.rung == chair.case.rung


@pytest.mark.parametrize("at", range(8, len(WRONG) - 1, 5))
def test_pulling_the_plug_and_resuming_shows_the_same_question(tmp_path: Path, at: int) -> None:
    chair = Chair(tmp_path / "sessions")
    before = chair.key(*WRONG[:at])
    chair.session.leave()
    again = Chair(tmp_path / "sessions")
    after = again.key("11")
    if before.prompt.title == "Sure" or before.prompt.question.startswith("single canal may not be filled yet"):
        assert again.lobby.pending == WRONG[at - 1], "the act was not logged: its line is offered again"
        again.key(again.lobby.pending)
    elif before.prompt.title == "Close the visit":
        again.key("")  # a list that was open is opened again by whoever wants it
    else:
        assert after.prompt == before.prompt
    assert after.canals == before.canals
    assert after.steps == before.steps
    assert after.remarks == before.remarks
    rest = again.key(*WRONG[at:])
    assert rest.over
    assert outcome_of(again.case.told, 1) == "filled"


NOISE = (
    "", "/", "//", "+", "++", "-", "--", "-/", "-.", ".", "*", "..", "2*", "1*", "10/", "13/", "7/", "14/", "5--",
    "3/--", "4/-.", "1", "2", "3", "0", "9", "12*5", "0*35/4-0", "]d201040123", "1**1", "35/4", "35/4-0", "0**1",
    "word", "30-0", "1.1", "99/", "1+2", "0*--", "**", "1**", "35-", "44-", "22.5", "-1", "+1", "\x1d", "9" * 400,
)  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_any_lines_leave_a_readable_log_and_no_traceback(tmp_path: Path, seed: int) -> None:
    draw = random.Random(seed)
    chair = Chair(tmp_path / "sessions")
    rest = iter(draw.choice([PLAIN, WRONG]))
    for _ in range(120):
        view = chair.key(next(rest, "") if draw.random() < 0.75 else draw.choice(NOISE))
        if view.over:
            break
    if chair.lobby.session is None:
        return
    _, case, fault = read_case(chair.path)
    assert case is not None, fault
    assert case.told == chair.case.told
    assert len(case.entries) == len(chair.case.entries)
