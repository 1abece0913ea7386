"""Where a filling ends against a range, with ends that count or do not."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.fill_level import Level, Range, level

D = Decimal
WITHIN, SHORT, BEYOND = Level.WITHIN, Level.SHORT, Level.BEYOND

# 0 to 2 mm short: Ng et al. 2008, seen; short is more than 2 mm, long is extruded. Whether 0.0 is flush or over:
# sources disagree (seen). 0.5 to 2 mm: other audits, seen.
NG = Range(D(0), D(2), "Ng et al. 2008")
FLUSH_IS_OVER = Range(D(0), D(2), "Ng et al. 2008", least_counts=False)
AUDITS = Range(D("0.5"), D(2), "audits", most_counts=False)


@pytest.mark.parametrize(
    ("short_mm", "allowed", "expected"),
    [
        ("1", NG, WITHIN),
        ("0", NG, WITHIN),
        ("2", NG, WITHIN),
        ("2.1", NG, SHORT),
        ("-0.1", NG, BEYOND),
        ("0", FLUSH_IS_OVER, BEYOND),
        ("0.1", FLUSH_IS_OVER, WITHIN),
        ("0.4", AUDITS, BEYOND),
        ("0.5", AUDITS, WITHIN),
        ("1.9", AUDITS, WITHIN),
        ("2", AUDITS, SHORT),
    ],
)
def test_within_short_or_beyond(short_mm: str, allowed: Range, expected: Level):
    assert level(D(short_mm), allowed) is expected


@given(st.decimals("-5", "5", places=1), st.booleans(), st.booleans())
def test_only_the_ends_depend_on_whether_they_count(short_mm: Decimal, least: bool, most: bool):
    strict = level(short_mm, Range(D(0), D(2), "x", least, most))
    if short_mm not in (0, 2):
        assert strict is level(short_mm, NG)
    else:
        assert (strict is WITHIN) is (least if short_mm == 0 else most)


def test_a_range_of_one_point():
    assert level(D(1), Range(D(1), D(1), "x")) is WITHIN
    with pytest.raises(ValueError, match=r"Range of x: 1 mm alone has to count"):
        Range(D(1), D(1), "x", most_counts=False)


@pytest.mark.parametrize(("least", "most"), [("2", "0"), ("NaN", "2"), ("0", "Infinity")])
def test_a_range_that_is_none(least: str, most: str):
    with pytest.raises(ValueError, match=r"Range of x: .* the lesser comes first"):
        Range(D(least), D(most), "x")


@pytest.mark.parametrize("short_mm", ["40.1", "-40.1", "NaN"])
def test_a_level_further_than_a_tooth_is_long(short_mm: str):
    with pytest.raises(ValueError, match=r"Level: .* -40 to 40 mm short is"):
        level(D(short_mm), NG)
