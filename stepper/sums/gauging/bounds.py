"""What readings prove of a canal's width: at least, at most, and at most if a file was held at its tip.

Every figure is in mm, x from length coronally. Source: the geometry of the model, derived; nothing is sampled.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from stepper.sums.gauging.contradiction import smallest_contradiction
from stepper.sums.gauging.model import Model, Reading
from stepper.sums.gauging.pieces import Corner, Interval, Piece, corners, value
from stepper.sums.gauging.proof import floor_of, profile_at_most, tidy, zones_of


@dataclass(frozen=True)
class Held:
    """A file that was held: where it may have touched, how wide that leaves the canal at most, and whether at its tip.

    `zones_mm` are intervals of x, apical first. `upper_mm` holds for every x up to the first of them.
    """

    reading: Reading
    zones_mm: tuple[Interval[Decimal], ...]
    upper_mm: Decimal | None
    tip_from_mm: Decimal
    tip_upper_mm: Decimal
    at_tip: bool


@dataclass(frozen=True)
class Bounds:
    """What readings prove. Where they contradict one another they prove nothing, and no bound is given."""

    readings: tuple[Reading, ...]
    model: Model
    floor: tuple[Piece[Decimal], ...]
    held: tuple[Held, ...]
    contradiction: tuple[Reading, ...]

    @cached_property
    def low_mm(self) -> Decimal | None:
        """The width at length at least, None where nothing is proved."""
        return self.lower_mm(Decimal(0))

    @cached_property
    def high_mm(self) -> Decimal | None:
        """The width at length at most, None where there is no bound."""
        return self.upper_mm(Decimal(0))

    @cached_property
    def tip_held(self) -> Held | None:
        """The file that bounds the width at length most, if it was held at its tip; None where none can have been."""
        able = [one for one in self.held if one.at_tip] if not self.contradiction else []
        return min(able, key=lambda one: one.tip_upper_mm, default=None)

    @property
    def tip_high_mm(self) -> Decimal | None:
        """The width at length at most, if that file was held at its tip."""
        return self.tip_upper_mm(Decimal(0))

    def lower_mm(self, x: Decimal) -> Decimal | None:
        """Return the width at `x` at least, None where nothing is proved."""
        if self.contradiction:
            return None
        return tidy(value(self.floor, x)) or None

    def upper_mm(self, x: Decimal) -> Decimal | None:
        """Return the width at `x` at most, None where there is no bound."""
        if self.contradiction:
            return None
        widths = [one.upper_mm for one in self.held if one.upper_mm is not None and x <= one.zones_mm[0][0]]
        return min(widths, default=None)

    def tip_upper_mm(self, x: Decimal) -> Decimal | None:
        """Return the width at `x` at most, if every file that can have been held at its tip was; None for no bound.

        What is proved without that holds as well: a file that cannot have been held at its tip may bound it closer.
        """
        able = [one for one in self.held if one.at_tip] if not self.contradiction else []
        tip = min((one.tip_upper_mm for one in able if x <= one.tip_from_mm), default=None)
        upper = self.upper_mm(x)
        return min((width for width in (tip, upper) if width is not None), default=None)

    @cached_property
    def lower_corners(self) -> tuple[Corner, ...]:
        """The lower bound as a line to draw; 0 where nothing is proved."""
        return () if self.contradiction else corners(self.floor)

    @cached_property
    def upper_corners(self) -> tuple[Corner, ...]:
        """The upper bound as a line of steps to draw, from length as far as there is one."""
        return corners(self.ceiling(tip=False))

    def ceiling(self, *, tip: bool) -> tuple[Piece[Decimal], ...]:
        """Return the upper bound as level pieces from length up to where it ends; the tip-held one if `tip`."""
        if self.contradiction:
            return ()
        ends = {one.zones_mm[0][0] for one in self.held}  # of one held at its tip that is where its tip was
        out: list[Piece[Decimal]] = []
        start, zero = Decimal(0), Decimal(0)
        for end in sorted(ends):
            width = self.tip_upper_mm(end) if tip else self.upper_mm(end)
            if end > start and width is not None:
                out.append((start, end, width, zero))
                start = end
        return tuple(out)


def bounds(readings: Sequence[Reading], model: Model | None = None) -> Bounds:
    """Reckon what readings prove of the canal that they were all taken in.

    Raises:
        ValueError: no reading, or one that lies outside of what is reckoned.

    """
    model = model if model is not None else Model()
    if not readings:
        raise ValueError("No file was read: bounds need at least one file that was in the canal.")
    for one in readings:
        if one.short_mm > model.span_mm:
            raise ValueError(f"{one.name}: only readings up to {model.span_mm} mm short of length are reckoned.")
    floor = floor_of(readings, model)
    held = tuple(_held(one, floor, model) for one in readings if one.held)
    contradiction = smallest_contradiction(readings, model) if any(not one.zones_mm for one in held) else ()
    return Bounds(tuple(readings), model, tuple(floor), held, contradiction)


def _held(reading: Reading, floor: Sequence[Piece[Decimal]], model: Model) -> Held:
    zones = zones_of(reading, floor, model)
    nearest = reading.rests_from_mm(model)
    line = profile_at_most(reading, model)
    widest = None
    if zones:
        widest = tidy(value(line, zones[-1][1]) if line else reading.tool.tip_mm + model.tolerance_of(reading.tool))
    # Held at its tip, the canal there is no wider than the tip; it is no narrower than further apically.
    at_tip = bool(zones) and zones[0][0] <= nearest
    tip = reading.tool.tip_mm + model.tolerance_of(reading.tool)
    return Held(reading, tuple((tidy(a), tidy(b)) for a, b in zones), widest, nearest, tip, at_tip)
