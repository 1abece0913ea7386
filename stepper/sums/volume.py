"""How much room the files have cut, by frusta: between two corners of the profile the wall is a straight cone.

Geometry, derived; a round, straight canal is assumed, cut as in `envelope`.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import combinations, pairwise

from stepper.sums.checked import above_zero
from stepper.sums.curvature import PI
from stepper.sums.envelope import Cut, profile_mm
from stepper.sums.iso3630 import tip_mm


def frustum_mm3(narrow_mm: Decimal, wide_mm: Decimal, height_mm: Decimal) -> Decimal:
    """Return the volume in mm³, which is µL, of a frustum from its two diameters and its height in mm.

    Raises:
        ValueError: a measure is not above 0.

    """
    above_zero("Diameter", narrow_mm, "mm")
    above_zero("Diameter", wide_mm, "mm")
    above_zero("Height", height_mm, "mm")
    return PI * height_mm / 12 * (narrow_mm**2 + narrow_mm * wide_mm + wide_mm**2)


def cut_mm3(cuts: Sequence[Cut], from_mm: Decimal, to_mm: Decimal) -> Decimal:
    """Return the volume in mm³ (µL) of what files have cut between two places, in mm coronally of length.

    Where no file has been nothing is counted: what room the canal had there is not known.

    Raises:
        ValueError: the two places are the wrong way round.

    """
    if not (from_mm.is_finite() and to_mm.is_finite() and from_mm < to_mm):
        raise ValueError(f"From {from_mm} to {to_mm} mm is not allowed; the apical place comes first.")
    total = Decimal(0)
    for low, high in pairwise(_corners(cuts, from_mm, to_mm)):
        widest = _widest_between(cuts, low, high)
        if widest is not None:
            total += frustum_mm3(*widest, high - low)
    return total


def _corners(cuts: Sequence[Cut], from_mm: Decimal, to_mm: Decimal) -> list[Decimal]:
    """Return where the profile may bend or step, in order: the ends of the files, and where two are equally wide."""
    places = {from_mm, to_mm}
    for cut in cuts:
        places |= {cut.short_mm, cut.end_mm}
    for one, other in combinations(cuts, 2):
        if one.taper != other.taper:
            places.add((_at_length_mm(other) - _at_length_mm(one)) / (one.taper - other.taper))
    return sorted(place for place in places if from_mm <= place <= to_mm)


def _at_length_mm(cut: Cut) -> Decimal:
    """Return the diameter in mm that the straight line of a file has at x = 0, be the file there or not."""
    return tip_mm(cut.size) - cut.taper * cut.short_mm


def _widest_between(cuts: Sequence[Cut], low: Decimal, high: Decimal) -> tuple[Decimal, Decimal] | None:
    """Return the widest file's diameters in mm at two neighbouring corners, or None where none has been.

    No two profiles cross between corners, so the widest half-way is the widest all the way.
    """
    halfway = (low + high) / 2
    widths = [(width, cut) for cut in cuts if (width := profile_mm(cut, halfway)) is not None]
    if not widths:
        return None
    _, widest = max(widths, key=lambda pair: pair[0])
    ends = profile_mm(widest, low), profile_mm(widest, high)
    return (ends[0], ends[1]) if ends[0] is not None and ends[1] is not None else None
