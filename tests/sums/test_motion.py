"""Speed, turns, torque, and uses of a file."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.motion import Counted, Use, gf_cm, n_cm, net_turns_per_cycle, turns, turns_per_s, uses

D = Decimal
positive = st.decimals("0.01", "5000", places=2)


def test_300_rpm_for_84_s():
    """Worked example 27 (arithmetic)."""
    assert turns_per_s(D(300)) == 5
    assert turns(D(300), D(84)) == 420


@given(positive, positive)
def test_turns_are_turns_a_second_times_seconds(rpm: Decimal, seconds: Decimal):
    assert abs(turns(rpm, seconds) - turns_per_s(rpm) * seconds) < D("1e-18")


@pytest.mark.parametrize(
    ("ccw", "cw", "net"), [("150", "30", "0.333333"), ("30", "150", "-0.333333"), ("90", "90", "0"), ("360", "0", "1")]
)
def test_net_turns_of_reciprocation(ccw: str, cw: str, net: str):
    """(CCW - CW) / 360 a cycle (derived)."""
    assert round(net_turns_per_cycle(D(ccw), D(cw)), 6) == D(net)


def test_torque_in_both_units():
    """1 N·cm = 101.97 gf·cm; Pruett's 10 g·cm are 0.098 N·cm (both derived from standard gravity)."""
    assert round(gf_cm(D(1)), 2) == D("101.97")
    assert round(n_cm(D(10)), 3) == D("0.098")


@given(positive)
def test_torque_there_and_back(torque: Decimal):
    assert abs(n_cm(gf_cm(torque)) - torque) < D("1e-20")


LOG = [
    Use("a", "1", "46", "MB"),
    Use("a", "1", "46", "MB"),
    Use("a", "1", "46", "D"),
    Use("b", "1", "46", "D"),
    # The same canal at another visit may be another patient's, and is a use of its own.
    Use("a", "2", "46", "MB"),
    Use("a", "2", "47", "MB"),
]


@pytest.mark.parametrize(
    ("file", "counted", "expected"),
    [
        ("a", Counted.CANAL, 4),
        ("a", Counted.TOOTH, 3),
        ("b", Counted.CANAL, 1),
        ("b", Counted.TOOTH, 1),
        ("c", Counted.CANAL, 0),
    ],
)
def test_uses_by_canal_or_by_tooth(file: str, counted: Counted, expected: int):
    assert uses(LOG, file, counted) == expected


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: turns_per_s(D(0)), "Speed: 0 rpm is not allowed; a number above 0 is"),
        (lambda: turns(D(-300), D(84)), "Speed: -300 rpm is not allowed"),
        (lambda: turns(D(300), D(0)), "Time: 0 s is not allowed"),
        (lambda: net_turns_per_cycle(D(-1), D(30)), "Angle counter-clockwise: -1 degrees is not allowed"),
        (
            lambda: net_turns_per_cycle(D(30), D("3600.1")),
            r"Angle clockwise: 3600\.1 degrees is not allowed; 0 to 3600",
        ),
        (lambda: gf_cm(D("NaN")), "Torque: NaN N·cm is not allowed"),
        (lambda: n_cm(D(0)), "Torque: 0 gf·cm is not allowed"),
    ],
)
def test_bad_input_gets_a_sentence(make, said: str):
    with pytest.raises(ValueError, match=said):
        make()
