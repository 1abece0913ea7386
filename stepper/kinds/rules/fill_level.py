"""Where a filling ends, against the practice's range."""

from typing import ClassVar

from stepper.facts.values import Depth
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Exact, Flag, Sentence
from stepper.kinds.words import distance, plain
from stepper.sums.fill_level import FURTHEST_MM, Level, Range, level


class FillLevel(Rule, tag="fill_level", kw_only=True, frozen=True):
    """Speaks when a filling ends outside of `least_mm` to `most_mm` short of length, or at an end that does not count.

    Sources disagree about the ends, so `least_counts` and `most_counts` say whether each is within; `source` says whose
    range it is. Gaps: canal, level, where, least, most, source.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"canal", "level", "where", "least", "most", "source"})

    least_mm: Exact
    most_mm: Exact
    least_counts: Flag = True
    most_counts: Flag = True
    source: Sentence

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it goes by roles
        """Compare the level seen on the image."""
        fact = seen.view.role("fill_level", canal) if canal else None
        if fact is None or not isinstance(fact.value, Depth) or abs(fact.value.short_mm) > FURTHEST_MM:
            return None
        found = level(fact.value.short_mm, self.range)
        if found is Level.WITHIN:
            return None
        gaps = {
            "canal": seen.view.canals[canal].name,
            "level": distance(fact.value.short_mm),
            "where": found.value,
            "least": plain(self.least_mm),
            "most": plain(self.most_mm),
            "source": self.source,
        }
        return Finding((fact.seq,), gaps)

    @property
    def range(self) -> Range:
        """The range; raises ValueError where it cannot be one."""
        return Range(self.least_mm, self.most_mm, self.source, self.least_counts, self.most_counts)
