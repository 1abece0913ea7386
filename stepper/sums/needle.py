"""Where an irrigation needle touches the wall that a file has cut, and from where it is loose.

The gauge is no size, and the designated metric size is not one to reckon with either: it may lie outside the tube's
own band, as with 31 G. What touches is the largest outside diameter that the standard allows.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from stepper.sums import rounded
from stepper.sums.checked import above_zero, tolerance_below
from stepper.sums.iso3630 import CUTTING_MM, tip_mm, tolerance_mm


@dataclass(frozen=True)
class Tube:
    """Steel needle tubing of one gauge: designated metric size and outside diameter, all in mm; how they are known."""

    gauge: int
    designated_mm: Decimal
    least_mm: Decimal
    largest_mm: Decimal
    known: str


SUPPORTED = "from memory; the imperial size, which was seen, lies within"
"""How the bands of 23 to 32 G are known: what was seen supports them and does not prove them."""

_ROWS = (
    (23, "0.60", "0.600", "0.673", SUPPORTED),
    (24, "0.55", "0.550", "0.580", SUPPORTED),
    (25, "0.50", "0.500", "0.530", SUPPORTED),
    (26, "0.45", "0.440", "0.470", SUPPORTED),
    (27, "0.40", "0.400", "0.420", SUPPORTED),
    (28, "0.36", "0.349", "0.370", SUPPORTED),
    (29, "0.33", "0.324", "0.351", SUPPORTED),
    (30, "0.30", "0.298", "0.320", SUPPORTED),
    (31, "0.25", "0.254", "0.267", SUPPORTED),
    (32, "0.23", "0.229", "0.241", SUPPORTED),
    (33, "0.20", "0.203", "0.216", "from memory"),
)

TUBES: dict[int, Tube] = {
    gauge: Tube(gauge, Decimal(designated), Decimal(least), Decimal(largest), known)
    for gauge, designated, least, largest, known in _ROWS
}
"""The gauges of ISO 9626:2016, Table 1, that are used for irrigation (from memory, medium confidence)."""


@dataclass(frozen=True)
class Reach:
    """How far short of length a needle touches and from where it is loose, in mm; None: nowhere in the cut part.

    `touches_short_mm` is where the nominal cut is as wide as the needle, to the nearest hundredth;
    `loose_from_short_mm` where the smallest cut within the file's tolerance is, rounded up. 0 is where it is as wide at
    length already.
    """

    touches_short_mm: Decimal | None
    loose_from_short_mm: Decimal | None


def tube(gauge: int) -> Tube:
    """Return the tubing of a gauge.

    Raises:
        ValueError: the gauge is not in the table.

    """
    if gauge not in TUBES:
        raise ValueError(f"Gauge {gauge} is not in the table: {', '.join(map(str, TUBES))} are allowed.")
    return TUBES[gauge]


@lru_cache(maxsize=256)
def reach(
    size: int,
    taper: Decimal,
    outside_diameter_mm: Decimal,
    *,
    cut_mm: Decimal = CUTTING_MM,
    file_within_mm: Decimal | None = None,
) -> Reach:
    """Reckon where a needle touches in a canal cut to length by a file, over `cut_mm` from length.

    `taper` in mm per mm, `outside_diameter_mm` the needle's largest, `file_within_mm` the tolerance of the file's
    diameter either way: ISO 3630-1:1992, from memory, where none is given. Derived; a round, straight canal is assumed.

    Raises:
        ValueError: a size, taper or length not above 0, or a tolerance below 0 or as large as the file.

    """
    tip = tip_mm(size)
    within = tolerance_below("file", tolerance_mm(size) if file_within_mm is None else file_within_mm, tip)
    above_zero("Taper of the file", taper, "mm per mm")
    above_zero("Outside diameter of the needle", outside_diameter_mm, "mm")
    above_zero("Cut length", cut_mm, "mm")
    touches = _as_wide_from(tip, taper, outside_diameter_mm, cut_mm)
    loose = _as_wide_from(tip - within, taper, outside_diameter_mm, cut_mm)
    return Reach(
        None if touches is None else rounded.nearest(touches),
        None if loose is None else rounded.up(loose),
    )


def _as_wide_from(tip: Decimal, taper: Decimal, wanted_mm: Decimal, cut_mm: Decimal) -> Fraction | None:
    """Return from where a cut is as wide as wanted, in mm from length; None where it is not within the cut part."""
    x = max(Fraction(wanted_mm - tip) / Fraction(taper), Fraction(0))
    return x if x <= Fraction(cut_mm) else None
