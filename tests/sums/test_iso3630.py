"""ISO 3630-1: the series and D(x), against figures typed in here apart from the code."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums import iso3630

D = Decimal

# ISO 3630-1, sizes, colours and D0: from memory, high confidence; the 0.05 mm step from 010 to 060: FOUND.
# The diameter at 16 mm is derived: D0 + 16 x 0.02.
TABLE = """
006 pink .06 .38 | 008 grey .08 .40 | 010 purple .10 .42
015 white .15 .47 | 020 yellow .20 .52 | 025 red .25 .57 | 030 blue .30 .62 | 035 green .35 .67 | 040 black .40 .72
045 white .45 .77 | 050 yellow .50 .82 | 055 red .55 .87 | 060 blue .60 .92 | 070 green .70 1.02 | 080 black .80 1.12
090 white .90 1.22 | 100 yellow 1.00 1.32 | 110 red 1.10 1.42 | 120 blue 1.20 1.52 | 130 green 1.30 1.62
140 black 1.40 1.72
"""
ROWS = [tuple(row.split()) for line in TABLE.strip().splitlines() for row in line.split("|")]
sizes = st.sampled_from(iso3630.SIZES)


def test_the_series_has_the_21_sizes_of_the_standard():
    assert [int(row[0]) for row in ROWS] == list(iso3630.SIZES)
    assert len(iso3630.SIZES) == 21


@pytest.mark.parametrize(("size", "colour", "tip", "at_16"), ROWS)
def test_colour_tip_and_diameter_at_16_mm(size: str, colour: str, tip: str, at_16: str):
    assert iso3630.COLOURS[int(size)] == colour
    assert iso3630.tip_mm(int(size)) == D(tip)
    assert iso3630.diameter_mm(int(size), D("0.02"), D(16)) == D(at_16)


def test_010_is_purple_and_not_black():
    """A stored lay page says black (FOUND) and is wrong."""
    assert iso3630.COLOURS[10] == "purple"


def test_steps_of_the_series():
    """0.02 mm up to 010, 0.05 mm up to 060 (FOUND), 0.10 mm beyond; from memory where not FOUND."""
    gaps = {
        upper: iso3630.tip_mm(upper) - iso3630.tip_mm(lower)
        for lower, upper in zip(iso3630.SIZES, iso3630.SIZES[1:], strict=False)
    }
    assert {gap for size, gap in gaps.items() if size <= 10} == {D("0.02")}
    assert {gap for size, gap in gaps.items() if 10 < size <= 60} == {D("0.05")}
    assert {gap for size, gap in gaps.items() if size > 60} == {D("0.10")}


@pytest.mark.parametrize(
    ("size", "taper", "x", "expected"),
    [
        # Worked example 10, formula FOUND (Qualtrough et al. 2005).
        (25, "0.02", "0", "0.25"),
        (25, "0.02", "3", "0.31"),
        (25, "0.02", "16", "0.57"),
        # Worked example 11, derived from the same formula.
        (25, "0.06", "1", "0.31"),
        (25, "0.06", "3", "0.43"),
        (25, "0.06", "16", "1.21"),
        # Worked example 12, FOUND: 1 mm cut off the tip makes a 10 a "12"; the 15 alike.
        (10, "0.02", "1", "0.12"),
        (15, "0.02", "1", "0.17"),
    ],
)
def test_published_diameters(size: int, taper: str, x: str, expected: str):
    assert iso3630.diameter_mm(size, D(taper), D(x)) == D(expected)


@pytest.mark.parametrize("x", ["-0.01", "16.01", "NaN", "Infinity"])
def test_the_formula_ends_with_the_cutting_part(x: str):
    with pytest.raises(ValueError, match=r"outside the cutting part: 0 to 16 mm is allowed"):
        iso3630.diameter_mm(25, D("0.02"), D(x))


def test_a_longer_cutting_part_is_taken():
    assert iso3630.diameter_mm(25, D("0.02"), D(18), cutting_mm=D(18)) == D("0.61")


@pytest.mark.parametrize(("first_to_bind", "three_larger"), [(8, 20), (15, 30), (55, 80)])
def test_three_sizes_larger_counts_positions(first_to_bind: int, three_larger: int):
    """Worked example 16: Weine 1996 FOUND, worked on the series; three positions, not 0.15 mm."""
    assert iso3630.steps_between(first_to_bind, three_larger) == 3


@pytest.mark.parametrize(
    ("size", "steps", "reached"), [(8, 3, 20), (15, 3, 30), (55, 3, 80), (80, -3, 55), (6, 20, 140)]
)
def test_up_by_counts_positions(size: int, steps: int, reached: int):
    assert iso3630.up_by(size, steps) == reached


@given(sizes, sizes)
def test_up_by_the_steps_between_arrives(a: int, b: int):
    assert iso3630.up_by(a, iso3630.steps_between(a, b)) == b


@pytest.mark.parametrize(("size", "steps"), [(140, 1), (6, -1), (110, 4)])
def test_the_series_has_ends(size: int, steps: int):
    with pytest.raises(ValueError, match=rf"{steps} steps from size {size} leave .*: 6 to 140 are allowed\."):
        iso3630.up_by(size, steps)


def test_up_by_starts_in_the_series():
    with pytest.raises(ValueError, match="Size 12 is not in the ISO 3630-1 series"):
        iso3630.up_by(12, 1)


def test_015_mm_wider_is_not_three_sizes_larger():
    assert iso3630.steps_between(55, 70) == 2


@given(sizes, sizes, sizes)
def test_steps_change_sign_with_direction_and_add_up(a: int, b: int, c: int):
    assert iso3630.steps_between(a, b) == -iso3630.steps_between(b, a)
    assert iso3630.steps_between(a, b) + iso3630.steps_between(b, c) == iso3630.steps_between(a, c)
    assert (iso3630.steps_between(a, b) > 0) == (b > a)


@pytest.mark.parametrize(("a", "b"), [(12, 35), (35, 12)])
def test_steps_need_sizes_of_the_series(a: int, b: int):
    with pytest.raises(ValueError, match=r"Size 12 is not in the ISO 3630-1 series: 6, 8, 10, .*140 are allowed\."):
        iso3630.steps_between(a, b)


def test_membership():
    assert iso3630.is_iso_size(35)
    assert not iso3630.is_iso_size(37)
    assert not iso3630.is_iso_size(0)


@pytest.mark.parametrize("size", [0, -25])
def test_a_tip_has_a_width(size: int):
    with pytest.raises(ValueError, match=r"hundredths of a mm above 0"):
        iso3630.tip_mm(size)


@pytest.mark.parametrize(("size", "tolerance"), [(6, "0.02"), (60, "0.02"), (70, "0.04"), (140, "0.04")])
def test_tolerance(size: int, tolerance: str):
    """ISO 3630-1:1992, from memory, medium confidence."""
    assert iso3630.tolerance_mm(size) == D(tolerance)


def test_neighbours_overlap_within_tolerance():
    """Zinelis et al. 2002: sequential sizes can overlap (FOUND); the bands of 006 and 008 are derived from memory."""
    assert iso3630.tip_mm(6) + iso3630.tolerance_mm(6) == iso3630.tip_mm(8)
    assert iso3630.tip_mm(6) + iso3630.tolerance_mm(6) > iso3630.tip_mm(8) - iso3630.tolerance_mm(8)


@pytest.mark.parametrize(
    ("keyed", "meant"),
    [
        ("4", "0.04"),
        ("4.0", "0.04"),
        ("0.04", "0.04"),
        ("0.040", "0.04"),
        ("1", "0.01"),
        ("4.5", "0.045"),
        ("0.045", "0.045"),
        ("10", "0.10"),
        ("0.1", "0.10"),
        ("12", "0.12"),
        ("0.12", "0.12"),
    ],
)
def test_taper_in_per_cent_or_in_mm_per_mm(keyed: str, meant: str):
    """Both ways of saying it are common practice, no source; equal tapers are written with equal digits."""
    assert str(iso3630.read_taper(D(keyed))) == meant


@pytest.mark.parametrize("keyed", ["0", "-0", "-4", "-0.04", "0.121", "0.13", "0.99", "12.1", "35", "NaN", "Infinity"])
def test_a_taper_that_is_none(keyed: str):
    with pytest.raises(
        ValueError, match=r"^Taper \S+ is not allowed: key 1 to 12 for per cent, or .* up to \.12 for mm"
    ):
        iso3630.read_taper(D(keyed))


@given(st.integers(1, 12))
def test_both_ways_of_keying_a_taper_agree(per_cent: int):
    assert iso3630.read_taper(D(per_cent)) == iso3630.read_taper(D(per_cent) / 100) == D(per_cent) / 100


@pytest.mark.parametrize(
    ("size", "taper", "expected"),
    [
        (35, "0.04", "35/.04"),
        (35, "0.040", "35/.04"),
        (35, "0.045", "35/.045"),
        (25, "0.1", "25/.10"),
        (8, "0.02", "08/.02"),
        (140, "0.02", "140/.02"),
    ],
)
def test_trade_names(size: int, taper: str, expected: str):
    assert iso3630.name(size, D(taper)) == expected
