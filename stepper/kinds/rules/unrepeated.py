"""A step that was reopened and has not been repeated."""

from typing import ClassVar

from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.reopening import reopened_by


class Unrepeated(Rule, tag="unrepeated", frozen=True):
    """Speaks while this step stands reopened for a canal. Gap: canal."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"canal"})

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:
        """Ask the reopening chain."""
        by = reopened_by(seen.view, seen.rests_on, step, canal) if canal else None
        return None if by is None else Finding((by,), {"canal": seen.view.canals[canal].name})
