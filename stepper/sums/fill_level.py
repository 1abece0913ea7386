"""How far short of a point a filling ends, against a range that the protocol names from the same point.

Publications tell it from the radiographic apex, and disagree: 0 to 2 mm short (Ng et al. 2008, seen), 0.5 to 2 mm in
audits (seen), 0 to 3 mm in one study (seen); and whether 0.0 mm is flush or over. So there is no range here, and each
of its ends says whether it counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

FURTHEST_MM = Decimal(40)
"""A level further than this from the point is a slip: no tooth is as long (common practice, no source)."""


class Level(Enum):
    """Where a filling ends, seen from the range: `BEYOND` is nearer the point than it, or past the point."""

    WITHIN = "within the range"
    SHORT = "short of the range"
    BEYOND = "beyond the range"


@dataclass(frozen=True)
class Range:
    """From `least_mm` to `most_mm` short of the point, and whether each end counts as within; its source.

    Raises:
        ValueError: the ends are the wrong way round or not finite, or one point that does not count.

    """

    least_mm: Decimal
    most_mm: Decimal
    source: str
    least_counts: bool = True
    most_counts: bool = True

    def __post_init__(self) -> None:
        if not (self.least_mm.is_finite() and self.most_mm.is_finite() and self.least_mm <= self.most_mm):
            raise ValueError(
                f"Range of {self.source}: {self.least_mm} to {self.most_mm} mm is not allowed; the lesser comes first."
            )
        if self.least_mm == self.most_mm and not (self.least_counts and self.most_counts):
            raise ValueError(f"Range of {self.source}: {self.least_mm} mm alone has to count, or nothing is within.")


def level(short_mm: Decimal, allowed: Range) -> Level:
    """Say where a filling ends that is `short_mm` short of the point (negative: past it).

    Raises:
        ValueError: further from the point than a tooth is long.

    """
    if not (short_mm.is_finite() and abs(short_mm) <= FURTHEST_MM):
        raise ValueError(f"Level: {short_mm} mm is not allowed; -{FURTHEST_MM} to {FURTHEST_MM} mm short is.")
    if short_mm < allowed.least_mm or (short_mm == allowed.least_mm and not allowed.least_counts):
        return Level.BEYOND
    if short_mm > allowed.most_mm or (short_mm == allowed.most_mm and not allowed.most_counts):
        return Level.SHORT
    return Level.WITHIN
