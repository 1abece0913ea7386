"""The values an answer can hold. Each carries its kind, so that it comes back from the log as it went in.

Depths are told as the distance short of the working length in mm: positive is short of it, negative beyond it,
zero at length. Decimals are written as text, so that 20.50 stays 20.50.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from stepper.facts.why import Why as Why

Millimetres = Annotated[Decimal, Field(ge=-99, le=99, allow_inf_nan=False)]


class Record(BaseModel):
    """A frozen record that refuses members it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Number(Record):
    """A number as keyed; its unit is the question's."""

    kind: Literal["number"] = "number"
    value: Decimal


class Choice(Record):
    """One or more options of the question, by their ids, in the order keyed."""

    kind: Literal["choice"] = "choice"
    options: tuple[str, ...]


class Size(Record):
    """An ISO 3630-1 size (hundredths of a mm at the tip) with its taper in mm per mm; `stock` is a stock number."""

    kind: Literal["size"] = "size"
    size: int
    taper: Decimal
    stock: int | None = None


class Instrument(Record):
    """A file, with the distance of its tip short of the working length in mm (negative: beyond)."""

    kind: Literal["instrument"] = "instrument"
    size: int
    taper: Decimal
    short_mm: Millimetres
    stock: int | None = None


class Depth(Record):
    """A distance short of the working length in mm (negative: beyond)."""

    kind: Literal["depth"] = "depth"
    short_mm: Millimetres


class Day(Record):
    """A calendar date."""

    kind: Literal["date"] = "date"
    value: dt.date


class Expiry(Record):
    """The month in which a lot expires; it is good until that month's last day, or until a `day` that the code says."""

    kind: Literal["expiry"] = "expiry"
    year: int
    month: Annotated[int, Field(ge=1, le=12)]
    day: Annotated[int, Field(ge=1, le=31)] | None = None

    @model_validator(mode="after")
    def _there_is_such_a_day(self) -> Expiry:
        if self.day is not None:
            dt.date(self.year, self.month, self.day)  # a ValueError says what is wrong with it
        return self


class TimeOfDay(Record):
    """A time on the clock, local."""

    kind: Literal["time"] = "time"
    hour: Annotated[int, Field(ge=0, le=23)]
    minute: Annotated[int, Field(ge=0, le=59)]


class Span(Record):
    """A duration in seconds."""

    kind: Literal["span"] = "span"
    seconds: Annotated[int, Field(ge=0)]


class Digits(Record):
    """A number that is a name, such as a patient number: leading zeros count."""

    kind: Literal["digits"] = "digits"
    value: str


class Text(Record):
    """Free text, keyed where a full keyboard is at hand."""

    kind: Literal["text"] = "text"
    value: str


class Scan(Record):
    """A barcode as the scanner sent it, symbology identifier and separators included; its lot, and its item's code.

    Sessions from before codes were read hold `raw` alone.
    """

    kind: Literal["scan"] = "scan"
    raw: str
    lot: str | None = None
    code: str | None = None


class Absent(Record):
    """No fact, and the reason said."""

    kind: Literal["absent"] = "absent"
    why: Why


Value = Annotated[
    Number | Choice | Size | Instrument | Depth | Day | Expiry | TimeOfDay | Span | Digits | Text | Scan | Absent,
    Field(discriminator="kind"),
]
"""Any value an answer can hold."""
