"""The order of the final rinse."""

from typing import ClassVar

from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.touched import final_rinses
from stepper.sums.clash import final_rinse_gap, in_order


class RinseOrder(Rule, tag="rinse_order", frozen=True):
    """Speaks at drying when the final rinse had all its solutions, but not in order. Gaps: order, used."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"order", "used"})

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it goes by roles
        """Compare the rinses since the last cut with the protocol's order, once drying has begun after them."""
        dried = seen.view.role("dryness", canal) if canal else None
        if dried is None:
            return None
        rinses = [one for one in final_rinses(seen.view, canal) if one.place < dried.place]
        used, order = [one.family for one in rinses], seen.limits.final_rinse
        if final_rinse_gap(used, order) or in_order(used, order):
            return None
        return Finding(tuple(one.seq for one in rinses), {"order": ", then ".join(order), "used": ", then ".join(used)})
