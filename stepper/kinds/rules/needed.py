"""Facts that must be there once a later step has begun."""

from typing import ClassVar

from stepper.facts.entries import TOOTH
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name


class Needed(Rule, tag="needed", frozen=True):
    """Speaks when step `by` has begun and a question of this step has no fact. Gap: missing."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"missing"})

    question: tuple[Name, ...]
    by: Name

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return self.question

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:
        """Look for the facts that are missing, for the tooth or for each canal as the step has it."""
        if seen.tables.of_tooth(step) != (canal == TOOTH) or not self._due(seen, canal):
            return None
        facts = {name: seen.view.fact(f"{step}.{name}", canal) for name in self.question}
        missing = [name for name, fact in facts.items() if fact is None or fact.absent]
        if not missing:
            return None
        evidence = tuple(sorted({fact.seq for name, fact in facts.items() if name in missing and fact is not None}))
        return Finding(evidence, {"missing": ", ".join(name.replace("_", " ") for name in missing)})

    def _due(self, seen: Seen, canal: int) -> bool:
        if canal == TOOTH or seen.tables.of_tooth(self.by):
            return seen.begun(self.by)
        return bool(seen.view.rows_of(self.by, canal))
