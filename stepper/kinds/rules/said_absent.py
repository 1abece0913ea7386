"""A fact that was asked for and could not be given."""

from typing import ClassVar

from stepper.facts.state import Row
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name


class SaidAbsent(Rule, tag="said_absent", frozen=True):
    """Speaks when a question of the row was answered not done, not measured or owed."""

    GAPS: ClassVar[frozenset[str]] = frozenset()

    question: Name

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.question,)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:  # noqa: ARG002 - the row says it all
        """Look at the answer."""
        fact = row.facts.get(self.question)
        return Finding((fact.seq,)) if fact is not None and fact.absent else None
