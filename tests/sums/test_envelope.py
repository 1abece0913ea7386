"""What the files have cut, against hand-worked figures and a plain search along the canal."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.envelope import Cut, envelope_mm, profile_mm, reaches, same_size, wider_within
from stepper.sums.iso3630 import SIZES

D = Decimal


def cut(size: int, taper: str, short: str = "0") -> Cut:
    return Cut(size, D(taper), D(short))


quarters = st.integers(-8, 24).map(lambda quarter: D(quarter) / 4)
tapers = st.sampled_from([D("0.02"), D("0.04"), D("0.06"), D("0.08")])
cuts = st.builds(Cut, st.sampled_from(SIZES), tapers, quarters)


@pytest.mark.parametrize(
    ("file", "x", "expected"),
    [
        (cut(25, "0.06"), "0", "0.25"),
        (cut(25, "0.06"), "3", "0.43"),
        (cut(25, "0.06"), "16", "1.21"),
        (cut(40, "0.04", "1.5"), "1.5", "0.40"),
        (cut(40, "0.04", "1.5"), "17.5", "1.04"),
        (cut(10, "0.02", "-1"), "0", "0.12"),
        (cut(10, "0.02", "-1"), "-1", "0.10"),
    ],
)
def test_profile_within_the_cutting_part(file: Cut, x: str, expected: str):
    assert profile_mm(file, D(x)) == D(expected)


@pytest.mark.parametrize(
    ("file", "x"),
    [
        (cut(25, "0.06"), "-0.01"),
        (cut(25, "0.06"), "16.01"),
        (cut(40, "0.04", "1.5"), "1.49"),
        (cut(40, "0.04", "-1"), "15.01"),
    ],
)
def test_no_profile_outside_it(file: Cut, x: str):
    assert profile_mm(file, D(x)) is None


def test_the_envelope_is_the_widest_that_reaches():
    stepped_back = [cut(35, "0.04"), cut(45, "0.02", "1"), cut(60, "0.02", "2")]
    assert envelope_mm(stepped_back, D(0)) == D("0.35")
    assert envelope_mm(stepped_back, D(1)) == D("0.45")
    assert envelope_mm(stepped_back, D(2)) == D("0.60")
    assert envelope_mm(stepped_back, D(20)) is None
    assert envelope_mm([], D(0)) is None


@given(st.lists(cuts, max_size=5), cuts, quarters)
def test_a_further_cut_never_narrows_the_envelope(before: list[Cut], further: Cut, x: Decimal):
    narrow, wide = envelope_mm(before, x), envelope_mm([*before, further], x)
    assert narrow is None or (wide is not None and wide >= narrow)
    own = profile_mm(further, x)
    assert own is None or (wide is not None and wide >= own)


@pytest.mark.parametrize(
    ("file", "than", "span", "wider"),
    [
        (cut(30, "0.04"), cut(25, "0.04"), "3", True),
        (cut(25, "0.04"), cut(30, "0.04"), "3", False),
        (cut(30, "0.04"), cut(30, "0.04"), "3", False),
        # Narrower at the tip and wider above it: equal at 1.25 mm, which is not wider yet.
        (cut(25, "0.08"), cut(30, "0.04"), "1.25", False),
        (cut(25, "0.08"), cut(30, "0.04"), "1.26", True),
        # Wider at the tip alone.
        (cut(30, "0.02"), cut(28, "0.08"), "3", True),
        # Stepped back: 40 at 2 mm is under the .42 and .43 of 35/.04 there, 45 is over.
        (cut(40, "0.04", "2"), cut(35, "0.04"), "3", False),
        (cut(45, "0.04", "2"), cut(35, "0.04"), "3", True),
        # Begins above the span that is compared.
        (cut(80, "0.04", "3.01"), cut(35, "0.04"), "3", False),
        (cut(80, "0.04", "3"), cut(35, "0.04"), "3", True),
        # Beyond length: the taper has risen by the time it passes the length point.
        (cut(30, "0.06", "-1"), cut(35, "0.06"), "3", True),
        (cut(25, "0.06", "-1"), cut(35, "0.06"), "3", False),
        # Where the other file has not been, anything is wider.
        (cut(10, "0.02"), cut(35, "0.04", "1"), "3", True),
        (cut(10, "0.02", "1"), cut(35, "0.04", "1"), "3", False),
    ],
)
def test_wider_over_the_apical_span(file: Cut, than: Cut, span: str, wider: bool):
    assert wider_within(file, than, D(span)) is wider


def test_the_apical_3_mm_are_compared_unless_told_otherwise():
    assert wider_within(cut(80, "0.04", "3"), cut(35, "0.04"))
    assert not wider_within(cut(80, "0.04", "3.25"), cut(35, "0.04"))


@given(cuts, cuts, st.integers(0, 64).map(lambda quarter: D(quarter) / 4))
def test_wider_agrees_with_a_search_along_the_canal(file: Cut, than: Cut, span: Decimal):
    """All corners of the two profiles lie on a quarter of a mm, so eighths meet all corners and all pieces between."""

    def wider_at(x: Decimal) -> bool:
        own, other = profile_mm(file, x), profile_mm(than, x)
        return own is not None and (other is None or own > other)

    assert wider_within(file, than, span) is any(wider_at(D(eighth) / 8) for eighth in range(int(span * 8) + 1))


@given(cuts)
def test_no_file_is_wider_than_itself(file: Cut):
    assert not wider_within(file, file)


@pytest.mark.parametrize(
    ("short", "reached"), [("0", True), ("0.5", True), ("-0.5", True), ("0.51", False), ("-0.51", False)]
)
def test_at_length_within(short: str, reached: bool):
    assert reaches(cut(35, "0.04", short), D("0.5")) is reached


def test_same_size_looks_at_size_and_taper_alone():
    assert same_size(cut(35, "0.04", "1"), cut(35, "0.040"))
    assert not same_size(cut(35, "0.04"), cut(35, "0.06"))
    assert not same_size(cut(35, "0.04"), cut(30, "0.04"))
