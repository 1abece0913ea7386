"""A canal of which nobody has said how it ended."""

from typing import ClassVar

from stepper.facts.entries import TOOTH
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.outcome import outcome_of
from stepper.kinds.shape import Name


class NoOutcome(Rule, tag="no_outcome", frozen=True):
    """Speaks once step `by` has begun; of a tooth's step, with what is the tooth's: a canal's may be said at any time.

    Gap: canal.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"canal"})

    by: Name

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it goes by roles
        """Look for an outcome."""
        begun = bool(seen.view.rows_of(self.by, TOOTH)) if seen.tables.of_tooth(self.by) else seen.begun(self.by)
        if not canal or not begun or outcome_of(seen.view, canal) is not None:
            return None
        return Finding((), {"canal": seen.view.canals[canal].name})
