"""The values an answer can hold. Each carries its kind, so that it comes back from the log as it went in.

Depths are told as the distance short of the working length in mm: positive is short of it, negative beyond it,
zero at length. Decimals are written as text, so that 20.50 stays 20.50.
"""

import datetime as dt
from decimal import Decimal

from stepper.facts.record import Kind, finite
from stepper.facts.why import Why as Why

MOST_MM = 99
"""No depth lies further from length, either way."""


class Number(Kind, tag="number", frozen=True):
    """A number as keyed; its unit is the question's."""

    value: Decimal

    def __post_init__(self) -> None:
        """Refuse what is no number."""
        finite(self.value)


class Choice(Kind, tag="choice", frozen=True):
    """One or more options of the question, by their ids, in the order keyed."""

    options: tuple[str, ...]


class Size(Kind, tag="size", frozen=True):
    """An ISO 3630-1 size (hundredths of a mm at the tip) with its taper in mm per mm; `stock` is a stock number."""

    size: int
    taper: Decimal
    stock: int | None = None

    def __post_init__(self) -> None:
        """Refuse a taper that is no number."""
        finite(self.taper)


class Instrument(Kind, tag="instrument", frozen=True):
    """A file, with the distance of its tip short of the working length in mm (negative: beyond)."""

    size: int
    taper: Decimal
    short_mm: Decimal
    stock: int | None = None

    def __post_init__(self) -> None:
        """Refuse a taper that is no number, and a depth outside the range."""
        finite(self.taper)
        _in_range(self.short_mm)


class Depth(Kind, tag="depth", frozen=True):
    """A distance short of the working length in mm (negative: beyond)."""

    short_mm: Decimal

    def __post_init__(self) -> None:
        """Refuse what is outside the range."""
        _in_range(self.short_mm)


class Day(Kind, tag="date", frozen=True):
    """A calendar date."""

    value: dt.date


class Expiry(Kind, tag="expiry", frozen=True):
    """The month in which a lot expires; it is good until that month's last day, or until a `day` that the code says."""

    year: int
    month: int
    day: int | None = None

    def __post_init__(self) -> None:
        """Refuse a month or a day that there is not."""
        if not dt.MINYEAR <= self.year <= dt.MAXYEAR:
            raise ValueError("there is no such year")
        dt.date(self.year, self.month, 1 if self.day is None else self.day)  # a ValueError says what is wrong with it


class TimeOfDay(Kind, tag="time", frozen=True):
    """A time on the clock, local."""

    hour: int
    minute: int

    def __post_init__(self) -> None:
        """Refuse a time that there is not."""
        dt.time(self.hour, self.minute)


class Span(Kind, tag="span", frozen=True):
    """A duration in seconds."""

    seconds: int

    def __post_init__(self) -> None:
        """Refuse less than nothing."""
        if self.seconds < 0:
            raise ValueError("a duration is not negative")


class Digits(Kind, tag="digits", frozen=True):
    """A number that is a name, such as a patient number: leading zeros count."""

    value: str


class Text(Kind, tag="text", frozen=True):
    """Free text, keyed where a full keyboard is at hand."""

    value: str


class Scan(Kind, tag="scan", frozen=True):
    """A barcode as the scanner sent it, symbology identifier and separators included; its lot, and its item's code.

    Sessions from before codes were read hold `raw` alone.
    """

    raw: str
    lot: str | None = None
    code: str | None = None


class Absent(Kind, tag="absent", frozen=True):
    """No fact, and the reason said."""

    why: Why


Value = Number | Choice | Size | Instrument | Depth | Day | Expiry | TimeOfDay | Span | Digits | Text | Scan | Absent
"""Any value an answer can hold."""


def _in_range(short_mm: Decimal) -> None:
    finite(short_mm)
    if abs(short_mm) > MOST_MM:
        raise ValueError("a depth lies within 99 mm of length")
