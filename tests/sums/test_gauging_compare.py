"""A file in question against what gauging proves, by hand; sizes as positions in the ISO 3630-1 series."""

from __future__ import annotations

from decimal import Decimal

import pytest

from stepper.sums.gauging.bounds import bounds
from stepper.sums.gauging.compare import Larger, compare, steps_over
from stepper.sums.gauging.model import Model, Tool, straight
from tests.sums.test_gauging_bounds import WORKED, cut, passed, stopped

D = Decimal
YES, NO, UNKNOWN = Larger


def file(size: int, taper: str, cutting: str = "16") -> Tool:
    return straight(size, D(taper), D(cutting))


def test_the_worked_example() -> None:
    """45/.04 is 0.45 + 0.04 x wide, within 0.43 to 0.47 at length.

    At length 0.434 at most: 0.43 is not above it; 0.37 if held at the tip: it is. What has passed is narrower over all
    3 mm (0.57 > 0.41). Held at the tip, at most 0.37 to 0.2 mm and 0.42 to 1.2 mm: larger over 1.2 mm. Unknown: to 0.2
    mm at most 0.434, so larger; to 1.2 mm at most 0.479, larger from 0.725 mm on; then nothing bounds the canal:
    0.525 + 1.8. From 30 to 45 are three positions.
    """
    one = compare(file(45, "0.04"), bounds(WORKED), 30)
    assert (one.larger, one.larger_if_held) == (UNKNOWN, YES)
    assert (one.over_passed_mm, one.over_tip_held_mm, one.unknown_mm) == (D(3), D("1.2"), D("2.325"))
    assert not one.within_passed
    assert (one.gauge, one.steps_over_gauge) == (30, 3)


@pytest.mark.parametrize(
    ("size", "cautious", "if_held"),
    [
        (20, NO, NO),  # 0.22 at most, 0.28 is proved
        (25, NO, NO),  # 0.27
        (30, UNKNOWN, UNKNOWN),  # 0.32
        (35, UNKNOWN, UNKNOWN),  # 0.33 at least is not above 0.37
        (40, UNKNOWN, YES),  # 0.38 is above 0.37, not above 0.434
        (45, UNKNOWN, YES),
        (50, YES, YES),  # 0.48
    ],
)
def test_larger_at_length(size: int, cautious: Larger, if_held: Larger) -> None:
    one = compare(file(size, "0.02"), bounds(WORKED), 30)
    assert (one.larger, one.larger_if_held) == (cautious, if_held)


def test_the_limits_are_strict_as_the_design_has_them() -> None:
    # Yes: d - tol above the bound. No: d + tol at most what is proved. 39/.02 is 0.37 at least: not above 0.37.
    assert compare(file(39, "0.02"), bounds(WORKED), 30).larger_if_held is UNKNOWN
    assert compare(file(26, "0.02"), bounds(WORKED), 30).larger is NO  # 0.28 at most: as wide as is proved
    assert compare(file(27, "0.02"), bounds(WORKED), 30).larger is UNKNOWN


def test_above_size_60_the_file_is_taken_with_its_wider_tolerance() -> None:
    # 66 to 74 hundredths; the 70 held at length is 74 at most if at its tip, and the 80 is 76 at least.
    found = bounds([stopped(70, "0.02", "0")])
    assert compare(file(80, "0.02"), found, 70).larger_if_held is YES
    assert compare(file(78, "0.02"), found, 70).larger_if_held is UNKNOWN


def test_without_an_upper_bound_nothing_is_larger_for_certain() -> None:
    one = compare(file(140, "0.12"), bounds([passed(15, "0.02")]), 15)
    assert (one.larger, one.larger_if_held) == (UNKNOWN, UNKNOWN)
    assert (one.over_passed_mm, one.over_tip_held_mm, one.unknown_mm) == (D(3), None, D(3))


def test_a_file_no_larger_than_what_has_passed_over_all_three_millimetres() -> None:
    one = compare(file(25, "0.04"), bounds([passed(30, "0.04")]), 30)
    assert one.within_passed
    assert (one.over_passed_mm, one.unknown_mm) == (D(0), D(0))
    assert one.steps_over_gauge == -1


def test_as_wide_as_what_is_proved_is_not_larger() -> None:
    # 28/.02 is 0.28 + 0.02 x, just what a 30/.02 that has passed proves.
    assert compare(file(28, "0.02"), bounds([passed(30, "0.02")]), 30).within_passed


def test_larger_over_a_part_of_the_apical_three_millimetres() -> None:
    # 25/.06 against 30/.02 passed: 0.25 + 0.06 x = 0.28 + 0.02 x at 0.75 mm, so larger over 2.25 mm.
    one = compare(file(25, "0.06"), bounds([passed(30, "0.02")]), 30)
    assert (one.over_passed_mm, one.unknown_mm, one.within_passed) == (D("2.25"), D("2.25"), False)


def test_larger_where_another_file_stops_proving() -> None:
    # 35/.02 against 30/.02 passed and a 60/.02 cut to 2 mm short, which proves 0.58 from 2.3 mm on.
    one = compare(file(35, "0.02"), bounds([passed(30, "0.02"), cut(60, "0.02", "2")]), 30)
    assert one.over_passed_mm == D("2.3")


def test_a_short_cutting_part_is_compared_as_far_as_it_goes_and_never_called_smaller_over_all() -> None:
    one = compare(file(20, "0.02", "2"), bounds([passed(30, "0.02")]), 30)
    assert one.over_passed_mm == D(0)
    assert not one.within_passed
    assert compare(file(40, "0.02", "2"), bounds([passed(30, "0.02")]), 30).over_passed_mm == D(2)


def test_a_file_of_variable_taper_is_compared_by_its_table() -> None:
    # 0.25 + 0.08 x to 1 mm, then 0.33 level, against 0.28 + 0.02 x: larger from 0.5 to 2.5 mm.
    table = Tool("25 by a table", 25, ((D(0), D("0.25")), (D(1), D("0.33")), (D(5), D("0.33"))))
    assert compare(table, bounds([passed(30, "0.02")]), 30).over_passed_mm == D(2)


@pytest.mark.parametrize(
    ("gauged", "size", "steps"),
    [
        (8, 20, 3),  # trap: three up from 008 is 020 (seen), not 0.15 mm on
        (55, 80, 3),  # 060, 070, 080 (derived)
        (30, 30, 0),
        (30, 15, -3),
        (25, 32, 1),  # between two of the series it counts as the smaller one
        (140, 140, 0),
    ],
)
def test_steps_are_positions_in_the_series(gauged: int, size: int, steps: int) -> None:
    assert steps_over(size, gauged) == steps
    one = compare(file(size, "0.02"), bounds([stopped(140, "0.02", "5")]), gauged)
    assert (one.gauge, one.steps_over_gauge) == (gauged, steps)


def test_no_steps_where_there_is_no_gauged_size() -> None:
    one = compare(file(45, "0.02"), bounds([passed(40, "0.02")]), None)
    assert (one.gauge, one.steps_over_gauge) == (None, None)


def test_the_gauged_size_is_the_one_given_and_no_other() -> None:
    # What counts as the gauge is the practice's business: a file that cut, and one read short of length, may not.
    one = compare(file(40, "0.02"), bounds([cut(35, "0.06"), passed(25, "0.02", "0.5")]), 25)
    assert (one.gauge, one.steps_over_gauge) == (25, 3)


def test_where_no_file_can_have_been_held_at_its_tip_it_is_compared_with_the_cautious_bound() -> None:
    # 40/.02 passed; the 35/.06 held at 1 mm touched from 1.3 mm on, so the canal is 1.288 mm wide at most there.
    found = bounds([passed(40, "0.02"), stopped(35, "0.06", "1")])
    assert [compare(file(size, "0.02"), found, 40).larger_if_held for size in (120, 140)] == [UNKNOWN, YES]
    one = compare(file(140, "0.02"), found, 40)
    assert one.over_tip_held_mm == D("1.3")  # 1.40 and wider; from 1.3 mm on nothing bounds the canal
    assert compare(file(45, "0.02"), found, 40).over_tip_held_mm == D(0)  # bounded, and nowhere larger


@pytest.mark.parametrize("span", ["1", "2.9"])
def test_less_than_the_apical_three_millimetres_is_not_reckoned(span: str) -> None:
    # Else a file could be called smaller over all 3 mm where only the first of them was looked at.
    with pytest.raises(ValueError, match="3 to 40 mm"):
        Model(span_mm=D(span))
