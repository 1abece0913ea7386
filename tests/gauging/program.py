"""The bounds once more as a mixed-integer program, solved by scipy's HiGHS.

The canal's width is a variable at each place of a grid; from one to the next it does not decrease; it is at least what
each file proves; and each file that was held touches at one place of its reach, which a binary variable chooses: there
the width is at most the file's. The least and the greatest width at length are what the bounds should be.

The grid has a place every 0.25 mm. That alone would call readings contradictory that agree only between two places, so
it also has every place where what is proved or a held file begins, bends, ends or where two proofs cross: between those
the gap between a held file and what is proved is straight or bulges upward, so it is closed or not at one of them. And
where a file's proof begins the grid has the place twice, before and from there. What is left of the grid's effect: the
end of a contact zone, where a held file and a proof cross, falls between two places, so the program's greatest width
can be less than the true one by what a file widens in 0.25 mm: 0.02 mm for the tapers drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_array

from stepper.sums.gauging.model import Model, Reading
from tests.gauging.exact import Place, corners, lower, profile, proof_places, proves_from, touches_within

GRID_MM = Fraction(1, 4)
WIDEST_MM = 4.0
"""Wider than any file: a canal this wide at length is without a bound."""

OPTIMAL, INFEASIBLE, SOLVER_FAILED = 0, 2, 4


@dataclass(frozen=True)
class Optimum:
    """The least and the greatest width at length; None for a greatest without a bound."""

    low_mm: float
    high_mm: float | None


def solve(readings: Sequence[Reading], model: Model) -> Optimum | None:
    """Give the least and the greatest width at length, None where the readings contradict one another."""
    program = _Program(readings, model)
    least, greatest = program.run(1.0), program.run(-1.0)
    assert (least is None) == (greatest is None)
    if least is None or greatest is None:
        return None
    return Optimum(least, greatest if greatest < WIDEST_MM - 0.01 else None)


def grid(readings: Sequence[Reading], model: Model) -> list[Place]:
    """Give the places of the grid, in order."""
    span = Fraction(model.span_mm)
    xs = {at * GRID_MM for at in range(int(span / GRID_MM) + 1)} | {span} | proof_places(readings, model)
    starts = {proves_from(one, model) for one in readings}
    for one in readings:
        start, end = touches_within(one, model)
        xs |= {start, end, *(start + u for u, _ in corners(one))}
    places = [Place(x) for x in xs | starts if 0 <= x <= span]
    places += [Place(x, from_there=False) for x in starts if 0 < x <= span]
    return sorted(places)


class _Program:
    def __init__(self, readings: Sequence[Reading], model: Model) -> None:
        self.places = grid(readings, model)
        self.least = [float(lower(readings, place, model)) for place in self.places]
        self.reaches = [self._reach(one, model) for one in readings if one.how.value == "stopped"]
        self.size = len(self.places) + sum(len(reach) for reach in self.reaches)

    def _reach(self, one: Reading, model: Model) -> list[tuple[int, float]]:
        """Where a held file may touch: places by their number, and how wide the canal is there at most."""
        start, end = touches_within(one, model)
        able = [at for at, (x, from_there) in enumerate(self.places) if start <= x <= end and (x > start or from_there)]
        return [(at, float(profile(one, self.places[at].x, model))) for at in able]

    def run(self, sign: float) -> float | None:
        """Minimise (1) or maximise (-1) the width at length; None where no canal is lawful."""
        count = len(self.places)
        cost = np.zeros(self.size)
        cost[0] = sign
        low = np.zeros(self.size)
        low[:count] = self.least
        most = np.ones(self.size)
        most[:count] = WIDEST_MM
        whole = np.zeros(self.size)
        whole[count:] = 1
        box, rows = Bounds(low, most), self._constraints()
        done = milp(cost, integrality=whole, bounds=box, constraints=rows)
        if done.status == SOLVER_FAILED:  # seen about once in a hundred; its presolve loses itself, the rest does not
            done = milp(cost, integrality=whole, bounds=box, constraints=rows, options={"presolve": False})
        assert done.status in (OPTIMAL, INFEASIBLE), done.message
        return sign * float(done.fun) if done.status == OPTIMAL else None

    def _constraints(self) -> LinearConstraint:
        count = len(self.places)
        rows = lil_array((count - 1 + self.size - count + len(self.reaches), self.size))
        least, most = np.full(rows.shape[0], -np.inf), np.full(rows.shape[0], np.inf)
        for at in range(count - 1):
            rows[at, at], rows[at, at + 1] = -1, 1
            least[at] = 0
        row = chosen = count - 1
        column = count
        for number, reach in enumerate(self.reaches):
            one_of = chosen + self.size - count + number
            least[one_of] = 1
            for place, width in reach:
                rows[row, place], rows[row, column], rows[one_of, column] = 1, WIDEST_MM, 1
                most[row] = width + WIDEST_MM
                row, column = row + 1, column + 1
        return LinearConstraint(rows.tocsr(), least, most)
