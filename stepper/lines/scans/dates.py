"""Dates in barcodes: two digits of a year, a day that may be left open, a day counted from the first of January."""

from __future__ import annotations

import calendar
import datetime as dt

from stepper.facts.values import Expiry
from stepper.sums.expiry import expired


def full_year(two_digits: int, today: dt.date) -> int:
    """Give the year that two digits mean: from 49 years back to 50 years ahead (GS1 General Specifications)."""
    century = today.year - today.year % 100
    ahead = two_digits - today.year % 100
    if ahead >= 51:
        return century - 100 + two_digits
    return century + two_digits + (100 if ahead <= -50 else 0)


def expiry(year: int, month: int, day: int) -> Expiry | None:
    """Make an expiry, or None where there is no such date. Day 0 leaves it open: good until the month's last day."""
    if not (dt.MINYEAR <= year <= dt.MAXYEAR and 1 <= month <= 12):
        return None
    if not 0 <= day <= calendar.monthrange(year, month)[1]:
        return None
    return Expiry(year=year, month=month, day=day or None)


def of_year(year: int, day: int) -> Expiry | None:
    """Make an expiry of the day of a year, counted from 1, or None where there is no such day."""
    if not (dt.MINYEAR <= year <= dt.MAXYEAR and 1 <= day <= (366 if calendar.isleap(year) else 365)):
        return None
    date = dt.date(year, 1, 1) + dt.timedelta(days=day - 1)
    return Expiry(year=date.year, month=date.month, day=date.day)


def is_past(good_until: Expiry, today: dt.date) -> bool:
    """Say whether an expiry is past."""
    return expired(good_until.year, good_until.month, today, good_until.day)
