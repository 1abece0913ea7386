"""Two solutions that must not meet in a canal."""

from collections.abc import Mapping
from typing import ClassVar

from stepper.facts.state import Canal, Place, Rinse, Row
from stepper.facts.values import Choice
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name
from stepper.kinds.tables import Clash, Solution
from stepper.sums import clash as sums


class ClashOfSolutions(Rule, tag="clash", frozen=True):
    """Speaks when a solution follows one that it clashes with, and no flush came between.

    Gaps: first, second, flush, why, source.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"first", "second", "flush", "why", "source"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"solution": ("choice",)}

    solution: Name

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.solution,)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:
        """Look back through the canal's rinses as far as the last flush."""
        fact = row.facts.get(self.solution)
        chosen = seen.tables.by_id(fact.value.options[0]) if fact and isinstance(fact.value, Choice) else None
        if fact is None or not isinstance(chosen, Solution) or row.canal not in seen.view.canals:
            return None
        for clash in seen.tables.clash:
            met = _met(clash, _last_of(clash, seen.view.canals[row.canal], fact.place), chosen.family)
            if met is not None:
                first = seen.tables.by_id(met.item)
                gaps = {
                    "first": first.label if first else met.item,
                    "second": chosen.label,
                    "flush": " or ".join(clash.flush),
                    "why": clash.text,
                    "source": clash.source,
                }
                return Finding((met.seq, fact.seq), gaps)
        return None


def _last_of(clash: Clash, canal: Canal, before: Place) -> list[Rinse]:
    """Give the last rinse of each family that matters to a clash, in their order: no other is met or parts anything."""
    last = (canal.rinse_rows.last_before(family, before) for family in {clash.a, clash.b, *clash.flush})
    return sorted((rinse for rinse in last if rinse is not None), key=lambda rinse: rinse.place)


def _met(clash: Clash, earlier: list[Rinse], coming: str) -> Rinse | None:
    """Give the rinse that a coming one would meet by a clash, no flush of it having come between."""
    known = sums.Clash(clash.a, clash.b, clash.text, clash.source, clash.flush)
    sequence = [*(rinse.family for rinse in earlier), coming]
    found = [met for met in sums.clashes_in(sequence, (known,)) if met.later == len(earlier)]
    return earlier[found[0].earlier] if found else None
