"""A computed value against what the practice wants."""

from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import ClassVar

from stepper.kinds.all_computed import COMPUTED
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Exact, Name
from stepper.kinds.words import plain


class ComputedValue(Rule, tag="computed", frozen=True):
    """Speaks when a computed value is below or above a limit or, where it is a word, one of `any`.

    Gaps: canal, value, below, above.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"canal", "value", "below", "above"})

    value: Name
    below: Exact | None = None
    above: Exact | None = None
    any: tuple[Name, ...] = ()

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it goes by roles
        """Compute and compare."""
        computed = COMPUTED[self.value]
        if (computed.scope == "T") != (canal == 0):
            return None
        found = computed.of(seen, canal)
        if found is None or not self._meets(found.value):
            return None
        gaps = {
            "canal": seen.view.canals[canal].name if canal else "",
            "value": self._shown(found.value),
            "below": plain(self.below) if self.below is not None else "",
            "above": plain(self.above) if self.above is not None else "",
        }
        return Finding(found.entries, gaps)

    def _meets(self, value: Decimal | str) -> bool:
        if isinstance(value, str):
            return value in self.any
        return self._too_low(value) or (self.above is not None and value > self.above)

    def _too_low(self, value: Decimal) -> bool:
        return self.below is not None and value < self.below

    def _shown(self, value: Decimal | str) -> str:
        """Write a value to hundredths, away from its limit: what passes one never reads as equal to it."""
        if isinstance(value, str):
            return value
        return plain(value.quantize(Decimal("0.01"), ROUND_FLOOR if self._too_low(value) else ROUND_CEILING))
