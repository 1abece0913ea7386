"""Something nearer to the working length than the practice wants it."""

from collections.abc import Mapping
from typing import ClassVar

from stepper.facts.state import Row
from stepper.facts.values import Depth, Instrument
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Exact, Name
from stepper.kinds.words import distance, plain


class Nearer(Rule, tag="nearer", frozen=True):
    """Speaks when a depth is less than `limit_mm` short of length. Gaps: short, limit."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"short", "limit"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"depth": ("depth", "instrument")}

    depth: Name
    limit_mm: Exact

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.depth,)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:  # noqa: ARG002 - the row says it all
        """Look at the distance keyed."""
        fact = row.facts.get(self.depth)
        if fact is None or not isinstance(fact.value, Depth | Instrument) or fact.value.short_mm >= self.limit_mm:
            return None
        return Finding((fact.seq,), {"short": distance(fact.value.short_mm), "limit": plain(self.limit_mm)})
