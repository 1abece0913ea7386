"""Bars that a figure is held to, and what makes a run quiet enough to be believed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from tests.bench.timing import Figures

Block = TypeVar("Block")

QUIET = 2.0
"""A block of the reference whose 95th percentile is above so many times its own median was disturbed."""

MORE_BLOCKS = 3
"""So many times the blocks asked for are tried, before it is said that it never got quiet."""


@dataclass(frozen=True)
class Bar:
    """A figure and the most it may be; `unit` stands behind both, nothing for a ratio."""

    name: str
    found: float
    most: float
    unit: str = ""

    @property
    def kept(self) -> bool:
        """Whether the bar is kept."""
        return self.found <= self.most

    @property
    def line(self) -> str:
        """The figure beside its bar, in words."""
        verdict = "kept" if self.kept else "BROKEN"
        return f"  {self.name:58}{self.found:9.3f} {self.unit:4} bar {self.most:7.2f}  {verdict}"


def is_quiet(reference: Sequence[float], quiet: float = QUIET) -> bool:
    """Tell whether a block of the reference was left alone by whatever else the machine does."""
    figures = Figures(tuple(reference))
    return figures.p95_ns <= quiet * figures.median_ns


def quiet_blocks(
    take: Callable[[], Block], reference: Callable[[Block], Sequence[float]], wanted: int, quiet: float = QUIET
) -> tuple[list[Block], int]:
    """Take blocks until so many were quiet; give those, and how many were not.

    Where there never are enough of them, what there is is given, and that can be none: whoever asked says so.
    """
    taken: list[Block] = []
    noisy = 0
    while len(taken) < wanted and len(taken) + noisy < wanted * MORE_BLOCKS:
        block = take()
        if is_quiet(reference(block), quiet):
            taken.append(block)
        else:
            noisy += 1
    return taken, noisy


def told(figures: Figures) -> str:
    """Write a median with its 95th percentile, in ms."""
    return f"{figures.median_ns / 1e6:8.2f} ms, p95 {figures.p95_ns / 1e6:8.2f}"
