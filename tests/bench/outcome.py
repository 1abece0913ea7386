"""What a benchmark is asked and what it gives back."""

from __future__ import annotations

from dataclasses import dataclass


class CannotMeasureError(Exception):
    """What was asked cannot be measured here; the message says why, in one sentence."""


@dataclass(frozen=True)
class Asked:
    """How many turns, None for the benchmark's own number; and the revision that the tree is compared with."""

    turns: int | None
    against: str


@dataclass(frozen=True)
class Outcome:
    """Lines to print, the same as members for a JSON file (units in every key), and whether a limit was kept."""

    lines: list[str]
    members: dict[str, object]
    kept: bool = True
