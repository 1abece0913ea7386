"""Where a needle touches and from where it is loose; the tubing of ISO 9626 against figures typed in here."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.iso3630 import SIZES
from stepper.sums.needle import TUBES, Reach, reach, tube

D = Decimal
tapers = st.integers(2, 24).map(lambda half: D(half) / 200)
sizes = st.sampled_from(SIZES)
gauges = st.sampled_from(sorted(TUBES))

# ISO 9626:2016, Table 1: from memory, medium confidence; imperial nominal: seen, but for 33 G (from memory).
# Gauge, designated size, least and largest outside diameter, imperial nominal, all in mm.
TABLE = """
23 .60 .600 .673 .6414 | 24 .55 .550 .580 .5652 | 25 .50 .500 .530 .5144 | 26 .45 .440 .470 .4636
27 .40 .400 .420 .4128 | 28 .36 .349 .370 .3620 | 29 .33 .324 .351 .3366 | 30 .30 .298 .320 .3112
31 .25 .254 .267 .2604 | 32 .23 .229 .241 .2350 | 33 .20 .203 .216 .2096
"""
ROWS = [row.split() for line in TABLE.strip().splitlines() for row in line.split("|")]


@pytest.mark.parametrize(("gauge", "designated", "least", "largest", "imperial"), ROWS)
def test_the_table(gauge: str, designated: str, least: str, largest: str, imperial: str):
    found = tube(int(gauge))
    assert (found.gauge, found.designated_mm) == (int(gauge), D(designated))
    assert (found.least_mm, found.largest_mm) == (D(least), D(largest))
    assert found.least_mm <= D(imperial) <= found.largest_mm
    assert found.known.startswith("from memory")
    assert ("was seen" in found.known) is (gauge != "33")


def test_the_table_has_no_other_gauges():
    assert sorted(TUBES) == [int(row[0]) for row in ROWS]
    with pytest.raises(ValueError, match=r"Gauge 22 is not in the table: 23, 24, .*, 32, 33 are allowed\."):
        tube(22)


@pytest.mark.parametrize(
    ("size", "taper", "gauge", "touches", "loose"),
    [
        # Worked examples 14 and 15 (derived): .320 and .420 in 30/.04, .320 in 25/.06 and 25/.04. Loose by the cut
        # .02 narrower (ISO 3630-1:1992, from memory), rounded up.
        (30, "0.04", 30, "0.5", "1"),
        (30, "0.04", 27, "3.0", "3.5"),
        (25, "0.06", 30, "1.17", "1.5"),
        (25, "0.04", 30, "1.75", "2.25"),
        # .267 in 25/.06: .017 / .06 = .2833..., .037 / .06 = .6166...
        (25, "0.06", 31, "0.28", "0.62"),
        # As wide at length, or wider: nothing to touch on the way.
        (35, "0.04", 30, "0", "0"),
        # As wide at its nominal size and not at its tolerance: .32 - .02 is .30.
        (32, "0.04", 30, "0", "0.5"),
        # Above 60 the file may be .04 narrower: .673 in 70/.02 is .013 / .02 = .65 short of loose.
        (70, "0.02", 23, "0", "0.65"),
        # .42 is reached at 16 mm exactly, and the smallest cut is nowhere so wide.
        (10, "0.02", 27, "16", None),
        (10, "0.02", 26, None, None),
    ],
)
def test_touches_and_loose(size: int, taper: str, gauge: int, touches: str, loose: str | None):
    expected = Reach(None if touches is None else D(touches), None if loose is None else D(loose))
    assert reach(size, D(taper), tube(gauge).largest_mm) == expected


def test_a_shorter_cut_part_ends_sooner():
    assert reach(30, D("0.04"), D("0.420"), cut_mm=D(3)) == Reach(D(3), None)


def test_the_tolerance_is_a_parameter():
    assert reach(30, D("0.04"), D("0.420"), file_within_mm=D(0)) == Reach(D(3), D(3))
    assert reach(30, D("0.04"), D("0.420"), file_within_mm=D("0.05")) == Reach(D(3), D("4.25"))


@given(sizes, tapers, gauges)
def test_loose_is_never_nearer_than_touching(size: int, taper: Decimal, gauge: int):
    found = reach(size, taper, tube(gauge).largest_mm)
    if found.loose_from_short_mm is not None:
        assert found.touches_short_mm is not None
        assert found.loose_from_short_mm >= found.touches_short_mm


@given(sizes, tapers, gauges)
def test_the_smallest_cut_is_wide_enough_where_loose_and_not_a_step_nearer(size: int, taper: Decimal, gauge: int):
    largest = tube(gauge).largest_mm
    loose = reach(size, taper, largest).loose_from_short_mm
    smallest = D(size) / 100 - (D("0.02") if size <= 60 else D("0.04"))
    if loose is None:
        assert smallest + 16 * taper < largest
    else:
        assert smallest + taper * loose >= largest
        assert loose == 0 or smallest + taper * (loose - D("0.01")) < largest


@given(sizes, tapers)
def test_a_thinner_needle_touches_no_further_out(size: int, taper: Decimal):
    places = [reach(size, taper, tube(gauge).largest_mm).touches_short_mm for gauge in sorted(TUBES)]
    for thick, thin in pairwise(places):
        assert thick is None or (thin is not None and thin <= thick)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((0, D("0.04"), D("0.32")), "Size 0 is not allowed"),
        ((30, D(0), D("0.32")), "Taper of the file: 0 mm per mm is not allowed"),
        ((30, D("0.04"), D(0)), "Outside diameter of the needle: 0 mm is not allowed"),
        ((30, D("0.04"), D("Infinity")), "Outside diameter of the needle: Infinity mm is not allowed"),
    ],
)
def test_bad_input_gets_a_sentence(arguments: tuple[int, Decimal, Decimal], said: str):
    with pytest.raises(ValueError, match=said):
        reach(*arguments)


@pytest.mark.parametrize("within", ["-0.01", "0.30", "NaN"])
def test_a_tolerance_that_leaves_no_file(within: str):
    with pytest.raises(ValueError, match=r"Tolerance of the file: .* 0 to less than its 0\.3 mm is"):
        reach(30, D("0.04"), D("0.32"), file_within_mm=D(within))


def test_a_cut_part_has_a_length():
    with pytest.raises(ValueError, match="Cut length: 0 mm is not allowed"):
        reach(30, D("0.04"), D("0.32"), cut_mm=D(0))
