"""The sound test of the day, and that every session says whether sound could be heard."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import os
from pathlib import Path

import pytest
from msgspec import structs

from stepper.case.gate import shut
from stepper.case.judge import judge
from stepper.facts.entries import AnyEntry
from stepper.facts.ringing import SoundState
from stepper.facts.ringing import Tested as Result
from stepper.note.compose import compose
from stepper.note.text import render
from stepper.protocol.settings import Settings
from stepper.record.clock import Moment, since_1970_us
from stepper.session.lobby import Lobby
from stepper.session.sound_test import FILE, day_of, drawn
from stepper.session.sound_test import tested as result_of
from stepper.session.store import read_case
from stepper.session.view import ChairView, Tone
from tests.cases import Log, ready
from tests.drive import Chair

MONDAY = dt.datetime.fromisoformat("2026-03-02T09:00:00+01:00")
DAY = dt.date(2026, 3, 2)


def chair(folder: Path, rings: int = 2, *, start: dt.datetime = MONDAY, sound: bool = True) -> Chair:
    made = Chair(folder, start=start)
    house = dataclasses.replace(made.lobby.house, rings=lambda: rings, settings=Settings(sound=sound))
    made.lobby = Lobby(house)
    return made


def way(view: ChairView) -> str:
    return next(one.text for one in view.prompt.choices if one.number == "5")


def states(entries: list[AnyEntry]) -> list[tuple[bool, str]]:
    return [(one.on, one.tested.value) for one in entries if isinstance(one, SoundState)]


@pytest.mark.parametrize("rings", [1, 2, 3])
@pytest.mark.parametrize("heard", ["0", "1", "2", "3"])
def test_it_rings_asks_and_keeps_what_was_heard(tmp_path: Path, rings: int, heard: str) -> None:
    one = chair(tmp_path, rings)
    assert way(one.lobby.view()) == "sound test: not done yet today"
    view = one.key("5")
    assert (view.prompt.question, one.bells) == ("How many rings did you hear?", rings)
    assert str(rings) not in f"{view.saying} {view.prompt.question} {view.prompt.title}", "it cannot be read off"
    assert one.lobby.bells() == 0, "it rings once for each time it is asked"
    view = one.key(heard)
    right = int(heard) == rings
    assert (view.saying == "Sound works.") is right
    assert view.saying_tone is (Tone.GOOD if right else Tone.STOP)
    if not right:
        assert "Check the loudspeaker, its volume and the terminal's bell" in view.saying
        assert "the band on the screen is the only sign of an alarm" in view.saying
    assert view.prompt.title == "Start"
    assert result_of(tmp_path, DAY) is (Result.HEARD if right else Result.NOT_HEARD)
    assert way(view) == f"sound test: done today, sound was {'heard' if right else 'NOT heard'}"


def test_it_can_ring_again_and_be_left(tmp_path: Path) -> None:
    one = chair(tmp_path, 3)
    one.key("5", "*")
    assert one.bells == 6
    for line in ("4", "", "12", "1**1", "1*2", "word", "+", "5-"):
        assert one.key(line).saying == "Type 0, 1, 2 or 3: so many rings were heard. * rings again."
    view = one.key("/")
    assert (view.prompt.title, view.over) == ("Start", False)
    assert not (tmp_path / FILE).exists()
    assert one.bells == 6


def test_the_number_is_drawn() -> None:
    assert {drawn() for _ in range(300)} == {1, 2, 3}


def test_it_counts_for_its_day_alone(tmp_path: Path) -> None:
    chair(tmp_path).key("5", "2")
    assert way(chair(tmp_path).lobby.view()) == "sound test: done today, sound was heard"
    assert way(chair(tmp_path, start=MONDAY + dt.timedelta(days=1)).lobby.view()) == "sound test: not done yet today"
    night = Moment(since_1970_us(dt.datetime(2026, 3, 1, 23, 30, tzinfo=dt.UTC)), "+01:00", "", 0, "")
    assert day_of(night) == DAY, "the day is that of the place"
    assert day_of(structs.replace(night, offset="-03:30")) == dt.date(2026, 3, 1)


def test_the_file_is_private_and_holds_no_more_than_the_day_and_the_answer(tmp_path: Path) -> None:
    chair(tmp_path / "new").key("5", "2")
    kept = tmp_path / "new" / FILE
    assert json.loads(kept.read_bytes()) == {"day": "2026-03-02", "heard": True}
    assert kept.stat().st_mode & 0o777 == 0o600
    assert kept.parent.stat().st_mode & 0o777 == 0o700
    assert [path.name for path in kept.parent.iterdir()] == [FILE]


@pytest.mark.parametrize(
    "broken",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"\xff\xfe",
        b'{"day": "2026-03-02"}',
        b'{"day": "2026-03-02", "heard": 1}',
        b'{"day": 20260302, "heard": true}',
        b"[" * 900,
        b'{"day": "2026-03-02", "heard": true}' + b" " * 2000 + b"x",
    ],
)
def test_a_broken_file_is_as_if_not_tested_and_is_written_anew(tmp_path: Path, broken: bytes) -> None:
    (tmp_path / FILE).write_bytes(broken)
    (tmp_path / f"{FILE}.new").write_bytes(b"left by a crash")
    one = chair(tmp_path)
    assert way(one.lobby.view()) == "sound test: not done yet today"
    assert one.key("5", "2").saying == "Sound works."
    assert result_of(tmp_path, DAY) is Result.HEARD
    assert [path.name for path in tmp_path.iterdir()] == [FILE]


def test_what_stands_in_its_place_hangs_and_breaks_nothing(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / FILE)
    assert result_of(tmp_path, DAY) is Result.NOT_TODAY
    (tmp_path / FILE).unlink()
    (tmp_path / FILE).mkdir()
    one = chair(tmp_path)
    assert one.key("5", "2").saying.startswith("Sound works. This could not be kept: ")
    assert one.key("5", "1").saying_tone is Tone.STOP


def test_with_sound_off_there_is_nothing_to_test_and_every_session_says_so(tmp_path: Path) -> None:
    one = chair(tmp_path, sound=False)
    assert way(one.lobby.view()) == "sound test: sound is switched off"
    view = one.key("5")
    assert (view.prompt.title, one.bells) == ("Start", 0)
    assert view.saying.startswith("Sound is switched off in practice.toml")
    assert "sound off" in one.open().banner
    assert states(one.case.entries) == [(False, "not_today")]
    assert "sound switched off" in [line.text for line in one.lobby.view().log]


def test_each_session_opened_or_resumed_says_whether_sound_was_heard(tmp_path: Path) -> None:
    one = chair(tmp_path)
    assert one.open().banner == "PRACTICE"
    assert states(one.case.entries) == [(True, "not_today")]
    one.session.leave()
    later = chair(tmp_path)
    later.key("5", "0")
    assert later.key("11").banner == "PRACTICE   sound not heard"
    assert states(later.case.entries) == [(True, "not_today"), (True, "not_heard")]
    later.session.leave()
    last = chair(tmp_path)
    last.key("5", "2")
    assert last.key("11").banner == "PRACTICE"
    assert [one.kind for one in last.case.entries][-2:] == ["resume", "sound_state"]
    last.session.leave()
    case = read_case(last.path)[1]
    assert case is not None
    assert states(case.entries) == [(True, "not_today"), (True, "not_heard"), (True, "heard")]
    note = render(compose(case))
    for words in ("sound not tested.", "sound tested: not heard.", "sound tested: heard."):
        assert words in note


def test_it_is_no_fact(tmp_path: Path) -> None:
    def stands(log: Log) -> object:
        case = log.case()
        return (
            [(one.remark.key, one.standing) for one in judge(case)],
            {number: shut(case, number) for number in case.told.canals},
            case.sounds,
            case.late,
            case.unconfirmed,
        )

    log = ready()
    before = stands(log)
    for on, heard in ((False, "not_today"), (True, "heard")):
        log.log(SoundState, on=on, tested=heard)
        assert stands(log) == before
    assert not list(tmp_path.iterdir())
