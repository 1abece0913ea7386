"""A file in question against what gauging proves. Files are compared, not ranked and not recommended."""

from __future__ import annotations

from bisect import bisect
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from stepper.sums.gauging.bounds import Bounds
from stepper.sums.gauging.model import Tool
from stepper.sums.gauging.pieces import Piece, length_above, polyline
from stepper.sums.gauging.proof import tidy
from stepper.sums.iso3630 import SIZES

APICAL_MM: Final = Decimal(3)
"""Over how many mm from length a file is compared (common practice, no source)."""


class Larger(StrEnum):
    """Whether a file is larger than the canal was at length."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Comparison:
    """A file, its tip at length, against the canal as it was gauged.

    `larger` by the cautious bounds, `larger_if_held` if files were held at their tips. Over the apical 3 mm, in mm:
    `over_passed_mm` larger than what has passed for certain, `over_tip_held_mm` larger than what bounds the canal if
    files were held at their tips (None: nothing does), `unknown_mm` larger than what has passed and not than what
    bounds the canal, or nothing bounds it. `within_passed`: nowhere larger than what has passed. `steps_over_gauge`:
    positions in the ISO 3630-1 series above the gauged size.
    """

    tool: Tool
    larger: Larger
    larger_if_held: Larger
    over_passed_mm: Decimal | None
    over_tip_held_mm: Decimal | None
    unknown_mm: Decimal | None
    within_passed: bool
    gauge: int | None
    steps_over_gauge: int | None


def compare(tool: Tool, found: Bounds, gauge: int | None) -> Comparison:
    """Compare a file in question with what was found; `gauge` is the gauged size, None where nothing was at length.

    Unknown throughout where the readings contradict one another.
    """
    if found.contradiction:
        return Comparison(tool, Larger.UNKNOWN, Larger.UNKNOWN, None, None, None, False, None, None)
    tolerance = found.model.tolerance_of(tool)
    least, most = tool.tip_mm - tolerance, tool.tip_mm + tolerance
    span = min(APICAL_MM, tool.cutting_mm)
    line = polyline(list(tool.diameters), Decimal(0), span)
    over_passed = length_above(line, found.floor)
    return Comparison(
        tool=tool,
        larger=_larger(least, most, found.low_mm, found.high_mm),
        larger_if_held=_larger(least, most, found.low_mm, found.tip_high_mm),
        over_passed_mm=tidy(over_passed),
        over_tip_held_mm=tidy(_above(line, found.ceiling(tip=True))) if found.tip_high_mm is not None else None,
        unknown_mm=tidy(_unknown(line, found)),
        within_passed=span == APICAL_MM and not tidy(over_passed),
        gauge=gauge,
        steps_over_gauge=steps_over(tool.size, gauge) if gauge is not None else None,
    )


def steps_over(size: int, gauge: int) -> int:
    """Count the positions in the series from a gauged size up to another; one between two counts as the smaller."""
    return bisect(SIZES, size) - bisect(SIZES, gauge)


def _larger(least: Decimal, most: Decimal, low: Decimal | None, high: Decimal | None) -> Larger:
    if high is not None and least > high:
        return Larger.YES
    return Larger.NO if low is not None and most <= low else Larger.UNKNOWN


def _above(line: list[Piece[Decimal]], ceiling: tuple[Piece[Decimal], ...]) -> Decimal:
    return length_above(line, ceiling) if ceiling else Decimal(0)


def _unknown(line: list[Piece[Decimal]], found: Bounds) -> Decimal:
    """Return over how many mm a file is larger than the lower bound and not larger than an upper one.

    Where an upper bound is exceeded the lower one is too, since the bounds do not cross.
    """
    return length_above(line, found.floor) - _above(line, found.ceiling(tip=False))
