"""A canal that is said not to have been treated, although something was done in it."""

from typing import ClassVar

from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.outcome import outcome_of, treated

NOT_TREATED = "not_treated"


class Untreated(Rule, tag="untreated", frozen=True):
    """Speaks when the outcome is stated as not treated and files or rinses are logged in the canal. Gap: canal."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"canal"})

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it goes by roles
        """Compare what was stated with what was done."""
        stated = seen.view.role("outcome", canal) if canal else None
        if stated is None or outcome_of(seen.view, canal) != NOT_TREATED or not treated(seen.view, canal):
            return None
        return Finding((stated.seq,), {"canal": seen.view.canals[canal].name})
