"""What one reading proves: how wide the canal is at least, and where a file that was held may have touched it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Final

from stepper.sums.gauging.model import Model, Reading
from stepper.sums.gauging.pieces import Interval, Piece, greatest, held_on, polyline, value, where_reached

SLACK: Final = Decimal("1e-18")
"""Where two lines come this near in mm they touch: crossing points are rounded at 28 digits."""

_SHOWN: Final = Decimal("1e-12")


def floor_of(readings: Iterable[Reading], model: Model) -> list[Piece[Decimal]]:
    """Return the lower bound: the running maximum of what each file proves."""
    zero = Decimal(0)
    floor: list[Piece[Decimal]] = [(zero, model.span_mm, zero, zero)]
    for one in readings:
        floor = greatest(floor, proved_by(one, model))
    return floor


def proved_by(reading: Reading, model: Model) -> list[Piece[Decimal]]:
    """Return the width that one file proves, over all that is reckoned."""
    start, span, tolerance = reading.proves_from_mm(model), model.span_mm, model.tolerance_of(reading.tool)
    zero = Decimal(0)
    if start >= span:
        return [(zero, span, zero, zero)]
    widths = [(x, width - tolerance) for x, width in reading.tool.diameters]
    end = min(start + reading.tool.cutting_mm, span)
    return held_on(polyline(widths, start, end), start, span)


def profile_at_most(reading: Reading, model: Model) -> list[Piece[Decimal]]:
    """Return how wide a file that was held may be, over the part of the canal where it may have touched."""
    start, tolerance = reading.rests_from_mm(model), model.tolerance_of(reading.tool)
    end = min(model.span_mm, reading.short_mm + model.read_error_mm + reading.tool.cutting_mm)
    return polyline([(x, width + tolerance) for x, width in reading.tool.diameters], start, end)


def zones_of(reading: Reading, floor: Sequence[Piece[Decimal]], model: Model) -> list[Interval[Decimal]]:
    """Return where a file that was held may have touched, given the lower bound."""
    line = profile_at_most(reading, model)
    if line:
        return where_reached(line, floor, SLACK)
    at = model.span_mm  # it rests where what is reckoned ends: one point is left
    width = reading.tool.tip_mm + model.tolerance_of(reading.tool)
    return [(at, at)] if width >= value(floor, at) else []


def tidy(width: Decimal) -> Decimal:
    """Take the rounding at the 28th digit out of a width, so that it neither shows nor decides."""
    return width.quantize(_SHOWN)
