"""Which readings cannot all be true: a smallest set of them, so that few have to be read again."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from itertools import combinations

from stepper.sums.gauging.model import Model, Reading
from stepper.sums.gauging.pieces import greatest
from stepper.sums.gauging.proof import proved_by, zones_of


def smallest_contradiction(readings: Sequence[Reading], model: Model) -> tuple[Reading, ...]:
    """Return a smallest set of readings that cannot all be true, in the order read; empty where all of them can.

    A file that was held has to touch somewhere. It cannot where others prove the canal wider all along its cutting
    part; one of them may do that for a part of it and another for the rest, so the set may be three or more. Between
    files that were held there is no other contradiction: a canal just as wide as all of them prove satisfies them all.
    """
    distinct = list(dict.fromkeys(readings))
    proved = {one: proved_by(one, model) for one in distinct}
    floor = reduce(greatest, proved.values())
    stuck = [one for one in distinct if one.held and not zones_of(one, floor, model)]
    for others in range(1, len(distinct)):
        for held in stuck:
            for proving in combinations([one for one in distinct if one is not held], others):
                if not zones_of(held, reduce(greatest, (proved[one] for one in proving)), model):
                    return tuple(one for one in distinct if one is held or one in proving)
    return ()
