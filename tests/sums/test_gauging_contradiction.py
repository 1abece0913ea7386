"""Readings that cannot all be true: a smallest set is named up to four, beyond that one that cannot be made smaller."""

from __future__ import annotations

import time
from decimal import Decimal
from itertools import combinations

import pytest

from stepper.sums.gauging.bounds import Bounds, bounds
from stepper.sums.gauging.compare import Larger, compare
from stepper.sums.gauging.contradiction import SEARCHED, smallest_contradiction
from stepper.sums.gauging.model import How, Model, Reading, straight
from tests.gauging import brute
from tests.gauging.exact import agree
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


EXACT_TO = Model(Decimal("0.3"), Decimal("0.02"), Decimal("0.02"))
HELD_20 = read(How.STOPPED, 20, "0.06")


def stairs(count: int) -> list[Reading]:
    """Files of taper .02 that only together prove the canal wider than a 20/.06 that was held, 0.22 + 0.06 y at most.

    The one that begins to prove at a proves 0.22 + 0.06 a + 0.09 + 0.02 (y - a), which the 20 is below up to a + 2.25;
    the next one begins at a + 2, and the last has to do for what is left of the 16 mm.
    """
    starts = [2 * at for at in range(count - 1)]
    out = [read(How.CUT, 33 + 6 * a, "0.02", "0" if a == 0 else f"{a - Decimal('0.3')}") for a in starts]
    last = 2 * (count - 1)
    return [*out, read(How.CUT, 24 + 6 * last + 66 - 4 * last, "0.02", f"{last - Decimal('0.3')}")]


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 7])
def test_none_of_the_readings_that_are_named_can_be_left_out(count: int) -> None:
    others = [read(How.PASSED, 10, "0.02"), read(How.CUT, 25, "0.02", "7")]
    told = [others[0], *stairs(count)[::-1], HELD_20, others[1]]
    named = smallest_contradiction(told, EXACT_TO)
    assert set(named) == {*stairs(count), HELD_20}
    assert list(named) == [one for one in told if one in named]
    assert brute.irreducible(named, EXACT_TO)
    assert brute.smallest_sets(told, EXACT_TO) == [named]


def test_up_to_four_the_set_is_a_smallest_one_though_leaving_out_would_end_elsewhere() -> None:
    # Left out one after the other in the order read, first the two would go that are enough by themselves.
    told = [*stairs(2), *stairs(3)[1:], HELD_20]
    assert len(smallest_contradiction(told, EXACT_TO)) == 3
    assert not agree([*stairs(3), HELD_20], EXACT_TO)
    assert SEARCHED == 4


def test_a_large_set_is_found_between_two_key_strokes() -> None:
    small = [read(How.PASSED, size, "0.02", short) for size in (6, 8, 10, 15, 20) for short in ("0", "3")]
    told = [*small, *stairs(7), HELD_20]
    began = time.process_time()
    named = smallest_contradiction(told, EXACT_TO)
    assert time.process_time() - began < 0.3
    assert len(named) == 8
    assert brute.irreducible(named, EXACT_TO)


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
    one = compare(straight(45, Decimal("0.04")), contradicted, 40)
    assert (one.larger, one.larger_if_held) == (Larger.UNKNOWN, Larger.UNKNOWN)
    assert (one.over_passed_mm, one.over_tip_held_mm, one.unknown_mm, one.within_passed) == (None, None, None, False)
    assert (one.gauge, one.steps_over_gauge) == (None, None)  # whatever the gauged size
