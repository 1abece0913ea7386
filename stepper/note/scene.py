"""What a drawing of a canal shows: plain figures, checked once, so that the drawing itself need not doubt them.

Places are in mm from the working-length point, coronally (negative: beyond it); widths are diameters in mm.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from string import ascii_lowercase, ascii_uppercase
from typing import Final, TypeAlias

Line: TypeAlias = tuple[tuple[Decimal, Decimal], ...]
"""Corners (mm, mm wide), straight between them; two corners at one place are a step; empty: nothing is known."""

TIP_HELD_SIGN: Final = "T"
STOP_SIGNS: Final = f"123456789{ascii_lowercase}"
WIDEST_MM: Final = Decimal(10)
"""A width above this was meant otherwise (common practice, no source)."""

_LEAST_SPAN_MM, _MOST_SPAN_MM = Decimal(1), Decimal(40)
_SLACK_MM: Final = Decimal("0.001")
"""By so much bounds may cross or fall: far below a cell, far above what is left of a division."""


@dataclass(frozen=True, slots=True)
class Profile:
    """An instrument: what to call it, the capital letter it is drawn with, where its tip is, how wide it is.

    `points` are (mm from its own tip, mm wide): two for an instrument of constant taper, more for one by a table.
    """

    name: str
    sign: str
    tip_short_mm: Decimal
    points: Line

    def __post_init__(self) -> None:
        if len(self.sign) != 1 or self.sign not in ascii_uppercase or self.sign == TIP_HELD_SIGN:
            raise ValueError(f"{self.name}: the sign {self.sign!r} is not allowed: one of A to Z, but not T.")
        if not self.points:
            raise ValueError(f"{self.name}: an instrument needs at least one place and width.")
        _check_line(self.name, self.points)
        _check_place(self.name, self.tip_short_mm)


@dataclass(frozen=True, slots=True)
class Stop:
    """A gauging file that was held: its name, where its tip came to rest, and its nominal diameter at the tip."""

    name: str
    short_mm: Decimal
    diameter_mm: Decimal

    def __post_init__(self) -> None:
        _check_place(self.name, self.short_mm)
        _check_width(self.name, self.diameter_mm)


@dataclass(frozen=True, slots=True)
class Scene:
    """One canal, from length up to `span_mm`.

    `lower` is what is proved at least, a width of 0 being nothing; `upper` what is proved at most; either may end
    before the span does, and where it does nothing is known. `tip_held_mm` is the width at length at most, if a file
    was held at its tip. `no_bounds` is a sentence that says why there are no bounds, such as readings that contradict
    one another; where it is given none is drawn. Stops and profiles are drawn and listed in the order given.
    """

    canal: str
    length_mm: Decimal | None
    lower: Line = ()
    upper: Line = ()
    tip_held_mm: Decimal | None = None
    stops: tuple[Stop, ...] = ()
    profiles: tuple[Profile, ...] = ()
    caveat: str = ""
    no_bounds: str = ""
    span_mm: Decimal = Decimal(16)

    def __post_init__(self) -> None:
        if not (self.span_mm.is_finite() and _LEAST_SPAN_MM <= self.span_mm <= _MOST_SPAN_MM):
            raise ValueError(
                f"{self.canal}: {self.span_mm} mm of canal cannot be drawn: "
                f"{_LEAST_SPAN_MM} to {_MOST_SPAN_MM} mm are allowed."
            )
        if len(self.stops) > len(STOP_SIGNS):
            raise ValueError(f"{self.canal}: {len(self.stops)} stops are too many to draw: {len(STOP_SIGNS)} at most.")
        signs = [one.sign for one in self.profiles]
        for sign in signs:
            if signs.count(sign) > 1:
                raise ValueError(f"{self.canal}: the sign {sign} is given to two instruments: one each is allowed.")
        if self.tip_held_mm is not None:
            _check_width(f"{self.canal}, tip held", self.tip_held_mm)
        for which, line in ((f"{self.canal}, lower bound", self.lower), (f"{self.canal}, upper bound", self.upper)):
            _check_line(which, line)
            if any(b < a - _SLACK_MM for (_, a), (_, b) in pairwise(line)):
                raise ValueError(f"{which}: the width may not decrease from length coronally.")
        if not self.no_bounds:
            self._check_crossing()

    @property
    def has_bounds(self) -> bool:
        """Whether anything is drawn of bounds."""
        return (bool(self.upper) or any(width for _, width in self.lower)) and not self.no_bounds

    @property
    def tip_held(self) -> Decimal | None:
        """The width at length at most, if a file was held at its tip, where that is drawn."""
        return None if self.no_bounds else self.tip_held_mm

    @property
    def empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not (self.has_bounds or self.tip_held is not None or self.stops or self.profiles)

    def least_mm(self, x: Decimal) -> Decimal | None:
        """Return what is proved at least at `x`, the more of two at a step; None where nothing is."""
        return max(widths_at(self.lower, x), default=None) or None

    def most_mm(self, x: Decimal) -> Decimal | None:
        """Return what is proved at most at `x`, the less of two at a step; None where there is no bound."""
        return min(widths_at(self.upper, x), default=None)

    def _check_crossing(self) -> None:
        """Refuse bounds that cross; straight between their corners, they do so at one of these, if at all."""
        for x in sorted({x for x, _ in (*self.lower, *self.upper)}):
            least, most = self.least_mm(x), self.most_mm(x)
            if least is not None and most is not None and least > most + _SLACK_MM:
                raise ValueError(
                    f"{self.canal}: at {x} mm the canal cannot be at least {least} and at most {most} mm wide: "
                    "bounds that contradict each other are not drawn; say why instead."
                )


def widths_at(line: Line, x: Decimal) -> list[Decimal]:
    """Return every width that a line has at `x`: two or more at a step, none beyond its ends."""
    corners = [width for place, width in line if place == x]
    if corners:
        return corners
    return [v + (w - v) * (x - a) / (b - a) for (a, v), (b, w) in pairwise(line) if a < x < b]


def _check_line(name: str, line: Line) -> None:
    for place, width in line:
        _check_place(name, place)
        _check_width(name, width)
    if any(b < a for a, b in pairwise(place for place, _ in line)):
        raise ValueError(f"{name}: places have to go from the tip coronally.")


def _check_place(name: str, place_mm: Decimal) -> None:
    if not (place_mm.is_finite() and abs(place_mm) <= 99):
        raise ValueError(f"{name}: {place_mm} mm is no place in a canal: -99 to 99 mm from length are allowed.")


def _check_width(name: str, width_mm: Decimal) -> None:
    if not (width_mm.is_finite() and 0 <= width_mm <= WIDEST_MM):
        raise ValueError(f"{name}: {width_mm} mm is no width of a canal: 0 to {WIDEST_MM} mm are allowed.")


def widest_mm(scene: Scene, places: Iterable[Decimal]) -> Decimal:
    """Return the largest width that is drawn, were the canal cut across at these places; at least a little."""
    found = [Decimal("0.1"), *([scene.tip_held] if scene.tip_held is not None else [])]
    lines = [(one.points, one.tip_short_mm) for one in scene.profiles]
    if scene.has_bounds:
        lines += [(scene.lower, Decimal(0)), (scene.upper, Decimal(0))]
    found += [width for x in places for line, shift in lines for width in widths_at(line, x - shift)]
    found += [stop.diameter_mm for stop in scene.stops if 0 <= stop.short_mm <= scene.span_mm]
    return max(found)
