"""Volumes by frusta, against worked figures and against numerical quadrature."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from stepper.sums.envelope import Cut, envelope_mm
from stepper.sums.iso3630 import SIZES, tip_mm
from stepper.sums.volume import cut_mm3, frustum_mm3

D = Decimal
tapers = st.sampled_from([D("0.02"), D("0.04"), D("0.05"), D("0.06"), D("0.08")])
quarters = st.integers(-8, 24).map(lambda quarter: D(quarter) / 4)
cuts = st.builds(Cut, st.sampled_from(SIZES), tapers, quarters)


@pytest.mark.parametrize(
    ("narrow", "wide", "expected"), [(".25", "1.21", "7.662"), (".30", ".94", "5.259"), (".25", ".57", "2.220")]
)
def test_frusta_16_mm_high(narrow: str, wide: str, expected: str):
    """Worked example 13: geometry, computed."""
    assert round(frustum_mm3(D(narrow), D(wide), D(16)), 3) == D(expected)


def test_a_cylinder_is_a_frustum():
    assert math.isclose(float(frustum_mm3(D(2), D(2), D(3))), 3 * math.pi, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("size", "taper", "expected"), [(25, ".06", "7.662"), (30, ".04", "5.259"), (25, ".02", "2.220")]
)
def test_one_file_to_length_is_one_frustum(size: int, taper: str, expected: str):
    assert round(cut_mm3([Cut(size, D(taper), D(0))], D(0), D(16)), 3) == D(expected)


def by_quadrature(files: list[Cut], low: Decimal, high: Decimal) -> float:
    """Integrate the cross-section numerically; steps and crossings are given so that none is missed."""

    def section(x: float) -> float:
        width = envelope_mm(files, D(x))
        return 0.0 if width is None else math.pi / 4 * float(width) ** 2

    places = {low, high, *(place for cut in files for place in (cut.short_mm, cut.end_mm) if low < place < high)}
    for one, other in combinations(files, 2):
        if one.taper != other.taper:
            at_length = [tip_mm(cut.size) - cut.taper * cut.short_mm for cut in (one, other)]
            cross = (at_length[1] - at_length[0]) / (one.taper - other.taper)
            places |= {cross} if low < cross < high else set()
    ordered = sorted(places)
    return sum(float(quad(section, float(a), float(b), epsabs=1e-7, limit=200)[0]) for a, b in pairwise(ordered))


@pytest.mark.parametrize(
    "files",
    [
        [Cut(25, D("0.06"), D(0))],
        # Stepped back: ledges at 1 and 2 mm.
        [Cut(35, D("0.02"), D(0)), Cut(45, D("0.02"), D(1)), Cut(60, D("0.02"), D(2))],
        # Crossing: 25/.08 overtakes 30/.04 at 1.25 mm.
        [Cut(25, D("0.08"), D(0)), Cut(30, D("0.04"), D(0))],
        # Two crossings within a millimetre, and one beyond.
        [Cut(6, D("0.02"), D("2.5")), Cut(6, D("0.06"), D("-1.75")), Cut(6, D("0.08"), D(0))],
        # The wider one ends at 12 mm, and above it the narrower one is left.
        [Cut(30, D("0.02"), D(0)), Cut(60, D("0.04"), D(-4))],
        # Nothing between the end of the one and the beginning of the other.
        [Cut(30, D("0.02"), D(-2)), Cut(60, D("0.04"), D(15))],
    ],
)
def test_profiles_against_quadrature(files: list[Cut]):
    assert math.isclose(float(cut_mm3(files, D(0), D(18))), by_quadrature(files, D(0), D(18)), rel_tol=1e-6)


@settings(max_examples=40, deadline=None)
@given(st.lists(cuts, max_size=4), quarters, st.integers(1, 40).map(lambda quarter: D(quarter) / 4))
def test_any_profile_against_quadrature(files: list[Cut], low: Decimal, span: Decimal):
    found = float(cut_mm3(files, low, low + span))
    assert math.isclose(found, by_quadrature(files, low, low + span), rel_tol=1e-6, abs_tol=1e-9)


@given(st.lists(cuts, max_size=4), cuts)
def test_a_further_cut_never_takes_room_away(files: list[Cut], further: Cut):
    before, after = cut_mm3(files, D(0), D(16)), cut_mm3([*files, further], D(0), D(16))
    assert after >= before - D("1e-20")


@given(st.lists(cuts, max_size=4), st.integers(1, 63).map(lambda quarter: D(quarter) / 4))
def test_two_parts_make_the_whole(files: list[Cut], place: Decimal):
    parts = cut_mm3(files, D(0), place) + cut_mm3(files, place, D(16))
    assert abs(parts - cut_mm3(files, D(0), D(16))) < D("1e-20")


def test_nothing_cut_is_no_room_counted():
    assert cut_mm3([], D(0), D(16)) == 0


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: frustum_mm3(D(0), D(1), D(1)), "Diameter: 0 mm is not allowed"),
        (lambda: frustum_mm3(D(1), D(-1), D(1)), "Diameter: -1 mm is not allowed"),
        (lambda: frustum_mm3(D(1), D(1), D("NaN")), "Height: NaN mm is not allowed"),
        (lambda: cut_mm3([], D(3), D(3)), "From 3 to 3 mm is not allowed; the apical place comes first"),
        (lambda: cut_mm3([], D(0), D("Infinity")), "From 0 to Infinity mm is not allowed"),
    ],
)
def test_bad_input_gets_a_sentence(make, said: str):
    with pytest.raises(ValueError, match=said):
        make()
