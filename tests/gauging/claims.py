"""The bounds held against the truth: the width at length and further up, and where each file that was held touched."""

from __future__ import annotations

from decimal import Decimal
from random import Random

from stepper.sums.gauging.bounds import Bounds, bounds
from stepper.sums.gauging.model import Model as Assumed
from tests.gauging.visits import Visit

FLOATS_MM = 1e-9
"""The truth is reckoned in floats."""


def violations(seen: Visit, draw: Random, assumed: Assumed | None = None) -> list[str]:
    """Say what of the truth lies outside of what is said to be proved."""
    found = bounds(seen.readings, assumed)
    if found.contradiction:
        return [f"a contradiction in a canal that is there: {', '.join(one.name for one in found.contradiction)}"]
    places = [Decimal(0), *(Decimal(str(round(draw.uniform(0, 16), 3))) for _ in range(4))]
    wrong = [said for x in places if (said := _outside(seen, found, x))]
    for one, truly in zip(found.held, seen.touched, strict=True):
        for y in truly:
            if not any(float(a) - FLOATS_MM <= y <= float(b) + FLOATS_MM for a, b in one.zones_mm):
                wrong.append(f"{one.reading.name} touched at {y}, outside of {one.zones_mm}")
    return wrong


def _outside(seen: Visit, found: Bounds, x: Decimal) -> str | None:
    truth = seen.canal.wall.width(float(x))
    low, high = found.lower_mm(x), found.upper_mm(x)
    if x == 0:
        assert (low, high) == (found.low_mm, found.high_mm)
    if low is not None and truth < float(low) - FLOATS_MM:
        return f"{truth} wide at {x}, said to be {low} at least"
    if high is not None and truth > float(high) + FLOATS_MM:
        return f"{truth} wide at {x}, said to be {high} at most"
    return None
