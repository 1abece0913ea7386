"""The practice tooth: its own lessons lead through it, whatever else is keyed the way back is said."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest
from msgspec import structs

from stepper.case.carry import unfinished
from stepper.facts.entries import Answer, Departure, Held, Sound
from stepper.kinds.outcome import outcome_of
from stepper.lines.marked import lines_to_key
from stepper.note.compose import compose
from stepper.note.text import render
from stepper.protocol.load import load_file
from stepper.protocol.models import Protocol
from stepper.protocol.settings import Settings
from stepper.record.clock import SystemClock
from stepper.record.places import bundled
from stepper.record.problems import Unreadable
from stepper.session.astray import BEGUN, GONE, HELD
from stepper.session.coach import DONE, LEARNED, lesson_now
from stepper.session.lobby import NEWCOMER, House, Lobby
from stepper.session.previous import any_offered, offered, to_go_on_from
from stepper.session.store import list_sessions, read_case
from tests.drive import Chair
from tests.session.learning import at_last, begun, learn, number, told
from tests.session.test_second import FIRST, first_visit

FILE = bundled("protocols") / "practice_tooth.toml"
PROTOCOL: Protocol = load_file(FILE)[0]
LESSONS = PROTOCOL.lesson
B, P = 1, 2


def lesson(part: str) -> int:
    """The number of the one lesson whose words hold a part."""
    (found,) = [place for place, one in enumerate(LESSONS, start=1) if part in one.say]
    return found


WRONG_LENGTH, MEND, SAYS_YES = lesson("Key it wrong"), lesson("Put it right"), lesson("says yes: ")
WRONG_CONE, HOLD, RIGHT_CONE = lesson("the wrong one"), lesson("It rang twice"), lesson("right packet")
GO_P, SLIP, FILL, CLOSE = lesson("`2*`"), lesson("`//`"), lesson("asked twice"), len(LESSONS)


def test_the_lessons_alone_lead_to_the_end(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    for place, one in enumerate(LESSONS, start=1):
        for keys in lines_to_key(one.say):
            view = chair.lobby.view()
            assert (number(view), view.coach) == (place, (one.say,)), "nothing but the lesson, no word of a wrong way"
            chair.key(keys)
    assert chair.lobby.session is None
    assert chair.lobby.view().saying == LEARNED


@pytest.fixture
def learnt(tmp_path: Path) -> Chair:
    """A practice tooth that was gone through to the end."""
    chair = begun(tmp_path)
    learn(chair)
    return chair


def test_both_canals_are_filled_in_the_chain(learnt: Chair) -> None:
    assert [outcome_of(learnt.case.told, canal) for canal in (B, P)] == ["filled", "filled"]
    assert not any(isinstance(entry, Departure) for entry in learnt.case.entries)
    assert not any(isinstance(entry, Answer) and entry.outside for entry in learnt.case.entries)
    assert learnt.case.closed


def test_it_rings_for_the_wrong_cone_and_for_nothing_else(learnt: Chair) -> None:
    sounds = [entry for entry in learnt.case.entries if isinstance(entry, Sound)]
    assert [(entry.remark.split(":")[0], entry.times) for entry in sounds] == [("cone", 2)]
    assert learnt.bells == 2
    assert len([entry for entry in learnt.case.entries if isinstance(entry, Held)]) == 1


def test_it_is_short() -> None:
    keyed = [keys for one in LESSONS for keys in lines_to_key(one.say)]
    assert len(keyed) <= 41
    assert sum(len(keys) + 1 for keys in keyed) <= 200
    assert sum(len(one.say.split()) for one in LESSONS) <= 560, "three minutes at three words a second"


TAUGHT = ["..", "-/", "--", "-.", ".", "//", "/", "-", "2*", "", "0*", "12*", "**", "+", "Backspace"]


@pytest.mark.parametrize("keys", TAUGHT)
def test_every_key_is_taught(keys: str) -> None:
    said = " ".join(one.say for one in LESSONS)
    keyed = [line for one in LESSONS for line in lines_to_key(one.say)]
    assert keys in keyed or (keys and keys in said)


def test_the_lesson_is_the_same_when_the_log_is_read_anew(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    for keys in [keys for one in LESSONS for keys in lines_to_key(one.say)]:
        before = lesson_now(chair.case)
        _, case, _ = read_case(chair.path)
        assert case is not None
        assert before is not None and lesson_now(case) == before
        chair.key(keys)


def test_a_lesson_survives_leaving_and_resuming(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    learn(chair, until=GO_P)
    chair.key("/", "8", "2")
    choices = {one.number: one.text for one in chair.lobby.view().prompt.choices}
    assert choices["11"].endswith(", open, practice")
    assert number(chair.key("11")) == GO_P
    learn(chair)
    assert chair.lobby.view().saying == LEARNED


POOL = [
    *dict.fromkeys(keys for one in LESSONS for keys in lines_to_key(one.say)),
    *("1", "2", "3", "0", "", "", "+", "++", "--", "-.", "1*", "3/", "6/", "9/", "11/", "/", ".", "//", "-", "*"),
    *("25/4", "3*20", "2*--", "5--", "4/--", "7/-.", "1**2", "rubbish", "35-", "99", "22", "0*30/4", "1*1"),
]


@pytest.mark.parametrize("seed", range(16))
def test_whatever_is_keyed_a_lesson_is_shown_and_what_it_says_leads_to_the_end(tmp_path: Path, seed: int) -> None:
    draw = random.Random(seed)
    chair = begun(tmp_path)
    learn(chair, until=draw.randint(1, CLOSE))
    keyed = draw.choices(POOL, k=draw.choice((1, 2, 3, 5, 8)))
    for keys in keyed:
        chair.key(keys)
        view = chair.lobby.view()
        assert chair.lobby.session is None or number(view), keyed
        assert chair.lobby.session is None or view.coach[0] == LESSONS[number(view) - 1].say, keyed
    assert at_last(chair), (keyed, chair.lobby.view().coach, chair.lobby.view().prompt)


ASTRAY = {
    "another step": (GO_P + 1, ["9/"], "You are at another step. This one: `6/`"),
    "another canal": (WRONG_LENGTH, ["2*"], "You are at another canal. This one: `1*`"),
    "the menu": (GO_P + 1, ["/"], "Not what you wanted? Enter goes back."),
    "the list of entries": (1, ["."], "Not what you wanted? 0 Enter goes back."),
    "finishing": (GO_P, ["+"], "Not what you wanted? 2 Enter goes back."),
    "an incident": (GO_P, ["//"], "Not what you wanted? Enter goes back."),
    "leaving": (GO_P, ["/", "8"], "Not what you wanted? 1 Enter goes back."),
    "the yes put off": (SAYS_YES, ["2"], GONE),
    "one line in two": (lesson("cones, number 41"), ["41"], BEGUN),
    "one canal alone": (lesson("3 mL"), ["1**3"], "One canal is left, the one you are at: `1**3`"),
    "the master file of one canal": (
        lesson("declared as"),
        ["", "30/4"],
        "One canal is left, the one you are at: `Enter` `30/4`",
    ),
    "the fill held": (FILL, ["6/", "35/4-0", "10/", "1", "1"], HELD),
}


@pytest.mark.parametrize(("at", "keys", "said"), ASTRAY.values(), ids=ASTRAY)
def test_the_way_back_is_said_and_leads_back(tmp_path: Path, at: int, keys: list[str], said: str) -> None:
    chair = begun(tmp_path)
    learn(chair, until=at)
    view = chair.key(*keys)
    assert view.coach == (LESSONS[at - 1].say, said)
    if said == GONE:
        chair.key(next(one.number for one in chair.key("/").prompt.choices if "yes" in one.text), "1")
    assert at_last(chair)


def test_a_wrong_patient_number_keeps_its_lesson_until_it_is_read_rightly(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    at = lesson("consent form")
    learn(chair, until=at)
    view = chair.key("1243")
    assert view.prompt.title.startswith("STOP") and chair.bells == 2
    assert (number(view), view.covered) == (at, True)
    learn(chair)
    assert chair.case.closed


def test_a_patient_number_left_wrong_is_passed_over(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    at = lesson("consent form")
    learn(chair, until=at)
    assert number(chair.key("1243", "1243", "3")) == at, "the stop stands, the tooth is asked next"
    assert number(chair.key("14")) == at + 2


def test_a_learner_who_takes_minutes_over_every_lesson_gets_there_too(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    for _ in range(60):
        for keys in told(chair.lobby.view()) if chair.lobby.session is not None else []:
            chair.clock.advance(200)
            view = chair.key(keys)
            if view.prompt.title == "Which canal":
                assert view.coach[1] == "After a while without a line the canal is asked once. You are at: " + (
                    f"`{chair.session.room.cursor.canal}`"
                )
                chair.key(*told(view))
    assert chair.lobby.view().saying == LEARNED


def test_an_incident_that_is_none_is_what_its_lesson_waits_for(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    learn(chair, until=SLIP)
    assert number(chair.key("//", "1")) == SLIP
    assert number(chair.key("//", "0")) == SLIP + 1


def test_the_right_cone_at_once_needs_no_holding_back(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    learn(chair, until=WRONG_CONE)
    assert number(chair.key("30/4")) == RIGHT_CONE


def test_what_was_only_to_be_tried_is_passed_over(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    learn(chair, until=SLIP)
    assert number(chair.key("0*1**3")) == SLIP + 2


def test_an_answer_out_of_turn_is_not_asked_for_again(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    learn(chair, until=WRONG_LENGTH)
    chair.key("6/", "12*30/4-0", "5/", "1*")
    assert number(chair.lobby.view()) == WRONG_LENGTH
    learn(chair, until=GO_P - 1)
    view = chair.lobby.view()
    assert LESSONS[number(view) - 1].until.question != "shaping.file" or number(view) == GO_P - 1


def test_one_canal_alone_is_not_kept_waiting_for_the_other(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    learn(chair, until=lesson("1+2"))
    chair.key("1**1")
    keys = ["20.5", "30/4-0", "", "30/4", "1**3", "-0**1", "1**11", "25/4", "1", "30/4**-0**1**1", "503", "1", "1"]
    chair.key(*keys)
    assert number(chair.lobby.view()) == CLOSE
    learn(chair)
    assert chair.case.closed


def test_a_visit_that_ends_early_is_only_to_be_closed(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    learn(chair, until=GO_P)
    assert number(chair.key("/", "5", "1", "1")) == CLOSE


def test_a_step_declared_not_done_is_not_waited_for(tmp_path: Path) -> None:
    chair = begun(tmp_path)
    learn(chair, until=lesson("cones, number 41"))
    assert number(chair.key("3/--")) == lesson("beside Enter") + 1


def real_house(folder: Path, protocol: Protocol, settings: Settings | None = None) -> Lobby:
    text = FILE.read_text(encoding="utf-8") if protocol.lesson else ""
    return Lobby(House(folder, SystemClock(), protocol, text, settings or Settings(), "", lambda: None))


def one_visit() -> Protocol:
    return load_file(bundled("protocols") / "one_visit.toml")[0]


def test_it_is_practice_under_a_real_clock_too(tmp_path: Path) -> None:
    lobby = real_house(tmp_path, one_visit())
    assert not lobby.view().banner
    lobby.enter("4")
    assert lobby.view().banner.startswith("PRACTICE 1 of ")
    assert lobby.session is not None
    case = lobby.session.room.case
    lobby.leave()
    assert case.header.practice
    assert "PRACTICE" in render(compose(case))


TAUGHT_VISIT = '\n[[lesson]]\nsay = "Close it."\nuntil = { entry = "close" }\n'


@pytest.fixture
def taught(tmp_path: Path) -> Path:
    """The protocol of a visit, with a lesson."""
    path = tmp_path / "taught.toml"
    made = (bundled("protocols") / "one_visit.toml").read_text(encoding="utf-8")
    path.write_text(made + TAUGHT_VISIT, encoding="utf-8")
    return path


def test_no_second_visit_goes_on_from_practice_with_lessons(tmp_path: Path, taught: Path) -> None:
    chair = Chair(tmp_path / "sessions", protocol=taught)
    chair.open(tooth="11")
    chair.key(*FIRST)
    assert chair.case.closed and unfinished(chair.case), "without lessons it would be gone on from"
    listed = list_sessions(tmp_path / "sessions")
    for practice in (True, False):
        assert not any_offered(listed, practice=practice)
        assert not list(offered(listed, practice=practice))
    with pytest.raises(Unreadable, match="is a practice tooth: nothing goes on from it"):
        to_go_on_from(chair.path)


def test_practice_with_lessons_goes_on_from_no_visit(tmp_path: Path, taught: Path) -> None:
    first_visit(tmp_path / "sessions")
    assert Chair(tmp_path / "sessions").lobby.known.goes_on, "the visit is there to go on from"
    chair = Chair(tmp_path / "sessions", protocol=taught)
    assert "2" not in {one.number for one in chair.lobby.view().prompt.choices}
    assert chair.key("2").saying == "No closed visit has a canal that is left to go on with."


def test_a_protocol_with_lessons_is_always_for_practice(tmp_path: Path) -> None:
    lobby = real_house(tmp_path, PROTOCOL)
    for keys in ("1", "1234", "14", "1", "2", "1"):
        lobby.enter(keys)
    assert lobby.view().coach == (LESSONS[0].say,)
    assert lobby.session is not None
    assert lobby.session.room.case.header.practice
    lobby.leave()


def test_the_practices_own_stock_and_people_do_not_change_it(tmp_path: Path) -> None:
    own = one_visit()
    people = tuple(structs.replace(one, number=one.number + 50) for one in own.person)
    settings = Settings(sound=False, theme="light", person=people, item=own.item[:1])
    lobby = real_house(tmp_path, own, settings)
    lobby.enter("4")
    assert lobby.session is not None
    case = lobby.session.room.case
    assert case.protocol == PROTOCOL
    assert case.header.settings == 'sound = false\ntheme = "light"\n'
    assert lobby.view().banner.endswith("sound off")
    lobby.leave()


def test_the_start_screen_speaks_to_a_newcomer_until_a_session_was_opened(tmp_path: Path) -> None:
    chair = Chair(tmp_path)
    view = chair.lobby.view()
    assert view.prompt.card == NEWCOMER
    assert "4" in {one.number for one in view.prompt.choices}
    assert chair.key("9").saying.startswith("Type 1, 4, ")
    chair.key("4", "/", "8", "2")
    view = chair.lobby.view()
    assert not view.prompt.card
    assert "4" in {one.number for one in view.prompt.choices}


def test_a_session_without_lessons_has_no_coach(tmp_path: Path) -> None:
    assert Chair(tmp_path).open().coach == ()


def test_when_all_lessons_are_done_it_says_how_to_close(tmp_path: Path) -> None:
    text = FILE.read_text(encoding="utf-8")
    head, first = text.split("\n[[lesson]]\n")[:2]
    mine = tmp_path / "mine.toml"
    mine.write_text(f"{head}\n[[lesson]]\n{first}", encoding="utf-8")
    chair = Chair(tmp_path, protocol=mine)
    view = chair.open("1234", "14")
    assert number(view) == 1
    view = chair.key("7")
    assert (number(view), view.coach) == (0, (DONE,))
    assert replace(view, coach=()).banner == "PRACTICE"
