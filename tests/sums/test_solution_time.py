"""Whole minutes between rinses, and watched seconds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.solution_time import minutes, watched_s

SECOND = 1_000_000
moments = st.integers(0, 10**14)


@pytest.mark.parametrize(
    ("keyed_s", "expected"),
    [
        ([], None),
        ([100], 0),
        ([100, 159.999999], 0),
        ([100, 160], 1),
        ([100, 130, 219.999999], 1),
        ([100, 130, 220], 2),
        # Keyed late, so not in order.
        ([220, 100, 130], 2),
    ],
)
def test_whole_minutes_from_the_first_to_the_last(keyed_s: list[float], expected: int | None):
    assert minutes(round(moment * SECOND) for moment in keyed_s) == expected


@given(st.lists(moments, min_size=1), st.integers(-(10**9), 10**9))
def test_only_the_distance_counts(keyed: list[int], by: int):
    assert minutes(moment + by for moment in keyed) == minutes(keyed)


def test_only_activation_is_watched():
    assert watched_s([]) == 0
    assert watched_s([20, 20, 15]) == 55
    with pytest.raises(ValueError, match=r"Activation of -1 s is not allowed; 0 s or more is\."):
        watched_s([20, -1])
