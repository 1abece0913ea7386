"""Nothing is wasted: the bounds are those of a mixed-integer program, solved by scipy's HiGHS, up to its grid.

The full run is `python -m tests.gauging`.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from stepper.sums.gauging.bounds import bounds
from stepper.sums.gauging.model import How, Model, Reading, straight
from tests.gauging.program import grid, solve
from tests.gauging.proofs import WASTE_MM
from tests.gauging.run import proved


def test_sixty_random_cases_are_as_the_program_has_them() -> None:
    score = proved("waste", 60, 5, 1)
    assert score.wrong == []
    assert score.apart_mm <= WASTE_MM
    assert min(score.kinds[kind] for kind in ("bounded", "contradiction", "no upper bound")) >= 5


def test_the_program_by_hand() -> None:
    # Passed 30/.02: 0.28 at least. Held 35/.04 at length: 0.37 + 0.04 y wide at most where it touches, anywhere to 16.
    readings = [
        Reading(straight(30, Decimal("0.02")), How.PASSED, Decimal(0)),
        Reading(straight(35, Decimal("0.04")), How.STOPPED, Decimal(0)),
    ]
    found = solve(readings, Model())
    assert found is not None
    assert found.low_mm == pytest.approx(0.28, abs=1e-5)
    assert found.high_mm == pytest.approx(0.37 + 0.04 * 16, abs=1e-4)
    assert bounds(readings).high_mm == Decimal("1.01")


def test_the_grid_has_each_beginning_of_a_proof_twice() -> None:
    reading = Reading(straight(40, Decimal("0.08")), How.CUT, Decimal(5))
    places = grid([reading], Model())
    assert [one.from_there for one in places if one.x == Fraction("5.3")] == [False, True]
    assert places == sorted(set(places))
