"""The day on which a lot goes out of date."""

from __future__ import annotations

import datetime as dt

import pytest

from stepper.sums.expiry import expired, last_day


@pytest.mark.parametrize(
    ("year", "month", "day"),
    [
        # Worked example 6: GS1 dates with day 00 mean the last day of the month, leap years counted; FOUND.
        (2013, 2, 28),
        (2016, 2, 29),
        # Worked example 5: 241000; day derived.
        (2024, 10, 31),
        (2000, 2, 29),
        (2100, 2, 28),
        (2027, 4, 30),
        (2027, 12, 31),
        (9999, 12, 31),
    ],
)
def test_last_day(year: int, month: int, day: int):
    assert last_day(year, month) == dt.date(year, month, day)


def test_good_until_the_last_day_and_not_after():
    assert not expired(2027, 2, dt.date(2027, 2, 28))
    assert expired(2027, 2, dt.date(2027, 3, 1))
    assert not expired(2027, 2, dt.date(2026, 12, 31))
    assert not expired(2027, 12, dt.date(2027, 12, 31))
    assert expired(2027, 12, dt.date(2028, 1, 1))


def test_a_day_is_good_to_its_end():
    assert not expired(2027, 2, dt.date(2027, 2, 14), 14)
    assert expired(2027, 2, dt.date(2027, 2, 15), 14)
    with pytest.raises(ValueError, match="day is out of range"):
        expired(2027, 2, dt.date(2027, 2, 15), 29)


@pytest.mark.parametrize(("year", "month"), [(2027, 0), (2027, 13), (2027, -1), (0, 5), (10000, 5)])
def test_no_such_month(year: int, month: int):
    with pytest.raises(ValueError, match=r"^Expiry -?\d+\.\d+ is not allowed: the month is 1 to 12"):
        last_day(year, month)
