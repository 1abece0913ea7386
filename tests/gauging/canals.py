"""Canals and files drawn at random: cones, steps and barrels up to an orifice; files with errors in their diameters."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from tests.gauging.walls import FAR_MM, Corner, Piece, RealFile, Wall

CHAMBER_MM = 6.0
"""Above the orifice the access is wide: nothing touches there."""

TIP_CONE = 2 * math.tan(math.radians(75 / 2))
"""How fast a real tip widens: a cone of 75 degrees, +/- 15 (seen), where the projected one begins as wide as D0."""


@dataclass(frozen=True)
class Model:
    """How the canals and files that are drawn depart from what the bounds assume; by itself not at all."""

    stop_off_mm: float = 0.0
    conical_tip: bool = False
    tolerances: float = 1.0
    hourglass: bool = False
    ledges: bool = False
    orifice_mm: tuple[float, float] = (9.0, 16.0)


@dataclass(frozen=True)
class Stock:
    """A file as it is sold: its size, its nominal corners and its tolerance."""

    size: int
    corners: tuple[Corner, ...]

    @property
    def tolerance_mm(self) -> float:
        return 0.02 if self.size <= 60 else 0.04


def stock(size: int, taper: float, cutting_mm: float = 16.0) -> Stock:
    """Give a file of constant taper."""
    return Stock(size, ((0.0, size / 100), (cutting_mm, size / 100 + taper * cutting_mm)))


def real(file: Stock, model: Model, draw: Random) -> RealFile:
    """Draw a real file: its diameters off by one error within the tolerance, its tapers exact."""
    error = draw.uniform(-1, 1) * file.tolerance_mm * model.tolerances
    corners = tuple((u, width + error) for u, width in file.corners)
    return RealFile(_pointed(corners) if model.conical_tip else corners)


def _pointed(corners: tuple[Corner, ...]) -> tuple[Corner, ...]:
    (_, d), (u1, w1) = corners[:2]
    shoulder = d / (TIP_CONE - (w1 - d) / u1)
    return ((0.0, 0.0), (shoulder, TIP_CONE * shoulder), *corners[1:])


@dataclass
class Canal:
    """A canal: what a file meets, and how much wider than that it is at length (an hourglass)."""

    wall: Wall
    flared_mm: float = 0.0

    @property
    def apical_mm(self) -> float:
        """The width at length."""
        return max(self.wall.width(0.0), self.flared_mm)


def canal(model: Model, draw: Random) -> Canal:
    """Draw a canal, 0.20 to 0.60 mm at length: a cone of taper 0 to .05, one with steps, or a barrel."""
    first = -1.0 if model.stop_off_mm else 0.0
    width, orifice = draw.uniform(0.2, 0.6), draw.uniform(*model.orifice_mm)
    start, flared, pieces = 0.0, 0.0, list[Piece]()
    if model.hourglass:
        start, flared = draw.uniform(0.5, 1.5), width + draw.uniform(0.05, 0.3)
    if first < start:
        pieces.append((first, start, width, width))
    for length, taper, jump in draw.choice((_cone, _steps, _barrel))(orifice - start, draw):
        begin = pieces[-1][1] if pieces else start
        wide = (pieces[-1][3] if pieces else width) + jump
        pieces.append((begin, begin + length, wide, wide + taper * length))
    pieces.append((pieces[-1][1], FAR_MM, CHAMBER_MM, CHAMBER_MM))
    return Canal(Wall(tuple(pieces)), flared)


Shape = list[tuple[float, float, float]]
"""Stretches: how long, their taper, and how far it jumps wider where they begin."""


def _cone(length: float, draw: Random) -> Shape:
    return [(length, draw.uniform(0, 0.05), 0.0)]


def _steps(length: float, draw: Random) -> Shape:
    cuts = sorted(draw.uniform(0, length) for _ in range(draw.randint(1, 3)))
    stretches = [b - a for a, b in zip([0.0, *cuts], [*cuts, length], strict=True)]
    return [(one, draw.uniform(0, 0.05), draw.uniform(0, 0.2) if at else 0.0) for at, one in enumerate(stretches)]


def _barrel(length: float, draw: Random) -> Shape:
    soon = draw.uniform(0.5, 4)
    return [(soon, draw.uniform(0.02, 0.2), 0.0), (length - soon, draw.choice((0.0, draw.uniform(0, 0.01))), 0.0)]
