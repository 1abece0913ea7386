"""Which readings cannot all be true: a smallest set of them, so that few have to be read again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import reduce
from itertools import combinations
from typing import Final, TypeAlias

from stepper.sums.gauging.model import Model, Reading
from stepper.sums.gauging.pieces import Piece, greatest
from stepper.sums.gauging.proof import proved_by, zones_of

SEARCHED: Final = 4
"""Sets up to so many readings are searched for the smallest one."""

Proof: TypeAlias = list[Piece[Decimal]]
"""What one file proves."""


def smallest_contradiction(readings: Sequence[Reading], model: Model) -> tuple[Reading, ...]:
    """Return a smallest set of readings that cannot all be true, in the order read; empty where all of them can.

    Beyond four readings, which no gauging that is worth the name needs, it is a set of which none can be left out:
    to find the smallest of all takes too long between two key strokes.

    A file that was held has to touch somewhere. It cannot where others prove the canal wider all along its cutting
    part; one of them may do that for a part of it and another for the rest, so the set may be three or more. Between
    files that were held there is no other contradiction: a canal just as wide as all of them prove satisfies them all.
    """
    distinct = list(dict.fromkeys(readings))
    proved = {one: proved_by(one, model) for one in distinct}
    floor = reduce(greatest, proved.values())
    stuck = [one for one in distinct if one.held and not zones_of(one, floor, model)]
    for count in range(1, SEARCHED):
        for held in stuck:
            for proving in combinations([one for one in distinct if one is not held], count):
                if _stuck(held, proving, proved, model):
                    return tuple(one for one in distinct if one is held or one in proving)
    return _shrunk(stuck[0], distinct, proved, model) if stuck else ()


def _shrunk(
    held: Reading, distinct: Sequence[Reading], proved: Mapping[Reading, Proof], model: Model
) -> tuple[Reading, ...]:
    """Leave out one reading after the other, as long as those that stay cannot all be true."""
    kept = [one for one in distinct if one is not held]
    for one in list(kept):
        fewer = [other for other in kept if other is not one]
        if fewer and _stuck(held, fewer, proved, model):
            kept = fewer
    return tuple(one for one in distinct if one is held or one in kept)


def _stuck(held: Reading, proving: Sequence[Reading], proved: Mapping[Reading, Proof], model: Model) -> bool:
    """Tell whether some readings leave a file that was held no place to touch."""
    return not zones_of(held, reduce(greatest, (proved[one] for one in proving)), model)
