"""Whole minutes between rinses, and watched seconds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.solution_time import minutes, total_minutes, watched_s

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


def test_canals_are_added_before_they_are_made_whole():
    """Three canals of 50 s are 150 s, which is 2 whole minutes, not none."""
    one = [0, 50 * SECOND]
    assert minutes(one) == 0
    assert total_minutes([one, one, one]) == 2
    assert total_minutes([one, [], [7]]) == 0
    assert total_minutes([[], []]) is None
    assert total_minutes([]) is None


@given(st.lists(st.lists(moments, max_size=4), max_size=5))
def test_the_total_is_at_least_the_canals_in_whole_minutes(canals: list[list[int]]):
    each = [minutes(canal) for canal in canals]
    known = [one for one in each if one is not None]
    total = total_minutes(canals)
    if total is None:
        assert not known
    else:
        assert sum(known) <= total <= sum(known) + len(known)


@given(st.lists(moments, min_size=1), st.integers(-(10**9), 10**9))
def test_only_the_distance_counts(keyed: list[int], by: int):
    assert minutes(moment + by for moment in keyed) == minutes(keyed)


def test_only_activation_is_watched():
    assert watched_s([]) == 0
    assert watched_s([20, 20, 15]) == 55
    with pytest.raises(ValueError, match=r"Activation of -1 s is not allowed; 0 s or more is\."):
        watched_s([20, -1])
