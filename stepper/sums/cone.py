"""Where a cone comes to rest in a canal, foretold from sizes and tapers; and what trimming makes of its tip.

Lengths are in mm from the working-length point, coronally: x = 0 at length. A round, straight canal is assumed, cut
to length by one file: its diameter is D + T x from length to the coronal end of the cut part. Apical and coronal of
that no wall is known, so none stops the cone. The cone tapers on without end; real ones are about 28 mm long (from
memory, low confidence). All of it is geometry, derived; the tolerances have sources of their own.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from stepper.sums import rounded
from stepper.sums.checked import above_zero, tolerance_below, zero_to
from stepper.sums.iso3630 import CUTTING_MM, tip_mm, tolerance_mm

CONE_MM = Decimal(28)
"""About how long a cone is, in mm (from memory, low confidence): how much of it can be trimmed, at the most."""


class Touch(StrEnum):
    """Where the cone touches the wall when it rests."""

    TIP = "at its tip"
    LENGTH = "at the length point"
    CORONAL = "at the coronal end of the cut part"
    ALONG = "all along"


@dataclass(frozen=True)
class Canal:
    """A canal cut to length by one file, over `cut_mm` from length; `taper` in mm per mm.

    Raises:
        ValueError: size, taper or cut length not above 0.

    """

    size: int
    taper: Decimal
    cut_mm: Decimal = CUTTING_MM

    def __post_init__(self) -> None:
        tip_mm(self.size)
        above_zero("Taper of the file", self.taper, "mm per mm")
        above_zero("Cut length", self.cut_mm, "mm")

    @property
    def tip_mm(self) -> Decimal:
        """The nominal diameter in mm at length."""
        return tip_mm(self.size)


@dataclass(frozen=True)
class Cone:
    """A cone by its size and its taper in mm per mm; `trimmed_mm` was cut off its tip.

    Raises:
        ValueError: size or taper not above 0, or more trimmed than a cone has.

    """

    size: int
    taper: Decimal
    trimmed_mm: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        tip_mm(self.size)
        above_zero("Taper of the cone", self.taper, "mm per mm")
        zero_to("Trimmed from the cone", self.trimmed_mm, CONE_MM, "mm")

    @property
    def tip_mm(self) -> Decimal:
        """The nominal diameter of its tip in mm, as trimmed: a 010/.02 less 1 mm is 0.12.

        That example was seen (worked example 12 of the trade's figures); the formula is ISO 3630-1's D(x).
        """
        return tip_mm(self.size) + self.taper * self.trimmed_mm


@dataclass(frozen=True)
class Rest:
    """How far short of length the tip of a cone comes to rest, in mm; negative is beyond length.

    `nominal_mm` is for nominal sizes, to the nearest hundredth; `least_mm` and `most_mm` are the ends of the range
    within the tolerances, rounded outward. None is no bound: so large a tip does not enter the cut part, and where
    it stops above it cannot be told. `touches` is where the nominal cone touches.
    """

    nominal_mm: Decimal | None
    least_mm: Decimal | None
    most_mm: Decimal | None
    touches: Touch | None

    @property
    def falls_through(self) -> bool:
        """Whether the nominal cone would come to rest only further beyond length than a cone is long."""
        return self.nominal_mm is not None and self.nominal_mm < -CONE_MM


def cone_tolerance_mm(size: int) -> Decimal:
    """Return the tolerance either way of a gutta-percha cone's diameter, in mm.

    Source: ISO 6877:2006, from memory, medium confidence: 0.05 for 010 to 025, 0.07 for 030 to 140. The smaller sizes
    are taken to have the smaller one (no source).
    """
    return Decimal("0.05") if size < 30 else Decimal("0.07")


def rest(
    cone: Cone,
    canal: Canal,
    *,
    cone_within_mm: Decimal | None = None,
    file_within_mm: Decimal | None = None,
) -> Rest:
    """Foretell where `cone` comes to rest in `canal`.

    The tolerances of the diameters, in mm either way, are the standards' where none is given: ISO 6877:2006 for the
    cone and ISO 3630-1:1992 for the file, both from memory. Tapers are taken as exact: no tolerance of theirs is known.

    Raises:
        ValueError: a tolerance is below 0, or as large as the diameter that it belongs to.

    """
    tip, cut = cone.tip_mm, canal.tip_mm
    cone_by = tolerance_below("cone", cone_tolerance_mm(cone.size) if cone_within_mm is None else cone_within_mm, tip)
    file_by = tolerance_below("file", tolerance_mm(canal.size) if file_within_mm is None else file_within_mm, cut)
    nominal = _rest_mm(tip - cut, cone.taper, canal)
    # A wider cone in a narrower canal rests further out, so the ends of the range are the two opposite extremes.
    least = _rest_mm(tip - cut - cone_by - file_by, cone.taper, canal)
    most = _rest_mm(tip - cut + cone_by + file_by, cone.taper, canal)
    return Rest(
        None if nominal is None else rounded.nearest(nominal),
        None if least is None else rounded.down(least),
        None if most is None else rounded.up(most),
        None if nominal is None else _touch(tip - cut, cone.taper, canal.taper),
    )


def matches(cone: Cone, canal: Canal) -> bool:
    """Say whether the cone, untrimmed, is of the file's size and taper. It proves no fit: both have tolerances."""
    return (cone.size, cone.taper) == (canal.size, canal.taper) and cone.trimmed_mm == 0


def trim_mm(cone: Cone, canal: Canal) -> Decimal | None:
    """Return what further trimming would make the cone's nominal tip as wide as the file's, in mm, or None.

    To the nearest hundredth. None where the tip is as wide already, or wider, since trimming makes it wider still; and
    where the cone would not be long enough.
    """
    narrower_by = canal.tip_mm - cone.tip_mm
    exact = Fraction(narrower_by) / Fraction(cone.taper)
    return rounded.nearest(exact) if 0 < exact <= Fraction(CONE_MM - cone.trimmed_mm) else None


def _rest_mm(wider_by: Decimal, cone_taper: Decimal, canal: Canal) -> Fraction | None:
    """Return the exact rest of a cone whose tip is `wider_by` mm wider than the file's (negative: narrower).

    Cone and wall are straight, so their gap is least at an end of the stretch that they share, and the first of the
    two ends to touch stops the cone.
    """
    over, own, wall, cut = (Fraction(one) for one in (wider_by, cone_taper, canal.taper, canal.cut_mm))
    if over > wall * cut:
        return None
    # Apically they share the wall from the cone's tip where that is short of length, from length where it is beyond.
    apical_end = over / (wall if over > 0 else own)
    coronal_end = cut - (wall * cut - over) / own
    return max(apical_end, coronal_end)


def _touch(wider_by: Decimal, cone_taper: Decimal, wall_taper: Decimal) -> Touch:
    if cone_taper == wall_taper:
        return Touch.ALONG
    if cone_taper > wall_taper:
        return Touch.CORONAL
    return Touch.TIP if wider_by >= 0 else Touch.LENGTH
