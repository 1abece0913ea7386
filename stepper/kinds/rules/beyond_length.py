"""A file beyond the working length."""

from collections.abc import Mapping
from decimal import Decimal
from typing import ClassVar

from stepper.facts.state import Row
from stepper.facts.values import Choice, Instrument
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Exact, Name, Table
from stepper.kinds.words import plain
from stepper.sums.iso3630 import name


class Allowance(Table, frozen=True):
    """How many mm beyond length a purpose may go."""

    purpose: Name
    mm: Exact


class BeyondLength(Rule, tag="beyond_length", frozen=True):
    """Speaks when a file went beyond length, but for purposes that may, within their distance. Gaps: file, beyond."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"file", "beyond"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"file": ("instrument",), "purpose": ("choice",)}

    file: Name
    purpose: Name
    allowed: tuple[Allowance, ...] = ()

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.file, self.purpose)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:  # noqa: ARG002 - the row says it all
        """Look at the distance keyed."""
        fact, purpose = row.facts.get(self.file), row.facts.get(self.purpose)
        if fact is None or not isinstance(fact.value, Instrument):
            return None
        chosen = purpose.value.options if purpose is not None and isinstance(purpose.value, Choice) else ()
        may = max((one.mm for one in self.allowed if one.purpose in chosen), default=Decimal(0))
        beyond = -fact.value.short_mm
        if beyond <= may:
            return None
        return Finding(row.seqs, {"file": name(fact.value.size, fact.value.taper), "beyond": plain(beyond)})
