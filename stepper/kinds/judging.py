"""What every rule has, what it may look at, and what it finds."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import ClassVar, Literal

from stepper.facts.remarks import Weight
from stepper.facts.state import Fact, Row, View
from stepper.facts.values import Number
from stepper.kinds.shape import Exact, Flag, KindOfTable, Name, NotNegative, Sentence, Table
from stepper.kinds.tables import Tables


class UpTo2(NotNegative):
    """Millimetres."""

    __slots__ = ()
    most = Decimal(2)


class UpTo5(NotNegative):
    """Millimetres."""

    __slots__ = ()
    most = Decimal(5)


class UpTo16(NotNegative):
    """Millimetres."""

    __slots__ = ()
    most = Decimal(16)


class Tolerance(NotNegative):
    """Of a file's diameter, in mm."""

    __slots__ = ()
    most = Decimal("0.1")


class Reckoned(Exact):
    """Millimetres."""

    __slots__ = ()
    least = Decimal(3)
    most = Decimal(30)


class Limits(Table, kw_only=True, frozen=True):
    """What the gate goes by. Lengths in mm.

    `at_length_mm`: a tip this near to length is at length. `span_mm`: over how much of the apical canal no file cut to
    length may be wider than the master apical file. `dry_within_mm`: how near to length the paper point must have gone.
    `final_rinse`: families of solution needed after the last cut, in the order that the practice uses. What gauging
    proves is reckoned with `read_error_mm` of a stop, `file_tolerance_mm` of a file's diameter up to size 60 and
    `file_tolerance_over_60_mm` above it, all either way, as far as `reckoned_mm` up from length.
    """

    at_length_mm: UpTo2
    span_mm: UpTo16 = UpTo16(3)
    dry_within_mm: UpTo5
    final_rinse: tuple[Name, ...]
    read_error_mm: UpTo2 = UpTo2("0.3")
    file_tolerance_mm: Tolerance = Tolerance("0.02")
    file_tolerance_over_60_mm: Tolerance = Tolerance("0.04")
    reckoned_mm: Reckoned = Reckoned(16)


@dataclass(frozen=True, slots=True)
class Moment:
    """When something happened: microseconds of the clock that a machine starts anew at each `boot`."""

    boot: str
    us: int


def _no_moment(seq: int) -> Moment | None:  # noqa: ARG001 - without a log nothing has a moment
    return None


@dataclass(frozen=True, slots=True)
class Seen:
    """What a rule may look at: one view of the record, the protocol's tables and limits, and the day of the visit.

    `happened` are the kinds of incident that were logged; `moment` tells when what an entry says happened.
    """

    view: View
    tables: Tables
    limits: Limits
    today: dt.date
    rests_on: Mapping[str, tuple[str, ...]]
    happened: frozenset[str] = frozenset()
    moment: Callable[[int], Moment | None] = _no_moment

    def begun(self, step: str) -> bool:
        """Tell whether anything was logged in a step, for the tooth or any canal."""
        return any(rows for (name, _), rows in self.view.rows.items() if name == step)


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule found: the entries it rests on, and the words for the gaps of its sentence."""

    evidence: tuple[int, ...]
    gaps: Mapping[str, str] = field(default_factory=dict)


class Rule(KindOfTable, kw_only=True, frozen=True):
    """What a protocol says of a rule, whatever its kind.

    A rule looks at each row of its step (`on_row`), or at what stands for each canal and the tooth (`standing`).
    `before = true` asks it before the act is logged, so that the act can still be left undone. `READS` are the kinds of
    question that each of its keys may name.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset()
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {}

    id: Name
    weight: Weight
    text: Sentence
    sound: Literal[0, 1] = 0
    before: Flag = False

    def on_row(self, seen: Seen, row: Row) -> Finding | None:  # noqa: ARG002 - the default finds nothing
        """Judge one row of the step."""
        return None

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - the default finds nothing
        """Judge what stands for a canal, or for the tooth (0)."""
        return None

    def questions(self) -> tuple[str, ...]:
        """Name the questions that the rule reads, `question` or `step.question`: the loader looks that they exist."""
        return ()


def number_of(fact: Fact | None) -> Decimal | None:
    """Give the number that a fact holds, if it holds one."""
    return fact.value.value if fact is not None and isinstance(fact.value, Number) else None
