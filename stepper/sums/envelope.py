"""What the files have cut: their profiles laid over one another along the canal.

Lengths are in mm from the working-length point, coronally: x = 0 at length. A round, straight canal is assumed, and
files of constant taper with a cutting part of 16 mm (ISO 3630-1).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from stepper.sums.iso3630 import CUTTING_MM, diameter_mm

APICAL_SPAN_MM = Decimal(3)
"""How far up from length the files are compared, in mm, where the protocol says nothing else."""


@dataclass(frozen=True)
class Cut:
    """A file taken to a depth; `taper` in mm per mm, `short_mm` from its tip to length (negative: beyond)."""

    size: int
    taper: Decimal
    short_mm: Decimal

    @property
    def end_mm(self) -> Decimal:
        """The coronal end of the cutting part, in mm from the length point."""
        return self.short_mm + CUTTING_MM


def profile_mm(cut: Cut, x: Decimal) -> Decimal | None:
    """Return the diameter in mm of `cut` at `x` mm from the length point, or None where its cutting part is not."""
    return _diameter_mm(cut, x) if cut.short_mm <= x <= cut.end_mm else None


def envelope_mm(cuts: Iterable[Cut], x: Decimal) -> Decimal | None:
    """Return the widest diameter in mm that `cuts` reach at `x` mm from the length point, or None for none."""
    widths = (profile_mm(cut, x) for cut in cuts)
    return max((width for width in widths if width is not None), default=None)


def wider_within(cut: Cut, than: Cut, span_mm: Decimal = APICAL_SPAN_MM) -> bool:
    """Say whether `cut` is wider than `than` anywhere from length to `span_mm` coronally of it; exact.

    Where only `cut` has been, it is the wider one. Depths count as given: a caller that takes a file stopped a
    little short for one at length passes it with `short_mm` 0.
    """
    low, high = max(Decimal(0), cut.short_mm), min(span_mm, cut.end_mm)
    if low > high:
        return False
    if low < than.short_mm or high > than.end_mm:
        return True
    # Both profiles are straight lines from low to high, so their difference is greatest at one of the ends.
    return any(_diameter_mm(cut, x) > _diameter_mm(than, x) for x in (low, high))


def reaches(cut: Cut, within_mm: Decimal) -> bool:
    """Say whether the tip of `cut` stopped at length, give or take `within_mm` either way."""
    return abs(cut.short_mm) <= within_mm


def same_size(a: Cut, b: Cut) -> bool:
    """Say whether two files are of one size and taper, whatever their depths."""
    return (a.size, a.taper) == (b.size, b.taper)


def _diameter_mm(cut: Cut, x: Decimal) -> Decimal:
    return diameter_mm(cut.size, cut.taper, x - cut.short_mm)
