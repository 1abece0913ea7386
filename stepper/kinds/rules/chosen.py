"""An answer that calls for a word, at once or the second time."""

from collections.abc import Mapping
from typing import Annotated, ClassVar

from msgspec import Meta

from stepper.facts.state import Fact, Row
from stepper.facts.values import Choice, Depth, Instrument
from stepper.kinds.asking import When
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name, Whole


class Chosen(Rule, tag="chosen", frozen=True):
    """Speaks when one of `any` is chosen, `times` rows running; with `at_length`, only rows whose depth is at length.

    `unless` another question of the row holds one of some options: then it is explained.
    Gaps: options, times.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"options", "times"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"question": ("choice",), "at_length": ("depth", "instrument")}

    question: Name
    any: tuple[Name, ...]
    times: Annotated[Whole, Meta(ge=1, le=9)] = 1
    at_length: Name | None = None
    unless: When | None = None

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        named = (self.question, self.at_length, self.unless.question if self.unless is not None else None)
        return tuple(name for name in named if name is not None)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:
        """Count back from this row while the rows say so."""
        if not self._says(seen, row):
            return None
        rows = [one for one in seen.view.rows_of(row.step, row.canal) if one.number < row.number]
        run = [row]
        for earlier in reversed(rows):
            if not self._says(seen, earlier):
                break
            run.append(earlier)
        if len(run) < self.times:
            return None
        evidence = tuple(sorted(one.facts[self.question].seq for one in run[: self.times]))
        chosen = row.facts[self.question].value
        words = ", ".join(one for one in chosen.options if one in self.any) if isinstance(chosen, Choice) else ""
        return Finding(evidence, {"options": words.replace("_", " "), "times": str(len(run))})

    def _says(self, seen: Seen, row: Row) -> bool:
        fact = row.facts.get(self.question)
        if fact is None or not isinstance(fact.value, Choice) or not set(fact.value.options) & set(self.any):
            return False
        if self.unless is not None and _holds(self.unless, row):
            return False
        return self.at_length is None or _at_length(row.facts.get(self.at_length), seen)


def _at_length(fact: Fact | None, seen: Seen) -> bool:
    if fact is None or not isinstance(fact.value, Depth | Instrument):
        return False
    return fact.value.short_mm <= seen.limits.at_length_mm


def _holds(when: When, row: Row) -> bool:
    fact = row.facts.get(when.question)
    return fact is not None and isinstance(fact.value, Choice) and bool(set(fact.value.options) & set(when.any))
