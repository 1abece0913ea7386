"""An answer that points to something in the record which is not there."""

from collections.abc import Mapping
from typing import ClassVar

from stepper.facts.entries import TOOTH
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.outcome import outcome_of
from stepper.kinds.shape import Name


class Unlogged(Rule, tag="unlogged", frozen=True):
    """Speaks when one of `any` is answered, no incident of that kind is logged and no canal has that outcome.

    Gap: incident, the words of its id.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"incident"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"question": ("choice",)}

    question: Name
    any: tuple[Name, ...]
    incident: Name
    outcome: Name

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.question,)

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:
        """Look for the incident, and for a canal that ended so."""
        chosen = seen.view.chosen(f"{step}.{self.question}", TOOTH)
        if canal != TOOTH or not set(chosen) & set(self.any) or self.incident in seen.happened:
            return None
        if any(outcome_of(seen.view, number) == self.outcome for number in seen.view.canals):
            return None
        fact = seen.view.fact(f"{step}.{self.question}", TOOTH)
        evidence = (fact.seq,) if fact is not None else ()
        return Finding(evidence, {"incident": self.incident.replace("_", " ")})
