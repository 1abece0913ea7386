"""Dates, expiry months, times on the clock and durations as they are typed, with points between their parts."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from typing import Final

from stepper.facts.values import Day, Expiry, Span, TimeOfDay
from stepper.lines.refusal import Refusal, refuse

FIRST_YEAR, LAST_YEAR = 1900, 2099
"""Years taken for meant in a date; an expiry begins in 2000."""

MOST_SECONDS: Final = 24 * 60 * 60
"""A longer duration than a day, in seconds, is a slip."""

_DATE: Final = re.compile(r"([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4})")
_EXPIRY: Final = re.compile(r"([0-9]{1,2})\.([0-9]{4})")
_TIME: Final = re.compile(r"([0-9]{1,2})\.([0-9]{2})")
_SPAN: Final = re.compile(r"(?:([0-9]{1,3})\.)?([0-9]{1,5})")
_DATE_FORM: Final = "type day, month and year in four digits, as in 3.4.2026"
_EXPIRY_FORM: Final = "type month and year in four digits, as in 4.2027"
_TIME_FORM: Final = "type hours and two digits of minutes, as in 9.05 or 14.30"
_SPAN_FORM: Final = "type seconds as in 90, or minutes and two digits of seconds as in 1.30"


def date(typed: str) -> Day | Refusal:
    """Read a calendar date, D.M.YYYY, from 1900 to 2099."""
    parts = _DATE.fullmatch(_plain(typed))
    if parts is None:
        return refuse(typed, _DATE_FORM)
    day, month, year = map(int, parts.groups())
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return refuse(typed, f"the year is from {FIRST_YEAR} to {LAST_YEAR}")
    if not 1 <= month <= 12:
        return refuse(typed, f"no month {month}; day first, then month 1 to 12, as in 3.4.2026")
    last = calendar.monthrange(year, month)[1]
    if not 1 <= day <= last:
        return refuse(typed, f"no day {day}; month {month} of {year} has days 1 to {last}")
    return Day(value=dt.date(year, month, day))


def expiry(typed: str) -> Expiry | Refusal:
    """Read the month in which a lot expires, M.YYYY, from 2000 to 2099."""
    parts = _EXPIRY.fullmatch(_plain(typed))
    if parts is None:
        return refuse(typed, _EXPIRY_FORM)
    month, year = map(int, parts.groups())
    if not 1 <= month <= 12:
        return refuse(typed, f"no month {month}; month 1 to 12 comes first, as in 4.2027")
    if not 2000 <= year <= LAST_YEAR:
        return refuse(typed, f"the year of an expiry is from 2000 to {LAST_YEAR}")
    return Expiry(year=year, month=month)


def time(typed: str) -> TimeOfDay | Refusal:
    """Read a time on the 24-hour clock, HH.MM."""
    parts = _TIME.fullmatch(_plain(typed))
    if parts is None:
        return refuse(typed, _TIME_FORM)
    hour, minute = map(int, parts.groups())
    if hour > 23:
        return refuse(typed, f"no hour {hour}; hours are 0 to 23, as in 14.30")
    if minute > 59:
        return refuse(typed, f"no minute {minute}; minutes are 00 to 59, as in 14.30")
    return TimeOfDay(hour=hour, minute=minute)


def span(typed: str) -> Span | Refusal:
    """Read a duration in seconds: `90` is 90 s; `1.30` is 1 min 30 s, its seconds always two digits below 60."""
    parts = _SPAN.fullmatch(_plain(typed))
    if parts is None:
        return refuse(typed, _SPAN_FORM)
    minutes, seconds = parts.groups()
    if minutes and len(seconds) != 2:
        return refuse(typed, f"seconds after the point are two digits; {_SPAN_FORM}")
    if minutes and int(seconds) > 59:
        return refuse(typed, f"seconds after the point are 00 to 59; {_SPAN_FORM}")
    total = 60 * int(minutes or 0) + int(seconds)
    if total > MOST_SECONDS:
        return refuse(typed, f"longer than a day; at most {MOST_SECONDS} seconds")
    return Span(seconds=total)


def _plain(typed: str) -> str:
    return typed.strip(" \t").replace(",", ".")
