"""Which further reading with a gauging file of the stock would narrow the cautious bounds most, whatever it shows.

For each file every outcome is tried that the readings so far allow: it goes to length loosely, or it is held at any
distance that a stop can be read at. The file whose worst outcome leaves the bounds closest is the one. Only that choice
is made in floats; no figure of the bounds comes from here. It is a reading that is named, never a file to cut with.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from math import inf
from typing import Final, NamedTuple

from stepper.sums.gauging.bounds import Bounds
from stepper.sums.gauging.model import Tool
from stepper.sums.gauging.pieces import Piece, held_on, last_reached, polyline, value
from stepper.sums.gauging.proof import profile_at_most

GRAIN_MM: Final = 0.5
"""Stops are read to the half millimetre (common practice, no source)."""

_SLACK: Final = 1e-9
_WORTH: Final = 0.005
"""Less than this, in mm, is lost in rounding and not worth a reading."""

Line = list[Piece[float]]


@dataclass(frozen=True)
class Further:
    """A reading worth taking: the file, how wide apart the bounds are now, and at most after it, in mm rounded up."""

    tool: Tool
    now_mm: Decimal
    after_mm: Decimal


def next_reading(found: Bounds, stock: Sequence[Tool]) -> Further | None:
    """Return the reading that narrows the bounds most in the worst case, None where none is certain to narrow them.

    Without an upper bound none is certain to: a file that passes leaves the canal as unbounded as before.
    """
    if found.contradiction or found.high_mm is None:
        return None
    start = _Start(found)
    best: tuple[float, Tool] | None = None
    for tool in stock:
        limit = min(best[0] if best is not None else inf, start.width - _WORTH)
        worst = _worst(start, tool, limit)
        if worst < limit:
            best = (worst, tool)
    if best is None:
        return None
    return Further(best[1], _up(start.width), _up(best[0]))


def next_larger(found: Bounds, stock: Sequence[Tool]) -> Tool | None:
    """Return the smallest gauging file larger at its tip than every file that went loosely or cut, None for none."""
    passed = max((one.tool.tip_mm for one in found.readings if not one.held), default=Decimal(0))
    return min((tool for tool in stock if tool.tip_mm > passed), key=lambda tool: tool.tip_mm, default=None)


class _Start:
    """The bounds so far, in floats."""

    def __init__(self, found: Bounds) -> None:
        self.model = found.model
        self.span, self.error = float(found.model.span_mm), float(found.model.read_error_mm)
        self.floor = _floats(found.floor)
        lines = [_floats(profile_at_most(one.reading, found.model)) for one in found.held]
        self.held = [(line, last_reached(line, self.floor, line[-1][1], _SLACK)) for line in lines if line]
        self.low = value(self.floor, 0.0)
        self.width = float(found.high_mm or 0) - self.low


def _worst(start: _Start, tool: Tool, limit: float) -> float:
    """Return how wide apart the bounds can be after a reading; infinite as soon as that is not below `limit`.

    The further out a file is held, the closer it bounds the canal itself, and the less it takes from where others may
    have touched. So the worst outcome is the innermost one possible, or one where the two are about even.
    """
    trial = _Trial(start, tool)
    if trial.most[0][1] >= value(start.floor, start.span):
        return inf  # it may be held further out than is reckoned, and tell nothing
    passed = trial.others(-start.error)
    worst = passed if passed is not None else -1.0
    step = _first_step(trial) if worst < limit else 0
    stops = int(start.span / GRAIN_MM)
    while worst < limit and step <= stops:
        width = trial.held_at(step * GRAIN_MM)
        if width is None:
            break  # it would have gone further in
        worst = max(worst, width.both)
        if step and width.own <= width.others:
            break
        step += 1
    return worst if 0 <= worst < limit else inf


def _first_step(trial: _Trial) -> int:
    """Return at how many grains from length a file can first have been held, as far as the others go."""
    if trial.others(0.0) is not None:
        return 0
    stops = range(1, int(trial.start.span / GRAIN_MM) + 1)
    return 1 + bisect_left(stops, True, key=lambda step: trial.others(step * GRAIN_MM) is not None)


class _Width(NamedTuple):
    """How wide apart the bounds are after an outcome: by the file itself, and by those that were held before."""

    own: float
    others: float

    @property
    def both(self) -> float:
        return min(self)


class _Trial:
    """A further file, and what each of its outcomes would come to."""

    def __init__(self, start: _Start, tool: Tool) -> None:
        tolerance = float(start.model.tolerance_of(tool))
        self.start, self.cutting = start, float(tool.cutting_mm)
        self.least = [(float(x), float(width) - tolerance) for x, width in tool.diameters]
        self.most = [(x, width + 2 * tolerance) for x, width in self.least]

    def held_at(self, short: float) -> _Width | None:
        """Give what comes of it being held so far short of length; None where it cannot be."""
        others = self.others(short)
        if others is None:
            return None
        start, rests = self.start, max(short - self.start.error, 0.0)
        end = min(start.span, short + start.error + self.cutting)
        line = polyline(self.most, rests, end)
        at = last_reached(line, start.floor, end, _SLACK)
        return None if at is None else _Width(value(line, at) - start.low, others)

    def others(self, short: float) -> float | None:
        """Return how wide apart the others leave the bounds; None where one of them would have been loose."""
        start, tip = self.start, min(short + self.start.error, self.start.span)
        line = polyline(self.least, tip, min(tip + self.cutting, start.span))
        proved = held_on(line, tip, start.span)
        least = inf
        for held, reached in start.held:
            at = _reached_both(held, proved, start.floor, reached)
            if at is None:
                return None
            least = min(least, value(held, at))
        return least - max(start.low, proved[0][2])


def _reached_both(line: Line, new: Line, known: Line, at: float | None) -> float | None:
    """Return the largest x at which a line is below neither of two floors; `at` is the largest for the known one."""
    while at is not None:
        found = last_reached(line, new, at, _SLACK)
        if found is None or found == at:
            return found
        at = last_reached(line, known, found, _SLACK)
        if at == found:
            return at
    return None


def _floats(pieces: Sequence[Piece[Decimal]]) -> Line:
    return [(float(a), float(b), float(y), float(k)) for a, b, y, k in pieces]


def _up(width: float) -> Decimal:
    return Decimal(width - _SLACK).quantize(Decimal("0.01"), ROUND_CEILING)
