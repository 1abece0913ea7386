"""The screen lock: when it locks, that nothing of a patient shows, what opens it, and that incidents still go in."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.facts.entries import Incident
from stepper.session.locking import FREE_TRIES, WAIT_S, Door, Locking
from stepper.session.replay import open_replay
from stepper.session.view import Tone
from tests.drive import START, STEP_S, Chair
from tests.samples import FOLDER
from tests.session.locked import AFTER_MIN, PIN, Locked, locked, opened, pins
from tests.session.stations import OTHER, VISIT, seated
from tests.session.table import EACH_CONVERSATION
from tests.session.ways import Case

OPEN = f"2**{PIN}"


@pytest.fixture
def at(tmp_path: Path) -> Locked:
    """In the middle of shaping, the screen open."""
    return opened(seated(tmp_path, "shaping"), tmp_path)


def entries(at: Locked) -> int:
    return len(at.chair.case.entries)


def test_it_begins_locked_and_the_number_with_the_pin_opens_it(tmp_path: Path) -> None:
    at = locked(Chair(tmp_path), tmp_path)
    view = at.desk.view()
    assert view.masked
    assert view.prompt.question == "Locked since 09:00."
    assert "7**90210" in view.prompt.hint
    assert "//" in view.saying
    view = at.key(OPEN)
    assert not view.masked
    assert view.prompt.title == "Start"


def test_the_pin_can_be_typed_behind_the_number_in_a_line_of_its_own(tmp_path: Path) -> None:
    at = locked(Chair(tmp_path), tmp_path)
    assert "And the PIN?" in at.key("2").prompt.question
    assert "And the PIN?" not in at.key("").prompt.question, "Enter goes back to the number"
    assert not at.key("2", PIN).masked


def test_it_locks_after_the_minutes_that_are_set_and_not_before(at: Locked) -> None:
    assert not at.wait(AFTER_MIN - 0.1).masked
    assert at.wait(0.1).masked


@pytest.mark.parametrize("key", ["typing", "enter", "move", "take_offer", "menu"])
def test_any_key_holds_it_open(at: Locked, key: str) -> None:
    for _ in range(3):
        assert not at.wait(AFTER_MIN - 1).masked
        {
            "typing": lambda: at.desk.typing("2"),
            "enter": lambda: at.desk.enter("++"),
            "move": lambda: at.desk.move("up"),
            "take_offer": at.desk.take_offer,
            "menu": at.desk.menu,
        }[key]()
    assert not at.desk.view().masked


def test_looking_at_it_does_not_hold_it_open(at: Locked) -> None:
    for _ in range(AFTER_MIN * 60):
        at.chair.clock.advance(1)
        locked_now = at.desk.clocks().locked
    assert locked_now


def test_a_machine_that_slept_is_locked_whoever_strikes_the_first_key(at: Locked) -> None:
    logged = entries(at)
    at.chair.clock.advance(8 * 3600)
    at.desk.typing("4")
    at.desk.typing("40/4-0")
    at.desk.enter("40/4-0")
    view = at.desk.view()
    assert view.masked
    assert "that line was not taken" in view.saying
    assert entries(at) == logged
    assert at.key(OPEN).prompt.title == "10 Shaping"


def test_what_was_typed_before_the_lock_was_seen_is_no_wrong_try(at: Locked) -> None:
    for _ in range(FREE_TRIES):
        at.chair.clock.advance(3600)
        at.desk.enter("2**1111")
        assert "that line was not taken" in at.desk.view().saying
        assert not at.key(OPEN).masked


STATIONS = [*VISIT, *OTHER]


@pytest.mark.parametrize("station", STATIONS)
def test_the_locked_screen_is_the_same_wherever_the_visit_stands(tmp_path: Path, station: str) -> None:
    """Nothing of the visit can be read off a screen that does not depend on it."""
    bare = locked(Chair(tmp_path / "bare", start=START), tmp_path)
    at = opened(seated(tmp_path / "visit", station), tmp_path)
    at.desk.typing("35/4")
    view, wanted = at.wait(60), bare.desk.view()
    asked = replace(wanted.prompt, question=view.prompt.question)
    assert view == replace(wanted, prompt=asked)
    assert view.prompt.question.removeprefix("Locked since ").replace(":", "").rstrip(".").isdecimal()
    assert (at.desk.clocks().running, at.desk.clocks().away, at.desk.pending) == ((), False, "")


@pytest.mark.parametrize("case", EACH_CONVERSATION, ids=lambda case: case.mode.__name__)
def test_in_every_conversation_it_locks_and_opens_and_goes_on_there(tmp_path: Path, case: Case) -> None:
    at = opened(case.provoked(tmp_path / "visit"), tmp_path)
    before = at.desk.view().prompt
    assert at.wait(60).masked
    assert at.key(OPEN).prompt == before


def test_nothing_is_logged_by_what_is_keyed_at_the_locked_screen(at: Locked) -> None:
    at.wait(60)
    logged, cursor = entries(at), at.chair.session.room.cursor
    at.key("40/4-0", "", "/", "++", "1*", "3/", ".", "5--", "]d2010", "word", "..", "/8", "2", "+", "9**", "**")
    at.desk.move("up")
    at.desk.take_offer()
    at.desk.menu()
    assert at.desk.view().masked
    assert (entries(at), at.chair.session.room.cursor) == (logged, cursor)
    assert at.desk.answer(at.desk.view()) is None


def test_an_incident_is_stamped_at_once_and_the_screen_stays_locked(at: Locked) -> None:
    at.wait(60)
    logged = entries(at)
    view = at.key("//")
    stamped = at.chair.case.entries[-1]
    assert entries(at) == logged + 1
    assert isinstance(stamped, Incident)
    assert view.masked
    assert view.saying == f"Incident stamped at {at.desk.clocks().now}. Open the screen to say what it was."
    at.key("//")
    assert entries(at) == logged + 2, "each is stamped"
    view = at.key(OPEN)
    assert view.prompt.title == "INCIDENT"
    at.key("0", "0")
    assert at.desk.view().prompt.title == "10 Shaping"


@pytest.mark.parametrize("case", EACH_CONVERSATION, ids=lambda case: case.mode.__name__)
def test_it_is_stamped_whatever_is_being_asked_under_the_lock(tmp_path: Path, case: Case) -> None:
    at = opened(case.provoked(tmp_path / "visit"), tmp_path)
    at.wait(60)
    before = at.chair.session.view().prompt
    logged, shown = entries(at), at.key("//")
    assert [one.kind for one in at.chair.case.entries[logged:]] == ["incident"]
    assert shown.saying.startswith("Incident stamped at ")
    at.key(OPEN, "0")
    after = at.chair.session.view().prompt
    assert (after.title, after.question) == (before.title, before.question)


def test_an_incident_that_cannot_be_saved_is_not_said_to_be_stamped(at: Locked) -> None:
    at.wait(60)
    logged = entries(at)
    at.chair.session.room.journal.close()
    view = at.key("//")
    assert view.masked
    assert view.saying.startswith("Not stamped.")
    assert view.saying_tone is Tone.STOP
    assert entries(at) == logged


def test_without_a_session_it_says_that_none_was_stamped(tmp_path: Path) -> None:
    view = locked(Chair(tmp_path), tmp_path).key("//")
    assert view.masked
    assert view.saying.startswith("No session is open, so no incident was stamped.")
    replay = Locking(open_replay(FOLDER / "plain-single-canal.jsonl"), Chair(tmp_path).clock, door(tmp_path))
    replay.enter("//")
    assert replay.view().saying == view.saying


def door(folder: Path, people: frozenset[int] | None = None) -> Door:
    return Door(folder / "pins.toml", AFTER_MIN, people)


def test_a_replay_is_locked_too(tmp_path: Path) -> None:
    pins(tmp_path / "pins.toml", {2: PIN})
    replay = Locking(open_replay(FOLDER / "plain-single-canal.jsonl"), Chair(tmp_path).clock, door(tmp_path))
    assert replay.view().masked
    replay.enter(OPEN)
    assert "REPLAY entry 0" in replay.view().title


def typed_file(at: Locked) -> Path:
    return at.chair.path.with_suffix(".typed")


def test_the_half_typed_line_is_kept_and_stands_again_when_it_is_open(at: Locked) -> None:
    at.desk.typing("40/4")
    at.wait(60)
    assert at.desk.pending == ""
    at.key("2**1111")
    assert typed_file(at).read_text() == "40/4"
    at.key(OPEN)
    assert at.desk.pending == "40/4"
    at.desk.typing("40/4-0")
    at.desk.enter("40/4-0")
    assert at.desk.pending == ""
    assert "40/.04" in at.desk.view().saying


def test_a_line_that_was_wiped_before_it_locked_does_not_come_back(at: Locked) -> None:
    at.desk.typing("40/4")
    at.desk.typing("")
    at.wait(60)
    at.key(OPEN)
    assert at.desk.pending == ""


def test_a_line_that_the_last_run_left_and_that_was_wiped_since_does_not_come_back_either(tmp_path: Path) -> None:
    chair = seated(tmp_path / "visit", "shaping")
    chair.session.typing("40/4")
    chair.session.leave()
    again = Chair(tmp_path / "visit", start=chair.clock.now().wall)
    at = opened(again, tmp_path)
    at.key("11")
    assert at.desk.pending == "40/4"
    at.wait(60)
    at.key(OPEN)
    assert at.desk.pending == "40/4", "nothing was wiped yet"
    at.desk.typing("")
    at.wait(60)
    at.key(OPEN)
    assert at.desk.pending == ""


def test_a_line_that_was_entered_is_not_offered_again(at: Locked) -> None:
    at.key("40/4-0")
    at.wait(60)
    at.key(OPEN)
    assert at.desk.pending == ""


def test_a_line_that_only_enter_was_missing_from_is_not_entered_late(at: Locked) -> None:
    logged = entries(at)
    at.desk.typing("40/4-0")
    at.chair.clock.advance(3600)
    at.desk.enter("40/4-0")
    assert entries(at) == logged
    at.key(OPEN)
    assert at.desk.pending == "40/4-0"


def test_a_half_typed_answer_is_not_put_to_the_question_what_happened(at: Locked) -> None:
    """`4` was the beginning of a file; entered now it would say that there was a hypochlorite accident."""
    at.desk.typing("4")
    at.wait(60)
    at.key("//")
    assert typed_file(at).read_text() == "4", "a crash before it is opened does not lose it"
    view = at.key(OPEN)
    assert view.prompt.title == "INCIDENT"
    assert at.desk.pending == ""
    assert view.saying.endswith("Half typed before: 4")


def test_the_pin_is_in_no_file(tmp_path: Path) -> None:
    at = opened(seated(tmp_path / "visit", "shaping"), tmp_path)
    at.wait(60)
    secret = "86420975"
    at.key(f"2**{secret}", "2", secret, f"7**{secret}", OPEN)
    at.chair.session.leave()
    kept = [path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()]
    assert len(kept) >= 2
    assert not [one for one in kept if secret.encode() in one]
    assert secret not in json.dumps(at.chair.trace)


@pytest.mark.parametrize(
    "line", ["2**1111", "1**4711", "9**4711", "2**", "2**4711**1", "2**04711", "2**٤٧١١", "002**1"]
)
def test_number_and_pin_are_wrong_in_the_same_words(tmp_path: Path, line: str) -> None:
    view = locked(Chair(tmp_path), tmp_path).key(line)
    assert view.masked
    assert view.saying == "Number or PIN is wrong."


def test_somebody_who_is_in_the_file_but_not_in_the_practice_does_not_open_it(tmp_path: Path) -> None:
    at = Locked(Chair(tmp_path), tmp_path / "pins.toml", given={2: PIN, 9: "9999"})
    assert at.key("9**9999").masked
    assert not at.key(OPEN).masked


@given(st.text(max_size=30))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=150, deadline=None)
def test_no_other_line_opens_it_and_none_breaks_it(tmp_path: Path, line: str) -> None:
    at = locked(Chair(tmp_path), tmp_path)
    view = at.key(line)
    assert view.masked or line.strip(" \t") == OPEN
    assert line.strip() == "" or len(line.strip()) < 4 or line not in view.saying + view.prompt.question


def test_after_five_wrong_tries_half_a_minute_must_pass(tmp_path: Path) -> None:
    at = locked(Chair(tmp_path), tmp_path)
    for _ in range(FREE_TRIES - 1):
        assert at.key("2**1111").saying == "Number or PIN is wrong."
    assert at.key("2**1111").saying == f"Number or PIN is wrong. {FREE_TRIES} wrong tries: wait {WAIT_S} s."
    at.chair.clock.advance(WAIT_S - STEP_S - 0.5)
    view = at.key(OPEN)
    assert view.masked
    assert "wait 1 s more" in view.saying
    assert at.key("//").saying.startswith("No session"), "incidents do not wait"
    assert not at.key(OPEN).masked


def test_from_then_on_each_wrong_try_costs_as_much_until_it_was_opened(tmp_path: Path) -> None:
    at = locked(Chair(tmp_path), tmp_path)
    at.key(*["2**1111"] * FREE_TRIES)
    at.wait(1)
    assert "6 wrong tries: wait" in at.key("2**1111").saying
    assert at.key(OPEN).masked
    at.wait(1)
    at.key(OPEN)
    at.wait(60)
    for _ in range(FREE_TRIES - 1):
        assert at.key("2**1111").saying == "Number or PIN is wrong.", "it counts anew"
    assert not at.key(OPEN).masked


def test_where_nobody_has_a_pin_it_never_locks(tmp_path: Path) -> None:
    at = Locked(Chair(tmp_path), tmp_path / "pins.toml")
    assert not at.desk.view().masked
    assert not at.wait(600).masked
    at = Locked(Chair(tmp_path), tmp_path / "pins.toml", given={9: "9999"})
    assert not at.wait(600).masked, "nor where only somebody has one who is gone"


def test_a_pin_that_is_set_meanwhile_counts(at: Locked, tmp_path: Path) -> None:
    at = Locked(Chair(tmp_path / "other"), tmp_path / "none.toml")
    at.wait(AFTER_MIN)
    pins(at.file, {1: "2468"})
    assert at.wait(AFTER_MIN).masked
    pins(at.file, {1: "1357"})
    assert at.key("1**2468").masked
    assert not at.key("1**1357").masked


def test_when_the_last_pin_is_taken_away_the_next_line_opens_it(tmp_path: Path) -> None:
    at = locked(Chair(tmp_path), tmp_path)
    at.file.unlink()
    assert at.desk.view().masked
    assert not at.key("").masked


DAMAGED = "pins.toml is damaged."


def test_a_file_that_is_damaged_at_the_start_locks_nobody_out_and_is_said_all_the_time(tmp_path: Path) -> None:
    (tmp_path / "pins.toml").write_text("[[pin]]\nperson = 2\n")
    at = Locked(seated(tmp_path / "visit", "shaping"), tmp_path / "pins.toml")
    assert at.desk.view().banner == f"{DAMAGED} The screen does not lock.   PRACTICE"
    assert not at.wait(600).masked
    logged = entries(at)
    at.key("//", "0")
    assert entries(at) > logged
    assert at.desk.view().banner.startswith(DAMAGED)
    pins(at.file, {2: PIN})
    assert at.wait(AFTER_MIN).masked, "once it is mended it locks again"
    assert at.key(OPEN).banner == "PRACTICE"


def test_a_file_that_gets_damaged_meanwhile_leaves_the_pins_that_were_read(tmp_path: Path) -> None:
    at = opened(seated(tmp_path / "visit", "shaping"), tmp_path)
    at.file.write_bytes(b"")
    view = at.wait(60)
    assert view.masked
    assert view.saying.startswith(DAMAGED)
    assert at.key("2**1111").masked
    assert at.key("//").saying.startswith("Incident stamped")
    assert not at.key(OPEN).masked


def test_it_can_be_locked_at_once_on_the_start_screen(tmp_path: Path) -> None:
    at = opened(Chair(tmp_path), tmp_path)
    assert ("6", "lock the screen") in [(one.number, one.text) for one in at.desk.view().prompt.choices]
    assert at.key("6").masked
    assert not at.key(OPEN).masked
    at = Locked(Chair(tmp_path), tmp_path / "none.toml")
    assert "6" not in [one.number for one in at.desk.view().prompt.choices]
    assert "Type 1, 4, 5" in at.key("6").saying


def test_unlocked_it_is_the_desk_under_it(at: Locked) -> None:
    at.key("40/4-0")
    assert at.desk.view() == at.chair.lobby.view()
    assert at.desk.clocks() == at.chair.lobby.clocks()
    before = at.desk.view()
    at.key("", "45/4-0")
    assert at.desk.answer(before) == at.chair.lobby.answer(before)
    at.desk.fit(30)
    assert at.chair.session.room.page_rows == 30


@pytest.mark.parametrize("station", STATIONS)
def test_what_was_shown_while_it_was_locked_is_no_ground_for_a_quick_answer(tmp_path: Path, station: str) -> None:
    at = opened(seated(tmp_path / "visit", station), tmp_path)
    before = at.wait(60)
    at.desk.enter(OPEN)
    assert at.desk.answer(before) is None


def test_alarms_ring_as_before(at: Locked) -> None:
    at.chair.session.room.bells = 2
    at.wait(60)
    assert at.desk.bells() == 2
    assert at.desk.bells() == 0
    at.key("2**1111", OPEN)
    assert at.desk.bells() == 0


def test_to_open_it_is_not_to_be_back_at_the_keys_of_the_session(tmp_path: Path) -> None:
    """After two minutes an answer has to say its canal, also where opening the screen came between."""
    at = opened(seated(tmp_path / "visit", "both measured"), tmp_path)
    at.key("10/", "1*")
    at.wait(60)
    at.key(OPEN)
    assert at.key("20/4-0").prompt.title == "Which canal"
