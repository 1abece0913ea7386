"""Every further reading with every outcome, and every set of readings: slow, and by nothing but the exact bounds."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import combinations

from stepper.sums.gauging.bounds import Bounds, bounds
from stepper.sums.gauging.model import How, Model, Reading, Tool
from tests.gauging.exact import agree

HALF = Decimal("0.5")


def apart(found: Bounds) -> Decimal | None:
    """How wide apart the cautious bounds are; None without an upper one."""
    return found.high_mm - (found.low_mm or Decimal(0)) if found.high_mm is not None else None


def worst_of(readings: Sequence[Reading], tool: Tool, model: Model, now: Decimal) -> Decimal:
    """Try each outcome of a further reading; give how wide apart the bounds are after the worst that can come.

    It goes to length loosely, or it is held at any half millimetre that is reckoned. Held further out it tells nothing,
    which it can be where its tip is not narrower than what is proved of the outermost place that is reckoned.
    """
    tip = tool.tip_mm + model.tolerance_of(tool)
    outermost = bounds(readings, model).lower_mm(model.span_mm) or Decimal(0)
    widths = [now] if tip >= outermost else []
    stops = [Reading(tool, How.STOPPED, HALF * at) for at in range(int(model.span_mm / HALF) + 1)]
    for outcome in (Reading(tool, How.PASSED, Decimal(0)), *stops):
        found = bounds([*readings, outcome], model)
        width = apart(found)
        if not found.contradiction and width is not None:
            widths.append(width)
    return max(widths, default=now)


def best_reading(readings: Sequence[Reading], stock: Sequence[Tool], model: Model) -> tuple[Decimal, Decimal] | None:
    """Give how wide apart the bounds are, and at most after the best reading; None where they have no upper bound."""
    now = apart(bounds(readings, model))
    if now is None:
        return None
    return now, min(worst_of(readings, tool, model, now) for tool in stock)


def irreducible(readings: Sequence[Reading], model: Model) -> bool:
    """Tell whether readings cannot all be true, and can as soon as any one of them is left out."""
    fewer = [[other for other in readings if other is not one] for one in readings]
    return not agree(readings, model) and all(agree(rest, model) for rest in fewer)


def smallest_sets(readings: Sequence[Reading], model: Model) -> list[tuple[Reading, ...]]:
    """Give every smallest set of readings that cannot all be true; none where all of them can."""
    distinct = list(dict.fromkeys(readings))
    for count in range(1, len(distinct) + 1):
        found = [chosen for chosen in combinations(distinct, count) if not agree(chosen, model)]
        if found:
            return found
    return []
