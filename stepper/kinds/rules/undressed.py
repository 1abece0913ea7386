"""A treated canal left without a filling and without a dressing."""

from typing import ClassVar

from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.outcome import outcome_of, treated
from stepper.kinds.shape import Name


class Undressed(Rule, tag="undressed", frozen=True):
    """Speaks once step `by` has begun. Gap: canal."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"canal"})

    by: Name

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it goes by roles
        """Look at what was done in the canal."""
        if not canal or not seen.begun(self.by) or not treated(seen.view, canal):
            return None
        if outcome_of(seen.view, canal) in ("filled", "filled_outside", "joins"):
            return None
        if seen.view.role("dressing", canal) is not None:
            return None
        return Finding((), {"canal": seen.view.canals[canal].name})
