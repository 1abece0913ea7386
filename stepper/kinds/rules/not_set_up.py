"""A lot in hand that is none of those that were set up."""

from typing import ClassVar

from stepper.facts.entries import TOOTH
from stepper.facts.state import Row
from stepper.facts.values import Digits, Scan
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name, Place
from stepper.kinds.stock import lot_of


class NotSetUp(Rule, tag="not_set_up", frozen=True):
    """Speaks when the lot of `question` was not keyed or scanned at `among` (`step.question`) today. Gap: lot."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"lot"})

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
        lots = [one.facts[name].value for one in seen.view.rows_of(step, TOOTH) if name in one.facts]
        lot = lot_of(fact.value)
        if lot in {lot_of(one) for one in lots if isinstance(one, Digits | Scan)}:
            return None
        return Finding((fact.seq,), {"lot": lot})
