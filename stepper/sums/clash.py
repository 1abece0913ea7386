"""Solutions that must not meet in the canal, and what a final rinse still lacks.

Solutions are told apart by family, such as "hypochlorite", "chlorhexidine", "edta" or "saline"; which families clash,
and by whose word, is the protocol's to say.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Clash:
    """Two families that must not meet, in either order; what happens if they do, and the publication that says so."""

    a: str
    b: str
    text: str
    source: str


def clash_with(previous: str | None, coming: str, flushed: bool, clashes: Iterable[Clash]) -> Clash | None:
    """Return the clash that `coming` is about to have with `previous`, the family last in the canal, or None.

    None too when nothing was in the canal before or when it was `flushed` since.
    """
    if previous is None or flushed:
        return None
    pair = {previous, coming}
    return next((clash for clash in clashes if {clash.a, clash.b} == pair), None)


def final_rinse_gap(used_families: Sequence[str], needed: Sequence[str]) -> tuple[str, ...]:
    """Return the needed families that were not used, in the order needed.

    A family needed twice has to be used twice.
    """
    left = Counter(used_families)
    gap: list[str] = []
    for family in needed:
        if left[family]:
            left[family] -= 1
        else:
            gap.append(family)
    return tuple(gap)


def in_order(used: Sequence[str], needed: Sequence[str]) -> bool:
    """Say whether all of `needed` were used one after the other, whatever came between."""
    rest = iter(used)
    return all(family in rest for family in needed)
