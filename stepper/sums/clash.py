"""Solutions that must not meet in the canal, and what a final rinse still lacks.

Solutions are told apart by family, such as "hypochlorite", "chlorhexidine", "edta" or "saline"; which families clash,
and by whose word, is the protocol's to say.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from stepper.sums.checked import zero_to


@dataclass(frozen=True)
class Clash:
    """Two families that must not meet, in either order; what happens if they do, and the publication that says so.

    `flush` names the families that part them: rinsed between, the two do not meet.
    """

    a: str
    b: str
    text: str
    source: str
    flush: tuple[str, ...] = ()


@dataclass(frozen=True)
class Met:
    """A clash over a sequence of rinses: the position of the earlier rinse, counted from 0, and of the later one."""

    earlier: int
    later: int
    clash: Clash


class Mixed(StrEnum):
    """What was seen of hypochlorite mixed with 2.0 % chlorhexidine."""

    NOTHING = "no change of colour reported"
    COLOUR = "change of colour"
    PRECIPITATE = "change of colour and a precipitate"


COLOUR_FROM_PERCENT = Decimal("0.023")
"""Hypochlorite that changes colour with 2.0 % chlorhexidine, in per cent (Basrani et al. 2007, seen)."""

PRECIPITATE_FROM_PERCENT = Decimal("0.19")
"""Hypochlorite that forms a precipitate with it, in per cent (Basrani et al. 2007, seen)."""


def clashes_in(sequence: Sequence[str], clashes: Iterable[Clash]) -> tuple[Met, ...]:
    """Return where rinses of a canal clash, `sequence` being their families in the order used.

    A rinse meets the last one of the other family, unless a flush of that clash came between. Anything else between
    parts nothing: it is the flush that the publication asks for.
    """
    found: list[Met] = []
    for clash in clashes:
        last: dict[str, int] = {}
        for position, family in enumerate(sequence):
            if family in (clash.a, clash.b):
                other = clash.b if family == clash.a else clash.a
                if other in last:
                    found.append(Met(last[other], position, clash))
                last[family] = position
            elif family in clash.flush:
                last.clear()
    return tuple(sorted(found, key=lambda met: (met.later, met.earlier)))


def with_chlorhexidine(hypochlorite_percent: Decimal) -> Mixed:
    """Return what was seen of hypochlorite of that strength, in per cent, mixed with 2.0 % chlorhexidine.

    Source: Basrani et al. 2007 (seen). What the precipitate consists of is disputed, so it is not named here.

    Raises:
        ValueError: not 0 to 100 per cent.

    """
    zero_to("Strength of hypochlorite", hypochlorite_percent, Decimal(100), "%")
    if hypochlorite_percent >= PRECIPITATE_FROM_PERCENT:
        return Mixed.PRECIPITATE
    return Mixed.COLOUR if hypochlorite_percent >= COLOUR_FROM_PERCENT else Mixed.NOTHING


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
