"""The definitions of the design (section 6) evaluated as they stand, in fractions, slowly.

A place has two sides: what a file proves begins at its place, so just before it less is proved, and a file that was
held may have touched as near before it as one likes. `Place(x, from_there)` tells the sides apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import combinations, pairwise
from typing import NamedTuple

from stepper.sums.gauging.model import Model, Reading

Line = tuple[Fraction, Fraction, Fraction, Fraction]
"""From, to, width at the first, slope."""


class Place(NamedTuple):
    """A place, x mm from length, and whether from there on or just before."""

    x: Fraction
    from_there: bool = True


@lru_cache(1024)
def tolerance(one: Reading, model: Model) -> Fraction:
    return Fraction(model.tolerance_mm if one.tool.size <= 60 else model.tolerance_over_60_mm)


@lru_cache(1024)
def proves_from(one: Reading, model: Model) -> Fraction:
    """Cut or passed at length: from 0; anything else: from MM + error."""
    if one.short_mm == 0 and one.how.value in ("cut", "passed"):
        return Fraction(0)
    return Fraction(one.short_mm) + Fraction(model.read_error_mm)


@lru_cache(1024)
def touches_within(one: Reading, model: Model) -> tuple[Fraction, Fraction]:
    """From s0 = max(MM - error, 0) to min(16, MM + error + cutting part)."""
    short, error = Fraction(one.short_mm), Fraction(model.read_error_mm)
    return max(short - error, Fraction(0)), min(Fraction(model.span_mm), short + error + corners(one)[-1][0])


@lru_cache(1024)
def corners(one: Reading) -> tuple[tuple[Fraction, Fraction], ...]:
    return tuple((Fraction(x), Fraction(width)) for x, width in one.tool.diameters)


def nominal(one: Reading, u: Fraction) -> Fraction:
    """The nominal diameter at `u` from the tip; beyond the table it goes on straight."""
    table = corners(one)
    (u0, w0), (u1, w1) = next((two for two in pairwise(table) if u <= two[1][0]), table[-2:])
    return w0 + (w1 - w0) * (u - u0) / (u1 - u0)


def proved(one: Reading, place: Place, model: Model) -> Fraction:
    """What one file proves at a place, as a running maximum; 0 where nothing."""
    u = place.x - proves_from(one, model)
    if u < 0 or (u == 0 and not place.from_there):
        return Fraction(0)
    return max(nominal(one, min(u, corners(one)[-1][0])) - tolerance(one, model), Fraction(0))


def lower(readings: Sequence[Reading], place: Place, model: Model) -> Fraction:
    return max((proved(one, place, model) for one in readings), default=Fraction(0))


def profile(one: Reading, y: Fraction, model: Model) -> Fraction:
    return nominal(one, y - touches_within(one, model)[0]) + tolerance(one, model)


def may_touch(one: Reading, readings: Sequence[Reading], place: Place, model: Model) -> bool:
    """Whether a place belongs to the contact zone of a file that was held."""
    start, end = touches_within(one, model)
    if place.x < start or place.x > end or (place.x == start and not place.from_there):
        return False
    return profile(one, place.x, model) >= lower(readings, place, model)


def turning_places(one: Reading, readings: Sequence[Reading], model: Model) -> list[Place]:
    """Every place where a zone of this file can begin or end, or where it can come nearest to one."""
    start, end = touches_within(one, model)
    held = _lines(one, start, tolerance(one, model), end, level=False)
    proofs = [line for other in readings for line in proof_lines(other, model)]
    xs = {start, end}
    for a, b, _, _ in (*held, *proofs):
        xs |= {a, b}
    for two in combinations((*held, *proofs), 2):
        xs |= crossing(*two)
    return [Place(x, side) for x in sorted(xs) if start <= x <= end for side in (False, True)]


def proof_places(readings: Sequence[Reading], model: Model) -> set[Fraction]:
    """Where what is proved turns: where a line of it begins or ends, and where two of them cross."""
    proofs = [line for other in readings for line in proof_lines(other, model)]
    xs = {x for line in proofs for x in line[:2]}
    return xs.union(*(crossing(*two) for two in combinations(proofs, 2)))


def upper_of(one: Reading, readings: Sequence[Reading], model: Model) -> Fraction | None:
    """The widest that a held file can have been where it touched; None where it can have touched nowhere."""
    places = turning_places(one, readings, model)
    return max((profile(one, at.x, model) for at in places if may_touch(one, readings, at, model)), default=None)


def high(readings: Sequence[Reading], model: Model) -> Fraction | None:
    """upper(0); None for no bound. Only for readings that agree."""
    found = [upper_of(one, readings, model) for one in readings if one.how.value == "stopped"]
    return min((one for one in found if one is not None), default=None)


def agree(readings: Sequence[Reading], model: Model) -> bool:
    """Whether every file that was held can have touched somewhere."""
    return all(upper_of(one, readings, model) is not None for one in readings if one.how.value == "stopped")


@lru_cache(1024)
def proof_lines(one: Reading, model: Model) -> list[Line]:
    return _lines(one, proves_from(one, model), -tolerance(one, model), Fraction(model.span_mm), level=True)


def _lines(one: Reading, shift: Fraction, offset: Fraction, end: Fraction, *, level: bool) -> list[Line]:
    """A file's profile laid at a place as straight lines, and `level` or straight on behind its end."""
    table = corners(one)
    out = [(u0 + shift, u1 + shift, w0 + offset, (w1 - w0) / (u1 - u0)) for (u0, w0), (u1, w1) in pairwise(table)]
    a, b, width, slope = out[-1]
    if level:
        out.append((b, end, width + slope * (b - a), Fraction(0)))
    else:
        out[-1] = (a, max(b, end), width, slope)
    return [line for line in out if line[0] < min(line[1], end)]


def crossing(one: Line, other: Line) -> set[Fraction]:
    (a1, b1, y1, k1), (a2, b2, y2, k2) = one, other
    if k1 == k2:
        return set()
    x = (y2 - k2 * a2 - y1 + k1 * a1) / (k1 - k2)
    return {x} if max(a1, a2) <= x <= min(b1, b2) else set()
