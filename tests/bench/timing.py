"""How time is taken: contenders in turns, so that a noisy minute falls on all of them, and a baseline among them.

A figure in microseconds is this machine's, at this hour; its ratio to the baseline loop, or to another revision timed
in the same run, is what can be compared.
"""

from __future__ import annotations

import gc
import math
import statistics
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TypeVar

Taken = TypeVar("Taken")
Clock = Callable[[], int]
"""Gives nanoseconds that only ever grow."""

SAMPLE_NS = 200_000
"""A sample lasts at least so long, by as many calls as that takes: far above what reading the clock costs."""

BASELINE_STEPS = 1_000


@dataclass(frozen=True)
class Figures:
    """What was taken of one contender, in ns for one call."""

    samples_ns: tuple[float, ...]

    @property
    def median_ns(self) -> float:
        """The middle one."""
        return statistics.median(self.samples_ns)

    @property
    def p95_ns(self) -> float:
        """What 95 in 100 samples do not exceed."""
        return ranked(self.samples_ns, 95)

    def ratio_to(self, other: Figures) -> float:
        """Divide the medians."""
        return self.median_ns / other.median_ns


def ranked(samples: Sequence[float], percent: int) -> float:
    """Give the least sample that is at least as great as `percent` in 100 of them (nearest rank)."""
    return sorted(samples)[math.ceil(len(samples) * percent / 100) - 1]


def baseline() -> int:
    """Do the work that everything is compared with: a loop of small integers, the same on every machine."""
    total = 0
    for number in range(BASELINE_STEPS):
        total += number & 7
    return total


def take_turns(measures: Mapping[str, Callable[[], Taken]], turns: int) -> dict[str, list[Taken]]:
    """Take each measure once a turn, in their order, so many turns: A B A B, never A A B B."""
    taken: dict[str, list[Taken]] = {name: [] for name in measures}
    for _ in range(turns):
        for name, measure in measures.items():
            taken[name].append(measure())
    return taken


def time_in_turns(
    thunks: Mapping[str, Callable[[], object]], turns: int, clock: Clock = time.perf_counter_ns
) -> dict[str, Figures]:
    """Time each thunk once a turn, in ns for one call."""
    samplers = {name: sampler(thunk, clock) for name, thunk in thunks.items()}
    return {name: Figures(tuple(taken)) for name, taken in take_turns(samplers, turns).items()}


def sampler(thunk: Callable[[], object], clock: Clock = time.perf_counter_ns) -> Callable[[], float]:
    """Find out how many calls a sample needs, and give what takes one sample: ns for one call."""
    calls = 1
    while _elapsed_ns(thunk, calls, clock) < SAMPLE_NS:
        calls *= 2

    def sample() -> float:
        with uncollected():
            return _elapsed_ns(thunk, calls, clock) / calls

    return sample


@contextmanager
def uncollected() -> Iterator[None]:
    """Keep the garbage collector out of a sample: what others left lying is not this contender's to pay for."""
    was_on = gc.isenabled()
    gc.collect(0)
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def pooled(turns: Sequence[Sequence[float]]) -> Figures:
    """Put the samples of all turns together."""
    return Figures(tuple(sample for turn in turns for sample in turn))


def ratios(ours: Sequence[Sequence[float]], theirs: Sequence[Sequence[float]]) -> list[float]:
    """Divide the medians turn by turn: how far these lie apart is how far the ratio can be believed."""
    return [Figures(tuple(a)).ratio_to(Figures(tuple(b))) for a, b in zip(ours, theirs, strict=True)]


def members(one: Figures, loop: Figures) -> dict[str, float]:
    """Give the figures as they stand in a JSON file."""
    return {"median_us": one.median_ns / 1000, "p95_us": one.p95_ns / 1000, "ratio_to_loop": one.ratio_to(loop)}


def _elapsed_ns(thunk: Callable[[], object], calls: int, clock: Clock) -> int:
    begun = clock()
    for _ in range(calls):
        thunk()
    return clock() - begun
