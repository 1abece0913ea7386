"""What every table of a protocol file has in common.

The tables are read by msgspec, by these types alone: it takes or refuses a file in a millisecond, and says the first
thing that is wrong. Every mistake at once is told by `stepper.protocol.mirror`, from the same types.
"""

from decimal import Decimal
from typing import Annotated, ClassVar, Final, Self, TypeVar

from msgspec import Meta, convert

from stepper.facts.record import Kind, Record

T = TypeVar("T", bound="Table")


class Exact(Decimal):
    """A decimal written as a TOML number, within the range of its kind: `above` or `least`, and `most`."""

    __slots__ = ()

    above: ClassVar[Decimal | None] = None
    least: ClassVar[Decimal | None] = None
    most: ClassVar[Decimal | None] = None

    @classmethod
    def read(cls, value: object) -> Self:
        """Give the decimal that was written: a float's binary tail would never match a keyed figure.

        A ValueError says what is allowed.
        """
        if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
            raise ValueError("must be a number")
        number = cls(repr(value) if isinstance(value, float) else value)
        if not number.is_finite():
            raise ValueError("must be a number, not inf or nan")
        if cls.above is not None and number <= cls.above:
            raise ValueError(f"must be above {cls.above}")
        if cls.least is not None and number < cls.least:
            raise ValueError(f"must be at least {cls.least}")
        if cls.most is not None and number > cls.most:
            raise ValueError(f"must be at most {cls.most}")
        return number


class Positive(Exact):
    """Above zero."""

    __slots__ = ()
    above = Decimal(0)


class NotNegative(Exact):
    """Zero or more."""

    __slots__ = ()
    least = Decimal(0)


class Taper(NotNegative):
    """A taper in mm per mm; 4 per cent is 0.04."""

    __slots__ = ()
    most = Decimal("0.12")


Whole = int
"""A whole number, written without quotes."""

Flag = bool
"""true or false, written without quotes."""

NAME: Final = r"\A[a-z][a-z0-9_]{0,39}\Z"
PLACE: Final = r"\A[a-z][a-z0-9_]{0,39}\.[a-z][a-z0-9_]{0,39}\Z"
INITIALS: Final = r"\A[^\W\d_]{1,8}\Z"
SHOWABLE: Final = r"\A[^\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]*\Z"

Name = Annotated[str, Meta(pattern=NAME)]
"""An id: small letters, digits and underscores."""

Place = Annotated[str, Meta(pattern=PLACE)]
"""A question named from elsewhere: `step.question`."""

Sentence = Annotated[str, Meta(min_length=1, max_length=400, pattern=SHOWABLE)]
"""A sentence of the protocol, on one line: no sign in it can move the cursor or turn the text round."""

Unit = Annotated[str, Meta(max_length=20, pattern=SHOWABLE)]
"""A unit or a strength, such as `mL` or `3 %`."""


class Table(Record, frozen=True):
    """A frozen protocol table that refuses keys it does not know."""


class KindOfTable(Table, Kind, frozen=True):
    """A table that is one of several kinds; its `kind` says which."""


def read_table(kind: type[T], raw: object) -> T:
    """Read a table from what a TOML file holds; a ValueError says the first thing that is wrong, and where."""
    return convert(raw, kind, dec_hook=_exact)


def _exact(kind: type[Exact], value: object) -> Exact:
    return kind.read(value)
