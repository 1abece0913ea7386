"""What a proof counts, and what it is run on."""

from __future__ import annotations

import random
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from stepper.record.system import Os

_MEMORY = Path("/dev/shm")
MOST_TOLD = 20
"""Violations that are kept in words; all are counted."""


def as_it_is(system: Os) -> Os:
    """Leave the operating system as it is."""
    return system


@dataclass(frozen=True)
class Trial:
    """How a proof is run: how many rounds, from which seed, and what of the operating system is taken away."""

    rounds: int
    seed: int = 1
    without: Callable[[Os], Os] = as_it_is

    @property
    def dice(self) -> random.Random:
        """The dice of this trial, which fall the same each time."""
        return random.Random(self.seed)


@dataclass
class Tally:
    """How many there were of what, what became of them, and what was violated."""

    of: str
    count: int = 0
    bad: int = 0
    told: list[str] = field(default_factory=list)
    seen: Counter[str] = field(default_factory=Counter)

    def one(self, outcome: str, wrong: str = "") -> None:
        """Count one that came out so; `wrong` says what it violates."""
        self.count += 1
        self.seen[outcome] += 1
        if wrong:
            self.violated(wrong)

    def violated(self, wrong: str) -> None:
        """Count a violation."""
        self.bad += 1
        if len(self.told) < MOST_TOLD:
            self.told.append(wrong)

    def sentence(self) -> str:
        """Say it in a line."""
        seen = ", ".join(f"{outcome} {count}" for outcome, count in sorted(self.seen.items()))
        return f"{self.count} {self.of}, violations {self.bad} ({seen})"


@contextmanager
def scratch(*, in_memory: bool = True) -> Iterator[Path]:
    """A folder that is gone afterwards: in memory where there is such a place, for what waits for no disk."""
    where = _MEMORY if in_memory and _MEMORY.is_dir() else None
    with tempfile.TemporaryDirectory(dir=where, prefix="stepper-campaign-") as place:
        yield Path(place)
