"""When a lot goes out of date: a month is good until its last day (GS1 General Specifications), a day to its end."""

from __future__ import annotations

import calendar
import datetime as dt


def last_day(year: int, month: int) -> dt.date:
    """Return the last day of a month, leap years counted.

    Raises:
        ValueError: no such month or year.

    """
    if not (1 <= month <= 12 and dt.MINYEAR <= year <= dt.MAXYEAR):
        raise ValueError(f"Expiry {month}.{year} is not allowed: the month is 1 to 12, the year has up to four digits.")
    return dt.date(year, month, calendar.monthrange(year, month)[1])


def expired(year: int, month: int, on: dt.date, day: int | None = None) -> bool:
    """Say whether a lot good until the end of that month, or of a `day` of it, is out of date on the day `on`.

    Raises:
        ValueError: no such day, month or year.

    """
    return on > (last_day(year, month) if day is None else dt.date(year, month, day))
