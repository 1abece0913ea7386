"""A lot in hand that is none of those that were set up."""

from __future__ import annotations

from typing import ClassVar, Literal

from stepper.facts.entries import TOOTH
from stepper.facts.state import Row
from stepper.facts.values import Digits, Scan
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name, Place


class NotSetUp(Rule):
    """Speaks when the lot of `question` was not keyed or scanned at `among` (`step.question`) today. Gap: lot."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"lot"})

    kind: Literal["not_set_up"]
    question: Name
    among: Place

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.question, self.among)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:
        """Look through everything that was set up and not put away again."""
        fact = row.facts.get(self.question)
        if fact is None or not isinstance(fact.value, Digits | Scan):
            return None
        step, _, name = self.among.partition(".")
        known = [one.facts[name].value for one in seen.view.rows_of(step, TOOTH) if name in one.facts]
        if fact.value in known:
            return None
        lot = fact.value.value if isinstance(fact.value, Digits) else "as scanned"
        return Finding((fact.seq,), {"lot": lot})
