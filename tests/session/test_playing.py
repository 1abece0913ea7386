"""A replay that plays by itself: every entry comes when it came, by the machine's clock, at every speed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from stepper.case.clocks import keyed
from stepper.record.clock import SetClock
from stepper.record.places import bundled
from stepper.session.playing import SPEEDS, Playing
from stepper.session.replay import Replay, open_replay
from stepper.session.review import Study
from stepper.session.store import read_case

WRONG = bundled("sample_sessions") / "wrong-cone-caught.jsonl"
START = dt.datetime(2026, 11, 20, 18, 0, tzinfo=dt.UTC)


def played(tmp_path: Path) -> tuple[Replay, SetClock]:
    clock = SetClock(START)
    return open_replay(WRONG, study=Study(clock, tmp_path)), clock


def at(replay: Replay) -> int:
    return int(replay.view().title.split()[2])


def seconds_between(one: int, other: int) -> float:
    case = read_case(WRONG)[1]
    assert case is not None
    return (keyed(case.entries[other]).mono_us - keyed(case.entries[one]).mono_us) / 1e6


@pytest.mark.parametrize(("number", "speed"), [("7", 1), ("8", 10), ("9", 60)])
def test_each_entry_comes_when_it_came(number: str, speed: int, tmp_path: Path) -> None:
    replay, clock = played(tmp_path)
    replay.enter("20")
    replay.enter("/")
    replay.enter(number)
    assert replay.view().saying == f"Playing {SPEEDS[speed]}; Enter stops."
    wait = seconds_between(20, 22) / speed
    clock.advance(wait - 0.001)
    assert replay.clocks().entry == at(replay) == 21
    clock.advance(0.002)
    assert replay.clocks().entry == at(replay) == 22
    replay.enter("")
    assert replay.view().saying == "Stopped at entry 22."
    clock.advance(10_000)
    assert at(replay) == 22


def test_the_clocks_run_on_between_two_entries(tmp_path: Path) -> None:
    replay, clock = played(tmp_path)
    replay.enter("36")
    stood = {one.word: one.time for one in replay.clocks().running}
    replay.enter("/")
    replay.enter("7")
    clock.advance(7)
    runs = {one.word: one.time for one in replay.clocks().running}
    assert at(replay) == 36
    assert stood["visit"] != runs["visit"]
    assert int(runs["visit"].split(":")[-1]) == int(stood["visit"].split(":")[-1]) + 7


def test_after_the_last_entry_it_stops_by_itself(tmp_path: Path) -> None:
    replay, clock = played(tmp_path)
    replay.enter("60")
    replay.enter("/")
    replay.enter("9")
    clock.advance(10_000)
    assert replay.view().saying == "This is the last entry."
    assert at(replay) == 65
    replay.enter("-")
    assert at(replay) == 64


def test_any_other_line_stops_it_and_is_taken(tmp_path: Path) -> None:
    replay, clock = played(tmp_path)
    replay.enter("/")
    replay.enter("8")
    clock.advance(30)
    came = at(replay)
    assert came > 0
    replay.enter("-")
    assert at(replay) == came - 1
    clock.advance(10_000)
    assert at(replay) == came - 1


@given(st.lists(st.integers(0, 3_600_000_000), min_size=1, max_size=8), st.integers(0, 20_000_000_000))
def test_it_is_never_ahead_of_the_session_and_never_an_entry_behind(waits: list[int], passed_us: int) -> None:
    """Against a plain sum of the waits: the entry is the last whose sum has passed."""
    case = read_case(WRONG)[1]
    assert case is not None
    first, since = case.entries[0], 5
    stamps = [sum(waits[:count]) for count in range(len(waits) + 1)]
    entries = [replace(first, mono_us=first.mono_us + stamp) for stamp in stamps]
    now = replace(SetClock(START).now(), mono_us=since + passed_us)
    playing = Playing(entries, 0, since, 1)
    assert playing.at(now) == max(count for count, stamp in enumerate(stamps) if stamp <= passed_us)
    shown = playing.moment(now).mono_us - first.mono_us
    assert shown == min(passed_us, stamps[-1])


def test_over_a_restart_of_the_machine_the_wall_clock_tells() -> None:
    case = read_case(WRONG)[1]
    assert case is not None
    first = case.entries[0]
    later = replace(first, boot="another", mono_us=5, t=first.t + dt.timedelta(seconds=90))
    earlier = replace(first, boot="another", mono_us=5, t=first.t - dt.timedelta(seconds=90))
    now = SetClock(START).now()
    for entry, due in ((later, 90_000_000), (earlier, 0)):
        playing = Playing([first, entry], 0, now.mono_us, 1)
        assert playing.at(replace(now, mono_us=now.mono_us + due)) == 1
        if due:
            assert playing.at(replace(now, mono_us=now.mono_us + due - 1)) == 0
