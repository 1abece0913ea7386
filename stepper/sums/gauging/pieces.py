"""Piecewise linear functions of the distance from length: the greatest of two, values, where one is above another.

Exact for decimals but for the points where two lines cross, which may have no end of digits; there a slack far below
any figure that is shown makes touching count as touching. The same code runs on floats where only a search is wanted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple, TypeAlias, TypeVar

T = TypeVar("T", Decimal, float)

Piece: TypeAlias = tuple[T, T, T, T]
"""(start, end, value at start, slope), start < end."""

Interval: TypeAlias = tuple[T, T]
"""From, to; both belong to it."""


class Corner(NamedTuple):
    """A corner of a line that is drawn: mm from length, width in mm."""

    x_mm: Decimal
    width_mm: Decimal


def polyline(corners: Sequence[tuple[T, T]], shift: T, end: T) -> list[Piece[T]]:
    """Lay straight pieces through corners moved coronally by `shift`; they go on straight, and stop at `end`."""
    pieces: list[Piece[T]] = []
    for at, ((x0, y0), (x1, y1)) in enumerate(pairwise(corners)):
        start = x0 + shift
        last = at == len(corners) - 2
        stop = end if last else min(x1 + shift, end)
        if start < stop:
            pieces.append((start, stop, y0, (y1 - y0) / (x1 - x0)))
    return pieces


def held_on(pieces: Sequence[Piece[T]], start: T, end: T) -> list[Piece[T]]:
    """Make a function over 0 to `end`: 0 before its first piece, from the end of its last piece as wide as there."""
    zero = start - start
    whole: list[Piece[T]] = [(zero, start, zero, zero)] if start > zero else []
    whole += pieces
    if pieces and pieces[-1][1] < end:
        a, b, y, k = pieces[-1]
        whole.append((b, end, y + k * (b - a), zero))
    return whole


def greatest(one: Sequence[Piece[T]], other: Sequence[Piece[T]]) -> list[Piece[T]]:
    """Return the greater of two functions over the same range, point by point."""
    out: list[Piece[T]] = []
    i = j = 0
    x = one[0][0]
    while i < len(one) and j < len(other):
        a1, b1, y1, k1 = one[i]
        a2, b2, y2, k2 = other[j]
        end = b1 if b1 < b2 else b2
        v1, v2 = y1 + k1 * (x - a1), y2 + k2 * (x - a2)
        gap, gap_at_end = v1 - v2, v1 - v2 + (k1 - k2) * (end - x)
        if gap >= 0 and gap_at_end >= 0:
            _add(out, x, end, v1, k1)
        elif gap <= 0 and gap_at_end <= 0:
            _add(out, x, end, v2, k2)
        else:
            cross = x + gap / (k2 - k1)
            first, second = ((v1, k1), (v2, k2)) if gap > 0 else ((v2, k2), (v1, k1))
            _add(out, x, cross, first[0], first[1])
            _add(out, cross, end, second[0] + second[1] * (cross - x), second[1])
        x = end
        i += b1 == end
        j += b2 == end
    return out


def value(pieces: Sequence[Piece[T]], x: T) -> T:
    """Return the value at `x`; where it jumps, that from there on."""
    found = pieces[0]
    for piece in pieces:
        if piece[0] > x:
            break
        found = piece
    a, _, y, k = found
    return y + k * (x - a)


def where_reached(line: Sequence[Piece[T]], floor: Sequence[Piece[T]], slack: T) -> list[Interval[T]]:
    """Return where `line` is nowhere below `floor`, over the range of `line`: touching intervals as one."""
    found: list[Interval[T]] = []
    j = 0
    for a1, b1, y1, k1 in line:
        while j and floor[j][0] > a1:
            j -= 1
        while floor[j][1] <= a1 and j < len(floor) - 1:
            j += 1
        at = j
        while at < len(floor) and floor[at][0] < b1:
            a2, b2, y2, k2 = floor[at]
            low, high = (a1 if a1 > a2 else a2), (b1 if b1 < b2 else b2)
            gap = y1 + k1 * (low - a1) - y2 - k2 * (low - a2)
            slope = k1 - k2
            gap_at_end = gap + slope * (high - low)
            if gap >= -slack and gap_at_end >= -slack:
                _join(found, low, high)
            elif gap >= -slack:
                _join(found, low, low - gap / slope if gap > 0 else low)
            elif gap_at_end >= -slack:
                _join(found, low - gap / slope if gap_at_end > 0 else high, high)
            at += 1
    return found


def last_reached(line: Sequence[Piece[T]], floor: Sequence[Piece[T]], most: T, slack: T) -> T | None:
    """Return the largest x, at most `most`, at which `line` is not below `floor`; None where there is none."""
    for a1, b1, y1, k1 in reversed(line):
        for a2, b2, y2, k2 in reversed(floor):
            low, high = (a1 if a1 > a2 else a2), (b1 if b1 < b2 else b2)
            if high > most:
                high = most
            if low >= high and not low == high == most:
                continue
            slope = k1 - k2
            gap = y1 - k1 * a1 - y2 + k2 * a2 + slope * high
            if gap >= -slack:
                return high
            below = gap - slope * (high - low)
            if below >= -slack:
                return low - below / slope if below > 0 else low
    return None


def length_above(line: Sequence[Piece[T]], floor: Sequence[Piece[T]]) -> T:
    """Return over how many mm `line` is above `floor`, over the range of `line`; where they touch is nothing."""
    total = line[0][0] - line[0][0]
    for a1, b1, y1, k1 in line:
        for a2, b2, y2, k2 in floor:
            low, high = (a1 if a1 > a2 else a2), (b1 if b1 < b2 else b2)
            if low >= high:
                continue
            gap = y1 + k1 * (low - a1) - y2 - k2 * (low - a2)
            gap_at_end = gap + (k1 - k2) * (high - low)
            if gap >= 0 and gap_at_end >= 0:
                total += high - low if gap > 0 or gap_at_end > 0 else 0
            elif gap > 0:
                total += (high - low) * gap / (gap - gap_at_end)
            elif gap_at_end > 0:
                total += (high - low) * gap_at_end / (gap_at_end - gap)
    return total


def corners(pieces: Iterable[Piece[Decimal]]) -> tuple[Corner, ...]:
    """Return the corners to draw; a jump has two at the same place."""
    out: list[Corner] = []
    for a, b, y, k in pieces:
        for corner in (Corner(a, y), Corner(b, y + k * (b - a))):
            if not out or out[-1] != corner:
                out.append(corner)
    return tuple(out)


def _add(out: list[Piece[T]], start: T, end: T, y: T, slope: T) -> None:
    """Append a piece, as the same piece where it only goes on."""
    if start >= end:
        return
    if out:
        a, b, y0, k = out[-1]
        if k == slope and b == start and y0 + k * (b - a) == y:
            out[-1] = (a, end, y0, k)
            return
    out.append((start, end, y, slope))


def _join(found: list[Interval[T]], low: T, high: T) -> None:
    if found and found[-1][1] >= low:
        found[-1] = (found[-1][0], max(high, found[-1][1]))
    else:
        found.append((low, high))
