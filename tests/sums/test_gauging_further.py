"""The further reading that is named is as good as the best, by brute force over every file and every outcome.

The full run is `python -m tests.gauging`.
"""

from __future__ import annotations

from decimal import Decimal
from random import Random

import pytest

from stepper.sums.gauging.bounds import bounds
from stepper.sums.gauging.model import How, Model, Reading, Tool, straight
from stepper.sums.gauging.next_reading import Further, next_larger, next_reading
from tests.gauging.brute import worst_of
from tests.gauging.proofs import further
from tests.gauging.run import proved

TWO = Decimal("0.02")
STOCK = tuple(straight(size, TWO) for size in (15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80))


def held(size: int, short: str) -> Reading:
    return Reading(straight(size, TWO), How.STOPPED, Decimal(short))


def test_thirty_random_cases_are_as_by_brute_force() -> None:
    score = proved("further", 30, 4, 1)
    assert score.wrong == []
    assert min(score.kinds[kind] for kind in ("named", "none named")) >= 5


@pytest.mark.parametrize("seed", [19, 42, 195])
def test_files_held_before_may_bound_the_canal_closer_than_the_further_one(seed: int) -> None:
    assert further(Random(seed)).wrong is None  # drawn because only there it matters that they do


def test_after_one_file_held_at_length_the_next_smaller_one_tells_most() -> None:
    # 35/.02 held at length: 0.35 + 0.02 * 16 + 0.02 = 0.69 mm at most, nothing at least. The 30/.02 passes: 0.28-0.69,
    # 0.41 apart. It is held at length: from 0.3 mm on the 35 proves more than it can have touched, so 0.326 mm at most.
    readings = [held(35, "0")]
    found = bounds(readings)
    assert next_reading(found, STOCK) == Further(STOCK[3], Decimal("0.69"), Decimal("0.41"))
    assert worst_of(readings, STOCK[3], Model(), Decimal("0.69")) == Decimal("0.41")


def test_without_an_upper_bound_none_is_certain_to_tell_anything() -> None:
    found = bounds([Reading(straight(30, TWO), How.PASSED, Decimal(0))])
    assert next_reading(found, STOCK) is None
    assert next_larger(found, STOCK) == STOCK[4]


def test_the_next_larger_one_is_larger_than_what_went_in_at_length_or_not() -> None:
    def after(how: How, size: int, short: str) -> Tool | None:
        return next_larger(bounds([Reading(straight(size, TWO), how, Decimal(short))]), STOCK)

    assert after(How.PASSED, 30, "0") == after(How.PASSED, 30, "1.5") == straight(35, TWO)
    assert after(How.CUT, 32, "4") == straight(35, TWO)  # a size between two
    assert after(How.CUT, 80, "2") is None
    assert after(How.STOPPED, 40, "1") == STOCK[0]  # held, it went in to nowhere for certain
    passed, cut = Reading(straight(20, TWO), How.PASSED, Decimal(0)), Reading(straight(40, TWO), How.CUT, Decimal(3))
    assert next_larger(bounds([cut, passed]), STOCK) == straight(45, TWO)


def test_a_contradiction_comes_before_any_other_reading() -> None:
    found = bounds([Reading(straight(40, TWO), How.PASSED, Decimal(0)), held(30, "0.5")])
    assert found.contradiction
    assert next_reading(found, STOCK) is None


def test_an_empty_stock_names_nothing() -> None:
    found = bounds([held(35, "0")])
    assert next_reading(found, ()) is None
    assert next_larger(found, ()) is None
