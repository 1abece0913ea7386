"""A number below what the practice wants."""

from collections.abc import Mapping
from typing import ClassVar

from stepper.facts.state import Row
from stepper.kinds.judging import Finding, Rule, Seen, number_of
from stepper.kinds.shape import Exact, Name
from stepper.kinds.words import plain


class AtLeast(Rule, tag="at_least", frozen=True):
    """Speaks when a number is below `limit`. Gaps: value, limit."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"value", "limit"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"question": ("number",)}

    question: Name
    limit: Exact

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.question,)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:  # noqa: ARG002 - the row says it all
        """Compare."""
        fact = row.facts.get(self.question)
        value = number_of(fact)
        if fact is None or value is None or value >= self.limit:
            return None
        return Finding((fact.seq,), {"value": plain(value), "limit": plain(self.limit)})
