"""What files prove of a canal's width, by hand. Every figure follows from the model of the design, section 6 (derived);
sizes, tapers and tolerances are those of ISO 3630-1 (from memory), the reading error common practice, no source."""

from __future__ import annotations

from decimal import Decimal

import pytest

from stepper.sums.gauging.bounds import bounds
from stepper.sums.gauging.compare import Larger, compare
from stepper.sums.gauging.model import How, Model, Reading, Tool, gauged_size, straight
from stepper.sums.gauging.words import sentences

D = Decimal


def read(how: How, size: int, taper: str, short: str = "0", cutting: str = "16") -> Reading:
    return Reading(straight(size, D(taper), D(cutting)), how, D(short))


def cut(size: int, taper: str, short: str = "0", cutting: str = "16") -> Reading:
    return read(How.CUT, size, taper, short, cutting)


def passed(size: int, taper: str, short: str = "0") -> Reading:
    return read(How.PASSED, size, taper, short)


def stopped(size: int, taper: str, short: str, cutting: str = "16") -> Reading:
    return read(How.STOPPED, size, taper, short, cutting)


WORKED = [
    cut(25, "0.06"),
    cut(40, "0.08", "5"),
    passed(30, "0.02"),
    stopped(35, "0.02", "0.5"),
    stopped(40, "0.02", "1.5"),
]
"""The evidence of the issue's command.

At least: 30/.02 passed 0.28 + 0.02 x; 25/.06 cut 0.23 + 0.06 x; 35/.02 from 0.5 + 0.3 on 0.33 + 0.02 (x - 0.8);
40/.02 from 1.8 on 0.38 + 0.02 (x - 1.8); 40/.08 from 5.3 on 0.38 + 0.08 (x - 5.3).
35/.02 touched from 0.2 on, at most 0.37 + 0.02 (y - 0.2) wide: up to where 0.23 + 0.06 y is as wide, 3.4.
40/.02 touched from 1.2 on, at most 0.42 + 0.02 (y - 1.2) wide: up to 0.166 / 0.04 = 4.15.
"""


def test_the_worked_example() -> None:
    found = bounds(WORKED)
    assert found.low_mm == D("0.28")
    assert found.high_mm == D("0.434")  # 0.37 + 0.02 * 3.2
    assert found.tip_high_mm == D("0.37")
    assert found.tip_held is not None
    assert found.tip_held.reading == WORKED[3]
    assert [one.zones_mm for one in found.held] == [((D("0.2"), D("3.4")),), ((D("1.2"), D("4.15")),)]
    assert [one.upper_mm for one in found.held] == [D("0.434"), D("0.479")]
    assert all(one.at_tip for one in found.held)
    assert found.contradiction == ()
    assert gauged_size(WORKED) == 30


@pytest.mark.parametrize(
    ("x", "width"),
    [
        ("0", "0.28"),
        ("0.79", "0.2958"),  # 30/.02
        ("0.8", "0.33"),  # the 35 begins
        ("1.79", "0.3498"),
        ("1.8", "0.38"),  # the 40 begins
        ("2.85", "0.401"),  # 0.344 + 0.02 x = 0.23 + 0.06 x
        ("3", "0.41"),
        ("5.3", "0.548"),
        ("13.7", "1.052"),  # 40/.08 meets 25/.06: 0.02 x = 0.274
        ("15", "1.156"),
        ("16", "1.236"),
    ],
)
def test_the_lower_bound_by_hand(x: str, width: str) -> None:
    assert bounds(WORKED).lower_mm(D(x)) == D(width)


@pytest.mark.parametrize(
    ("x", "upper", "tip"),
    [("0", "0.434", "0.37"), ("0.2", "0.434", "0.37"), ("0.21", "0.479", "0.42"), ("1.2", "0.479", "0.42")],
)
def test_the_upper_bounds_by_hand(x: str, upper: str, tip: str) -> None:
    assert bounds(WORKED).upper_mm(D(x)) == D(upper)
    assert bounds(WORKED).tip_upper_mm(D(x)) == D(tip)


def test_beyond_where_a_held_file_may_first_have_touched_it_bounds_nothing() -> None:
    assert bounds(WORKED).upper_mm(D("1.21")) is None
    assert bounds(WORKED).tip_upper_mm(D("1.21")) is None


def test_the_lines_to_draw() -> None:
    found = bounds(WORKED)
    assert found.upper_corners == (
        (D(0), D("0.434")),
        (D("0.2"), D("0.434")),
        (D("0.2"), D("0.479")),
        (D("1.2"), D("0.479")),
    )
    assert found.lower_corners[:4] == (
        (D(0), D("0.28")),
        (D("0.8"), D("0.296")),
        (D("0.8"), D("0.33")),
        (D("1.8"), D("0.35")),
    )
    assert found.lower_corners[-1] == (D(16), D("1.236"))


@pytest.mark.parametrize("how", [How.CUT, How.PASSED])
def test_a_file_at_length_counts_from_length_and_short_of_it_from_the_error_on(how: How) -> None:
    at_length, short = bounds([read(how, 30, "0.04")]), bounds([read(how, 30, "0.04", "2")])
    assert at_length.low_mm == D("0.28")
    assert short.low_mm is None
    assert short.lower_mm(D("2.29")) is None
    assert short.lower_mm(D("2.3")) == D("0.28")
    assert short.lower_mm(D("3.3")) == D("0.32")
    assert at_length.high_mm is short.high_mm is None


def test_a_file_held_at_length_may_have_rested_short_of_it() -> None:
    found = bounds([stopped(35, "0.02", "0")])
    assert found.low_mm is None
    assert found.lower_mm(D("0.3")) == D("0.33")
    assert found.held[0].zones_mm == ((D(0), D(16)),)
    assert (found.high_mm, found.tip_high_mm) == (D("0.69"), D("0.37"))  # 0.35 + 0.32 + 0.02
    assert gauged_size(found.readings) == 35  # it was read at length


def test_a_file_held_before_the_last_cut_proves_what_it_proved_and_bounds_nothing() -> None:
    found = bounds([read(How.FREED, 35, "0.02", "0"), cut(25, "0.06")])
    assert found.lower_mm(D("0.29")) == D("0.2474")  # 25/.06
    assert found.lower_mm(D("0.3")) == D("0.33")  # 35/.02: it may have rested 0.3 mm short
    assert found.held == ()
    assert found.high_mm is found.tip_high_mm is None
    assert gauged_size(found.readings) == 35


def test_above_size_60_the_tolerance_is_wider() -> None:
    assert bounds([passed(60, "0.02")]).low_mm == D("0.58")
    assert bounds([passed(70, "0.02")]).low_mm == D("0.66")
    assert bounds([passed(30, "0.02"), stopped(70, "0.02", "0")]).tip_high_mm == D("0.74")


def test_behind_its_cutting_part_a_file_proves_what_the_end_of_it_proves() -> None:
    found = bounds([cut(30, "0.06", cutting="5")])
    assert found.lower_mm(D(5)) == D("0.58")
    assert found.lower_mm(D(12)) == D("0.58")


def test_a_held_file_may_touch_as_far_as_its_cutting_part_can_have_reached() -> None:
    # Short cutting part: from 2 - 0.3 to 2 + 0.3 + 5, laid straight on from where its tip may have been innermost.
    found = bounds([stopped(40, "0.04", "2", cutting="5")])
    assert found.held[0].zones_mm == ((D("1.7"), D("7.3")),)
    assert found.high_mm == D("0.644")  # 0.42 + 0.04 * 5.6


def test_it_may_have_touched_in_two_places_apart() -> None:
    # The 40/.04 is at most 0.42 + 0.04 (y - 0.7) wide. A file of 60 cut to 5.3 mm proves 0.58 + 0.02 (y - 5.3): more up
    # to 9.9, where 0.392 + 0.04 y = 0.474 + 0.02 y is 4.1: less, so not at all; a 70/.02 proves 0.554 + 0.02 y: 8.1.
    found = bounds([stopped(40, "0.04", "1"), cut(70, "0.02", "5")])
    # 0.66 + 0.02 (y - 5.3) = 0.554 + 0.02 y against 0.392 + 0.04 y: from 8.1 mm on the held file is the wider again.
    assert found.held[0].zones_mm == ((D("0.7"), D("5.3")), (D("8.1"), D(16)))
    assert found.high_mm == D("1.032")  # at the outermost of them: 0.392 + 0.64


def test_a_file_that_cannot_have_been_held_at_its_tip_is_no_tip_held_bound() -> None:
    # Passed 40/.02 proves 0.38 + 0.02 x; the 35/.06 held at 1 mm is at most 0.37 wide at 0.7 mm, where 0.394 is proved.
    found = bounds([passed(40, "0.02"), stopped(35, "0.06", "1")])
    (held,) = found.held
    assert not held.at_tip
    assert held.zones_mm == ((D("1.3"), D(16)),)  # 0.328 + 0.06 y = 0.38 + 0.02 y
    assert found.tip_held is None
    # What is proved without that is all there is: 0.328 + 0.06 * 16, as far as the file begins to touch.
    assert found.high_mm == found.tip_high_mm == found.tip_upper_mm(D(0)) == D("1.288")
    assert found.tip_upper_mm(D("1.3")) == D("1.288")
    assert found.tip_upper_mm(D("1.31")) is None


def test_the_tip_held_bound_is_the_least_of_those_that_can_have_been() -> None:
    found = bounds([stopped(45, "0.02", "2"), stopped(40, "0.02", "1"), stopped(40, "0.04", "1")])
    assert found.tip_high_mm == D("0.42")


def test_a_tip_held_bound_is_never_wider_than_the_cautious_one() -> None:
    """Held at its tip or not, what is proved without that holds as well.

    30/.02 passed proves 0.28 + 0.02 x; 35/.08 held at length 0.33 + 0.08 (x - 0.3) from 0.3 mm on. So the 25/.08 held
    at length, at most 0.27 + 0.08 y wide, touched from 1/6 to 0.3 mm: not at its tip, and the canal is 0.294 mm at
    most. The 35 may have been held at its tip, which by itself would be 0.37 mm at most.
    """
    found = bounds([passed(30, "0.02"), stopped(25, "0.08", "0"), stopped(35, "0.08", "0")])
    assert found.high_mm == found.tip_high_mm == D("0.294")
    assert found.tip_held is not None
    assert found.tip_held.tip_upper_mm == D("0.37")
    assert found.tip_upper_mm(D("0.1")) == D("0.294")  # only the 35's tip, at length, and the 25 bounds it further up
    assert found.tip_upper_mm(D("0.2")) is found.upper_mm(D("0.2")) is None
    one = compare(straight(35, D("0.02")), found, None)  # 0.33 mm at least
    assert (one.larger, one.larger_if_held) == (Larger.YES, Larger.YES)
    assert sentences(found)[:2] == (
        "Round, straight canal assumed: narrowest width at length 0.28-0.30 mm.",
        "If the 35 was held at its tip: 0.28-0.30.",
    )


TABLE = Tool("25 by a table", 25, ((D(0), D("0.25")), (D(4), D("0.57")), (D(12), D("0.81"))))
"""Taper .08 over 4 mm, then .03 over 8 mm: a file of variable taper as a stock entry tells it."""


def test_a_file_of_variable_taper_goes_by_its_table() -> None:
    found = bounds([Reading(TABLE, How.CUT, D(0))])
    widths = {"0": "0.23", "3": "0.47", "4": "0.55", "8": "0.67", "12": "0.79", "15": "0.79"}
    assert {x: found.lower_mm(D(x)) for x in widths} == {x: D(width) for x, width in widths.items()}


def test_a_held_file_of_variable_taper_bounds_by_its_table() -> None:
    # Passed 30/.06 proves 0.28 + 0.06 x. Held at 1 mm, at most 0.27 + 0.08 (y - 0.7) up to 4.7 mm and 0.59 + 0.03
    # (y - 4.7) behind: 0.214 + 0.08 y reaches it at 3.3, 0.449 + 0.03 y falls below again at 5.6333.
    found = bounds([passed(30, "0.06"), Reading(TABLE, How.STOPPED, D(1))])
    ((low, high),) = found.held[0].zones_mm
    assert low == D("3.3")
    assert float(high) == pytest.approx(0.169 / 0.03)
    assert float(found.high_mm or 0) == pytest.approx(0.28 + 0.06 * 0.169 / 0.03)
    assert not found.held[0].at_tip


def test_how_exactly_things_are_known_is_a_setting() -> None:
    exact = Model(read_error_mm=D(0), tolerance_mm=D(0), tolerance_over_60_mm=D(0))
    found = bounds([passed(30, "0.02"), stopped(35, "0.02", "0.5")], exact)
    assert found.low_mm == D("0.30")
    assert found.tip_high_mm == D("0.35")
    assert found.high_mm == D("0.66")  # 0.35 + 0.02 * 15.5
    assert bounds(found.readings, Model(span_mm=D(10))).high_mm == D("0.566")  # 0.37 + 0.02 * 9.8


@pytest.mark.parametrize("short", ["15.8", "16"])
def test_a_reading_where_what_is_reckoned_ends(short: str) -> None:
    found = bounds([stopped(35, "0.02", short)])
    assert found.low_mm is None
    assert found.lower_mm(D(16)) is None
    assert found.high_mm == D("0.37") + (16 - (D(short) - D("0.3"))) * D("0.02")


def test_a_reading_at_the_very_end_without_a_reading_error() -> None:
    exact = Model(read_error_mm=D(0))
    found = bounds([stopped(35, "0.02", "16")], exact)
    assert found.held[0].zones_mm == ((D(16), D(16)),)
    assert found.high_mm == found.tip_high_mm == D("0.37")
    both = bounds([cut(40, "0.02"), stopped(35, "0.02", "16")], exact)
    assert len(both.contradiction) == 2  # 0.70 is proved there


@pytest.mark.parametrize(
    ("size", "taper", "short", "name"),
    [
        (35, "0.02", "0.5", "35/.02-0.5"),
        (8, "0.02", "0", "08/.02-0"),
        (40, "0.04", "1.50", "40/.04-1.5"),
        (40, "0.04", "10", "40/.04-10"),
    ],
)
def test_a_reading_is_named_as_it_is_keyed(size: int, taper: str, short: str, name: str) -> None:
    assert stopped(size, taper, short).name == name
    assert passed(size, taper, short).name == (name.removesuffix("-0") if short == "0" else name)


def test_the_gauged_size_is_the_largest_read_at_length() -> None:
    assert gauged_size([stopped(50, "0.02", "1")]) is None
    assert gauged_size([cut(25, "0.06"), passed(40, "0.02", "1")]) == 25
    assert gauged_size([cut(25, "0.06"), passed(30, "0.02"), passed(20, "0.02")]) == 30


ONE = (D(0), D("0.25"))


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: bounds([]), "at least one file"),
        (lambda: bounds([stopped(35, "0.02", "16.5")]), "up to 16 mm short"),
        (lambda: bounds([passed(35, "0.02", "11")], Model(span_mm=D(10))), "up to 10 mm short"),
        (lambda: straight(0, D("0.02")), "Size 0"),
        (lambda: straight(-5, D("0.02")), "Size -5"),
        (lambda: straight(30, D(0)), "taper above 0"),
        (lambda: straight(30, D("-0.02")), "taper above 0"),
        (lambda: straight(30, D("NaN")), "taper above 0"),
        (lambda: straight(30, D("Infinity")), "taper above 0"),
        (lambda: straight(30, D("0.02"), D(0)), "above 0 mm"),
        (lambda: straight(30, D("0.02"), D("NaN")), "above 0 mm"),
        (lambda: passed(30, "0.02", "-0.5"), "0 mm or more"),
        (lambda: passed(30, "0.02", "NaN"), "0 mm or more"),
        (lambda: stopped(30, "0.02", "Infinity"), "0 mm or more"),
        (lambda: Model(read_error_mm=D("-0.1")), "0 mm or more"),
        (lambda: Model(read_error_mm=D("NaN")), "0 mm or more"),
        (lambda: Model(tolerance_mm=D("Infinity")), "0 mm or more"),
        (lambda: Model(tolerance_over_60_mm=D("-1")), "0 mm or more"),
        (lambda: Model(span_mm=D(0)), "not allowed"),
        (lambda: Model(span_mm=D(41)), "not allowed"),
        (lambda: Model(span_mm=D("NaN")), "not allowed"),
        (lambda: Tool("odd", 25, (ONE,)), "two places or more"),
        (lambda: Tool("odd", 25, ((D(1), D("0.25")), (D(4), D("0.5")))), "the first 0 mm"),
        (lambda: Tool("odd", 25, (ONE, (D("NaN"), D("0.5")))), "two places or more"),
        (lambda: Tool("odd", 25, (ONE, (D(4), D("0.5")), (D(4), D("0.6")))), "have to increase"),
        (lambda: Tool("odd", 25, (ONE, (D(4), D("0.2")))), "may not decrease"),
        (lambda: Tool("odd", 25, ((D(0), D(0)), (D(4), D("0.2")))), "above 0 mm"),
    ],
)
def test_bad_input_is_one_clear_sentence(make: object, says: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=says) as raised:
        make()
    assert str(raised.value).endswith(".")
    assert "\n" not in str(raised.value)
