"""What a run came to, and what it drew."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import product

ENOUGH = 20_000
"""From so many steps on, a run in which a kind of event never came proves too little."""

VALUES = ("number", "choice", "size", "instrument", "depth", "date", "expiry", "span", "digits", "scan", "absent")
HOW = ("answer", "minutes ago", "keyed_wrong", "measured_anew")
WANTED = frozenset(
    {
        *("incident", "incident, details later", "detail: slip", "detail: named only", "detail: with values"),
        *("detail: more of it", "ending", "relief", "void", "close", "sound", "go", "go out of turn"),
        *("resume", "resume after a restart", "recovered", "step finished", "step not_done", "step owed"),
        *("canal found late", "join with mm", "join without mm", "blocked canal", "length anew at the block"),
        *("dam off and on again", "second visit", "carried", "carried by the program", "carried at random"),
        *("fill on a carried file", "fill", "fill some minutes ago", "fill against a shut gate"),
        *("keyed wrong, and right after all", "length measured anew", "answer for a canal not named yet"),
        *("confirm all", "confirm some", "departure", "owe", "held", "held and dropped", "overruled"),
        *("correction of a correction", "correction of the header", "correction of nothing", "for another canal"),
        *("outside the chain", "act in a joined canal"),
        *(f"{how} {kind}" for how, kind in product(HOW, VALUES)),
    }
)
"""What has to come in a run that is long enough."""


@dataclass
class Score:
    """What a run came to."""

    steps: int = 0
    sessions: int = 0
    fills: int = 0
    shut: int = 0
    opened: int = 0
    drawn: Counter[str] = field(default_factory=Counter)
    violations: list[str] = field(default_factory=list)

    def missing(self) -> list[str]:
        """What never came, if the run was long enough to ask."""
        return sorted(WANTED - self.drawn.keys()) if self.steps >= ENOUGH else []


def total(scores: Iterable[Score]) -> Score:
    """Sum up the scores of several processes."""
    found = Score()
    for one in scores:
        for name in ("steps", "sessions", "fills", "shut", "opened"):
            setattr(found, name, getattr(found, name) + getattr(one, name))
        found.drawn += one.drawn
        found.violations += one.violations
    return found
