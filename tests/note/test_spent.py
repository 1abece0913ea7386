"""Where the time went, by hand on short logs, and added up on any."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from stepper.facts import entries as kinds
from stepper.facts.ringing import Sound
from stepper.note.spent import MINUTE_US, WAIT_US, spent
from stepper.note.spent_shape import Spent
from stepper.note.spent_words import ABOUT, SHARED, minutes, spent_rows
from tests.case.visit import Visit
from tests.cases import Log, opened

S = 1_000_000
SHAPING = {"file": "25/4-0", "purpose": "cut"}


def begun() -> Visit:
    """A visit with three canals, an entry each 20 seconds; the access is entry 1."""
    return opened(Visit())  # type: ignore[return-value]


def work(log: Log) -> list[tuple[str, tuple[int, ...], int, tuple[int, ...]]]:
    return [(one.step, one.canals, one.when.us // S, one.when.entries) for one in spent(log.case()).work]


def rows(log: Log) -> list[str]:
    return [one.text for one in spent_rows(log.case())]


def in_one_line(log: Log, step: str, *canals: int, **typed: str) -> None:
    """The answers of one line: the first after the usual time, the others a few thousandths of a second later."""
    for place, canal in enumerate(canals):
        log.answer(step, canal, **typed)
        if place:
            log.elapsed_s -= log.step_s
            last = log.entries[-1]
            log.entries[-1] = replace(last, mono_us=log.elapsed_s * S + place * 7000, t=log.entries[-2].t)


def test_time_belongs_to_what_is_keyed_at_its_end() -> None:
    log = begun()
    log.answer("shaping", 1, **SHAPING)
    log.answer("shaping", 1, 2, file="30/4-0", purpose="cut")
    log.answer("shaping", 2, **SHAPING)
    assert work(log) == [
        ("access", (0,), 20, (0, 1)),
        ("shaping", (1,), 40, (1, 2, 3)),
        ("shaping", (2,), 20, (3, 4)),
    ]


def test_time_before_going_elsewhere_belongs_to_where_one_was() -> None:
    log = begun()
    log.log(kinds.Go, step="shaping", canal=1)
    log.wait(1)
    log.answer("drying", 1, dryness="dry")
    assert work(log) == [("access", (0,), 40, (0, 1, 2)), ("drying", (1,), 80, (2, 3))]


def test_before_one_was_anywhere_time_belongs_to_where_one_went() -> None:
    log = Visit()
    log.log(kinds.Go, step="access", canal=0)
    log.log(kinds.Close)
    assert work(log) == [("access", (0,), 40, (0, 2))]


def test_what_has_no_place_leaves_its_time_to_what_follows_and_at_the_end_to_what_came_before() -> None:
    log = begun()
    log.log(kinds.Confirm, of=(1,), said_by=1)
    log.answer("shaping", 1, **SHAPING)
    log.relieve(3)
    log.close()
    assert work(log) == [("access", (0,), 20, (0, 1)), ("shaping", (1,), 80, (1, 3, 5))]


def test_what_was_keyed_afterwards_or_mends_an_entry_has_no_time_of_its_own() -> None:
    log = begun()
    log.answer("length", 1, electronic="20.5", ago=3)
    log.correct(1, canals="mb+ml")
    log.answer("shaping", 1, **SHAPING)
    assert work(log) == [("access", (0,), 20, (0, 1)), ("shaping", (1,), 60, (1, 4))]


def test_what_was_measured_anew_has() -> None:
    log = begun()
    log.answer("length", 1, electronic="20.5")
    log.answer("shaping", 1, **SHAPING)
    log.correct(2, anew=True, electronic="20")
    assert work(log)[-1] == ("length", (1,), 20, (3, 4))


def test_canals_of_one_line_share_its_time_equally() -> None:
    log = begun()
    in_one_line(log, "shaping", 1, 2, 3, **SHAPING)
    assert [one[:2] for one in work(log)] == [("access", (0,)), ("shaping", (1, 2, 3))]
    shares = {(one.step, one.canal): one.us for one in spent(log.case()).shares}
    total = 20 * S + 2 * 7000
    assert [shares["shaping", canal] for canal in (1, 2, 3)] == [6_671_334, 6_671_333, 6_671_333]
    assert sum(shares.values()) - shares["access", 0] == total
    assert SHARED in rows(log)


def test_canals_of_two_lines_do_not() -> None:
    log = begun()
    for canal in (1, 2):
        log.answer("shaping", canal, **SHAPING)
    assert [one[1] for one in work(log)] == [(0,), (1,), (2,)]
    assert SHARED not in rows(log)


def test_answers_of_two_steps_that_come_close_together_are_no_line() -> None:
    log = begun()
    log.answer("shaping", 1, **SHAPING)
    log.step_s = 0
    log.answer("drying", 2, dryness="dry")
    assert [one[:3] for one in work(log)][1:] == [("shaping", (1,), 20), ("drying", (2,), 0)]


def test_while_the_session_was_not_open_no_time_is_spent_and_none_waited() -> None:
    log = begun()
    log.wait(30)
    log.log(kinds.Resume, app="test")
    log.answer("shaping", 1, **SHAPING)
    found = spent(log.case())
    assert [one.us // S for one in found.away] == [30 * 60 + 20]
    assert found.waits == ()
    assert work(log) == [("access", (0,), 20, (0, 1)), ("shaping", (1,), 20, (2, 3))]
    assert "The session was not open for 30 min, 09:00 to 09:30." in rows(log)


@pytest.mark.parametrize(("less_us", "told"), [(0, True), (1, False)])
def test_a_long_time_without_an_entry_is_told_as_such(less_us: int, told: bool) -> None:
    log = begun()
    log.log(Sound, remark="x:1:1", times=1, silent=False)  # the program's own sound is nothing that was keyed
    log.elapsed_s += WAIT_US // S - 2 * log.step_s
    log.answer("shaping", 1, **SHAPING)
    last = log.entries[-1]
    log.entries[-1] = replace(last, mono_us=last.mono_us - less_us)
    assert bool(spent(log.case()).waits) == told
    assert ("Nothing was keyed for 5 min, 09:00 to 09:05." in rows(log)) == told


def test_time_goes_by_the_machine_and_not_by_the_wall() -> None:
    log = begun()
    log.answer("shaping", 1, **SHAPING)
    log.entries[2] = replace(log.entries[2], t=log.entries[2].t + dt.timedelta(hours=3))
    found = spent(log.case())
    assert (found.whole.us // S, found.about) == (40, False)


@pytest.mark.parametrize(("minutes_on", "expected_s"), [(10, 640), (-30, 20)])
def test_over_a_restart_of_the_machine_the_wall_tells_or_nothing_does(minutes_on: int, expected_s: int) -> None:
    log = begun()
    log.boot = "boot-2"
    log.answer("shaping", 1, **SHAPING)
    last = log.entries[2]
    log.entries[2] = replace(last, mono_us=5, t=last.t + dt.timedelta(minutes=minutes_on))
    found = spent(log.case())
    assert (found.whole.us // S, found.about) == (expected_s, True)
    assert ABOUT in rows(log)


@pytest.mark.parametrize("how", ["close", "void"])
def test_what_comes_after_the_end_is_no_time_at_the_chair(how: str) -> None:
    log = begun()
    log.close() if how == "close" else log.void("Wrong patient.")
    before = rows(log)
    log.wait(60)
    log.correct(1, canals="mb+ml")
    assert [one for one in rows(log) if not one.startswith("In all")] == before[1:]
    assert rows(log)[0] == "In all: 1 min, 09:00."


# Solutions.


def test_a_solution_stands_until_another_takes_its_place_or_the_canal_is_dry() -> None:
    log = begun()
    log.rinse("hypochlorite_3", "hypochlorite_3", "edta_17")  # entries 2, 3, 4
    log.dry("damp")
    log.dry()
    found = spent(log.case()).solutions
    assert [(one.item, one.canal, one.when.us // S, one.when.entries, one.ended) for one in found] == [
        ("hypochlorite_3", 1, 40, (2, 3, 4), True),
        ("edta_17", 1, 40, (4, 6), True),
    ]


def test_a_solution_that_nothing_ended_is_told_as_such() -> None:
    log = begun()
    log.rinse("hypochlorite_3")
    log.wait(4)
    log.close()
    assert "Sodium hypochlorite 3 % in MB: 4 min, 09:00 to 09:05, its end is not recorded." in rows(log)


def test_a_rinse_keyed_afterwards_stands_from_when_it_is_said_to_have_been() -> None:
    log = begun()
    log.wait(6)
    log.rinse("hypochlorite_3", ago=5)
    log.dry()
    (found,) = spent(log.case()).solutions
    assert (found.when.since_us // S, found.when.until_us // S) == (20 + 360 + 20 - 300, 420)


def test_canals_with_the_same_solution_at_the_same_time_are_told_together() -> None:
    log = begun()
    typed = {"solution": "edta_17", "volume": "1", "needle_depth": "-2", "needle": "needle_30_side"}
    in_one_line(log, "irrigation", 1, 2, **typed)
    log.wait(2)
    in_one_line(log, "drying", 1, 2, dryness="dry", point_depth="0", blood="none")
    assert [one for one in rows(log) if "EDTA" in one] == ["EDTA 17 % in MB, ML: 2 min, 09:00 to 09:03."]


# Incidents and what rang.


def test_incidents_and_sounds_are_marked() -> None:
    log = begun()
    seq = log.incident("shaping", 1, "separated_file")
    log.log(Sound, remark="expired:1:1", times=2, silent=False)
    log.log(Sound, remark="no_dam:1:1", times=1, silent=True)
    (incident, twice, silent) = [one for one in spent_rows(log.case()) if one.text.startswith("09:0")]
    assert (incident.text, incident.entries) == ("09:00: incident, Separated file.", (seq, seq + 1))
    assert twice.text == "09:01: rang twice: expired."
    assert silent.text == "09:01: would have rung, sound off: no dam."


def test_what_an_incident_was_may_not_be_on_record() -> None:
    log = begun()
    log.incident("shaping", 1)
    assert "09:00: incident, what it was is not recorded." in rows(log)


def test_whole_minutes() -> None:
    told = {0: "0", 1: "<1", 29 * S: "<1", 30 * S: "1", 89 * S: "1", 90 * S: "2"}
    assert {us: minutes(us) for us in told} == told


# Any log.


@st.composite
def logs(draw: st.DrawFn) -> Log:
    log = begun()
    for _ in range(draw(st.integers(1, 25))):
        log.elapsed_s += draw(st.sampled_from([0, 0, 30, 400]))
        log.step_s = draw(st.sampled_from([0, 20]))
        step, canal = draw(st.sampled_from(["length", "shaping", "irrigation"])), draw(st.integers(1, 3))
        match draw(st.integers(0, 7)):
            case 0:
                log.log(kinds.Go, step=step, canal=canal)
            case 1:
                log.log(kinds.Resume, app="test")
            case 2:
                log.incident(step, canal)
            case 3:
                log.log(Sound, remark="x:1:1", times=1, silent=False)
            case 4:
                log.declare(step, canal)
            case 5:
                log.answer("shaping", canal, ago=draw(st.integers(1, 9)), **SHAPING)
            case _:
                log.answer("shaping", canal, **SHAPING)
    return log


@settings(deadline=None, max_examples=60)
@given(logs())
def test_all_time_is_somewhere_and_none_of_it_twice(log: Log) -> None:
    found: Spent = spent(log.case())
    stretches = sorted((*(one.when for one in found.work), *found.away), key=lambda one: (one.since_us, one.until_us))
    assert sum(one.us for one in stretches) == found.whole.us
    at = 0
    for one in stretches:
        assert one.since_us == at
        at = one.until_us
    assert sum(one.us for one in found.shares) == sum(one.when.us for one in found.work)
    for one in stretches:
        assert one.us == 0 or len(one.entries) >= 2
        assert list(one.entries) == sorted(set(one.entries))
    assert all(one.entries for one in spent_rows(log.case()))


def test_a_minute_is_one() -> None:
    assert MINUTE_US == 60 * S
