"""Lengths from a film."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.radiograph import Resorption, length_mm, tooth_mm

D = Decimal
lengths = st.decimals("5", "40", places=1)


def test_a_tooth_by_proportion():
    """Worked example 17: the formula was seen, its numbers are the paper's own."""
    assert tooth_mm(D("20.0"), D("21.0"), D("23.1")) == D("22.0")


@pytest.mark.parametrize(
    ("resorbed", "expected"),
    [(Resorption.NEITHER, "21.0"), (Resorption.BONE, "20.5"), (Resorption.BONE_AND_ROOT, "20.0")],
)
def test_what_is_taken_off(resorbed: Resorption, expected: str):
    """Weine's modification, seen: 1, 1.5 and 2 mm."""
    assert length_mm(D("22.0"), resorbed) == D(expected)


@given(lengths, lengths)
def test_a_film_without_distortion_changes_nothing(instrument: Decimal, tooth: Decimal):
    assert tooth_mm(instrument, instrument, tooth) == tooth


@given(lengths, lengths, lengths)
def test_the_proportions_are_equal(instrument: Decimal, on_film: Decimal, tooth_on_film: Decimal):
    found = tooth_mm(instrument, on_film, tooth_on_film)
    assert abs(found * on_film - instrument * tooth_on_film) < D("1e-20")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("0", "21", "23"), "Instrument: 0 mm is not allowed"),
        (("20", "0", "23"), "Instrument on film: 0 mm is not allowed"),
        (("20", "21", "-23"), "Tooth on film: -23 mm is not allowed"),
    ],
)
def test_bad_input_gets_a_sentence(arguments: tuple[str, str, str], said: str):
    with pytest.raises(ValueError, match=said):
        tooth_mm(*map(D, arguments))


@pytest.mark.parametrize("tooth", ["1.5", "-3", "NaN"])
def test_a_tooth_is_longer_than_what_is_taken_off(tooth: str):
    with pytest.raises(ValueError, match=r"Tooth: .* more than the 1\.5 mm taken off is"):
        length_mm(D(tooth), Resorption.BONE)
