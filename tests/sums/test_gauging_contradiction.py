"""Readings that cannot all be true: a smallest set of them is named, and no number."""

from __future__ import annotations

from decimal import Decimal
from itertools import combinations

import pytest

from stepper.sums.gauging.bounds import Bounds, bounds
from stepper.sums.gauging.compare import Larger, compare
from stepper.sums.gauging.contradiction import smallest_contradiction
from stepper.sums.gauging.model import How, Model, Reading, straight
from tests.gauging.run import proved


def read(how: How, size: int, taper: str, short: str = "0", cutting: str = "16") -> Reading:
    return Reading(straight(size, Decimal(taper), Decimal(cutting)), how, Decimal(short))


PASSED_40 = read(How.PASSED, 40, "0.02")
CUT_25 = read(How.CUT, 25, "0.06")
HELD_30 = read(How.STOPPED, 30, "0.04", "1")
THREE = [CUT_25, PASSED_40, HELD_30]
"""The 30/.04 touches from 0.7 mm on and is at most 0.292 + 0.04 y wide. The 40/.02 proves 0.38 + 0.02 y, more up to
4.4 mm; the 25/.06 proves 0.23 + 0.06 y, more from 3.1 mm on. Either leaves a place, both together none."""


def test_random_cases_name_a_smallest_set_of_readings() -> None:
    score = proved("contradiction", 200, 9, 1)
    assert score.wrong == []
    assert min(score.kinds[kind] for kind in ("none", "of 2", "of 3")) >= 3


def test_a_contradiction_may_need_three_readings() -> None:
    assert bounds(THREE).contradiction == tuple(THREE)
    for two in combinations(THREE, 2):
        assert bounds(two).contradiction == ()
    (zone,) = bounds([PASSED_40, HELD_30]).held[0].zones_mm
    assert zone == (Decimal("4.4"), Decimal(16))
    (zone,) = bounds([CUT_25, HELD_30]).held[0].zones_mm
    assert zone == (Decimal("0.7"), Decimal("3.1"))


def test_what_has_no_part_in_it_is_not_named() -> None:
    others = [read(How.PASSED, 20, "0.02"), read(How.STOPPED, 60, "0.02", "2"), read(How.CUT, 30, "0.04", "9")]
    assert bounds([others[0], *THREE, *others[1:]]).contradiction == tuple(THREE)
    assert smallest_contradiction(others, Model()) == ()


def test_the_same_reading_twice_counts_once() -> None:
    assert bounds([PASSED_40, PASSED_40, read(How.STOPPED, 30, "0.02", "0.5")]).contradiction == (
        PASSED_40,
        read(How.STOPPED, 30, "0.02", "0.5"),
    )


def test_where_two_are_enough_no_third_is_named() -> None:
    held = read(How.STOPPED, 20, "0.02", "0.5")
    found = bounds([CUT_25, PASSED_40, held]).contradiction
    assert len(found) == 2
    assert held in found


def test_two_files_held_at_the_same_place_may_contradict_one_another() -> None:
    # The 40 held at 1 proves 0.38 + 0.02 (y - 1.3) from 1.3 mm on; the 30 held at 3 touches from 2.7 mm on, where it is
    # at most 0.32 + 0.02 (y - 2.7) wide.
    found = bounds([read(How.STOPPED, 40, "0.02", "1"), read(How.STOPPED, 30, "0.02", "3")])
    assert len(found.contradiction) == 2


@pytest.fixture
def contradicted() -> Bounds:
    return bounds(THREE)


def test_no_bound_is_given(contradicted: Bounds) -> None:
    found = contradicted
    assert (found.low_mm, found.high_mm, found.tip_high_mm, found.tip_held) == (None, None, None, None)
    assert (found.lower_corners, found.upper_corners) == ((), ())
    for x in (Decimal(0), Decimal("1.5"), Decimal(16)):
        assert (found.lower_mm(x), found.upper_mm(x), found.tip_upper_mm(x)) == (None, None, None)
    assert found.ceiling(tip=True) == found.ceiling(tip=False) == ()


def test_nothing_is_compared(contradicted: Bounds) -> None:
    one = compare(straight(45, Decimal("0.04")), contradicted)
    assert (one.larger, one.larger_if_held) == (Larger.UNKNOWN, Larger.UNKNOWN)
    assert (one.over_passed_mm, one.over_tip_held_mm, one.unknown_mm, one.within_passed) == (None, None, None, False)
    assert one.steps_over_gauge == 1  # the 40 was read at length all the same
