from __future__ import annotations

import datetime as dt
import time
from zoneinfo import ZoneInfo

import pytest

from stepper.record.clock import SetClock, SystemClock, offset_text, utc_text

BERLIN = ZoneInfo("Europe/Berlin")


def test_times_have_six_decimals_even_when_they_are_zero() -> None:
    assert utc_text(dt.datetime(2026, 11, 24, 9, 40, tzinfo=BERLIN)) == "2026-11-24T08:40:00.000000Z"
    assert utc_text(dt.datetime(2026, 11, 24, 8, 40, 0, 500000, dt.UTC)) == "2026-11-24T08:40:00.500000Z"
    assert utc_text(dt.datetime(33, 1, 2, tzinfo=dt.UTC)) == "0033-01-02T00:00:00.000000Z"


@pytest.mark.parametrize(
    ("minutes", "text"), [(0, "+00:00"), (60, "+01:00"), (-210, "-03:30"), (345, "+05:45"), (-720, "-12:00")]
)
def test_offsets(minutes: int, text: str) -> None:
    assert offset_text(dt.datetime(2026, 1, 1, tzinfo=dt.timezone(dt.timedelta(minutes=minutes)))) == text


def test_a_set_clock_moves_only_as_told() -> None:
    clock = SetClock(dt.datetime(2026, 11, 24, 9, 40, tzinfo=BERLIN))
    first, second = clock.now(), clock.now()
    assert first == second
    assert (first.offset, first.tz, clock.test) == ("+01:00", "Europe/Berlin", True)
    clock.advance(90.5)
    third = clock.now()
    assert third.wall - first.wall == dt.timedelta(seconds=90.5)
    assert third.mono_us - first.mono_us == 90_500_000
    assert third.boot == first.boot


def test_a_set_clock_may_tick_at_each_call() -> None:
    clock = SetClock(dt.datetime(2026, 11, 24, tzinfo=dt.UTC), tick_s=2)
    assert [clock.now().wall.second for _ in range(3)] == [0, 2, 4]


def test_the_hour_that_comes_twice_is_told_apart() -> None:
    clock = SetClock(dt.datetime(2026, 10, 25, 2, 30, tzinfo=BERLIN))
    summer = clock.now()
    clock.advance(3600)
    winter = clock.now()
    assert (summer.offset, winter.offset) == ("+02:00", "+01:00")
    assert (utc_text(summer.wall), utc_text(winter.wall)) == (
        "2026-10-25T00:30:00.000000Z",
        "2026-10-25T01:30:00.000000Z",
    )


def test_a_set_clock_needs_an_offset() -> None:
    with pytest.raises(ValueError, match="offset from UTC"):
        SetClock(dt.datetime(2026, 11, 24))


def test_the_system_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "Asia/Kathmandu")
    time.tzset()
    try:
        clock = SystemClock()
        first, second = clock.now(), clock.now()
    finally:
        monkeypatch.undo()
        time.tzset()
    assert (first.offset, first.tz, clock.test) == ("+05:45", "Asia/Kathmandu", False)
    assert first.wall.utcoffset() == dt.timedelta(0)
    assert second.mono_us >= first.mono_us > 0
    assert first.boot == second.boot != ""


@pytest.mark.parametrize(
    "odd", ["no/such zone", ":/etc/localtime", "/etc/localtime", "CET-1CEST,M3.5.0,M10.5.0/3", "a\x01"]
)
def test_a_zone_without_a_name_is_left_out(monkeypatch: pytest.MonkeyPatch, odd: str) -> None:
    monkeypatch.setenv("TZ", odd)
    assert SystemClock().now().tz == ""
