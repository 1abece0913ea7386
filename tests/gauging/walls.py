"""A canal's true width and real files in it, in floats: cutting widens it, and a file stops where it first touches.

x is in mm from length, coronally; u is in mm from a file's tip.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

Corner = tuple[float, float]
Piece = tuple[float, float, float, float]
"""From, to, the width at the one and at the other."""

FAR_MM = 60.0
"""Where every canal ends, far outside of the tooth."""

TOUCH_MM = 1e-9


@dataclass(frozen=True)
class RealFile:
    """The true profile of a file: corners from its tip (mm, mm wide), neither decreasing; then its cutting part ends.

    What comes after the cutting part has gone wherever that has gone, so it counts as wide as the end of that.
    """

    corners: tuple[Corner, ...]

    @property
    def cutting_mm(self) -> float:
        return self.corners[-1][0]

    def width(self, u: float) -> float:
        """Give the width at `u` from the tip, from the end of the cutting part as wide as there."""
        if u >= self.cutting_mm:
            return self.corners[-1][1]
        at = bisect_right(self.corners, u, key=lambda corner: corner[0]) - 1
        (u0, w0), (u1, w1) = self.corners[at], self.corners[at + 1]
        return w0 + (w1 - w0) * (u - u0) / (u1 - u0)

    def last_within(self, width: float) -> float | None:
        """Give the last place no wider than `width`; None where the tip is wider, or none of the cutting part."""
        if width < self.corners[0][1] or width >= self.corners[-1][1]:
            return None
        at = bisect_right(self.corners, width, key=lambda corner: corner[1]) - 1
        (u0, w0), (u1, w1) = self.corners[at], self.corners[at + 1]
        return u0 + (u1 - u0) * (width - w0) / (w1 - w0)


@dataclass(frozen=True)
class Wall:
    """The width of a canal, never narrower coronally; pieces follow one another, and may jump wider."""

    pieces: tuple[Piece, ...]

    @cached_property
    def ends(self) -> list[float]:
        return [b for _, b, _, _ in self.pieces]

    def width(self, x: float) -> float:
        """Give the width at `x`; where it jumps, that from there on."""
        a, b, ya, yb = self.pieces[min(bisect_right(self.ends, x), len(self.pieces) - 1)]
        return ya + (yb - ya) * (x - a) / (b - a)

    def before(self, x: float) -> float:
        """Give the width at `x`; where it jumps, that up to there."""
        a, b, ya, yb = self.pieces[min(bisect_left(self.ends, x), len(self.pieces) - 1)]
        return ya + (yb - ya) * (x - a) / (b - a)

    def first_reaching(self, width: float) -> float:
        """Give where the canal is first as wide as `width`: minus infinity where it is wider all along."""
        if self.pieces[0][2] > width:
            return -math.inf
        for a, b, ya, yb in self.pieces:
            if ya >= width:
                return a
            if yb >= width:
                return a + (b - a) * (width - ya) / (yb - ya)
        return FAR_MM

    def cut_by(self, file: RealFile, tip_at: float) -> Wall:
        """Give the canal after a file has cut with its tip there; it went through what lies further out as well."""
        places = {a for a, _, _, _ in self.pieces} | {FAR_MM, tip_at}
        places |= {tip_at + u for u, _ in file.corners}
        first = self.pieces[0][0]
        sides = sorted(place for place in places if first <= place <= FAR_MM)
        out: list[Piece] = []
        for a, b in pairwise(sides):
            old = (self.width(a), self.before(b))
            new = (file.width(a - tip_at), file.width(b - tip_at)) if a >= tip_at else (0.0, 0.0)
            out += _wider(a, b, old, new)
        return Wall(tuple(out))

    def stop_of(self, file: RealFile) -> tuple[float, tuple[float, ...]]:
        """Give where a file stops that is pushed in from outside, and where it touches there.

        It stops at the least s with c(x) >= w(x - s) for every x from s to s + cutting part. Both widths are made of
        straight pieces and neither decreases, so there a corner of one of them touches the other: either a corner of
        the file is where the canal is first as wide, or the end of a piece of the canal is where the file is last as
        narrow. The outermost of all those is the stop. It is below the canal's beginning where nothing touches.
        """
        met = [(self.first_reaching(width), u) for u, width in file.corners]
        for _, b, _, yb in self.pieces:
            u = file.last_within(yb)
            if u is not None:
                met.append((b, u))
        stop = max(x - u for x, u in met)
        return stop, tuple(x for x, u in met if x - u >= stop - TOUCH_MM)


def _wider(a: float, b: float, old: Corner, new: Corner) -> list[Piece]:
    """Give the wider of two straight lines, in one piece or in two."""
    before, after = old[0] - new[0], old[1] - new[1]
    if before >= 0 and after >= 0:
        return [(a, b, *old)]
    if before <= 0 and after <= 0:
        return [(a, b, *new)]
    x = a + (b - a) * before / (before - after)
    width = old[0] + (old[1] - old[0]) * (x - a) / (b - a)
    if not a < x < b:
        return [(a, b, max(old[0], new[0]), max(old[1], new[1]))]
    first, second = (old, new) if before > 0 else (new, old)
    return [(a, x, first[0], width), (x, b, width, second[1])]
