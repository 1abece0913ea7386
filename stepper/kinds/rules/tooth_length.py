"""A length that is unusual for this tooth."""

from collections.abc import Mapping
from typing import ClassVar

from stepper.facts.state import Row
from stepper.kinds.judging import Finding, Rule, Seen, number_of
from stepper.kinds.shape import Exact, Name
from stepper.kinds.words import plain


class ToothLength(Rule, tag="tooth_length", frozen=True):
    """Speaks when a length is more than `band_mm` away from the tooth's usual overall length.

    Gaps: length, usual, tooth, source.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"length", "usual", "tooth", "source"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"question": ("number",)}

    question: Name
    band_mm: Exact

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.question,)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:
        """Compare with the protocol's table of teeth."""
        fact = row.facts.get(self.question)
        length, usual = number_of(fact), seen.tables.usual(seen.view.tooth)
        if fact is None or length is None or usual is None or abs(length - usual.length_mm) <= self.band_mm:
            return None
        return Finding(
            (fact.seq,),
            {
                "length": plain(length),
                "usual": plain(usual.length_mm),
                "tooth": seen.view.tooth,
                "source": usual.source,
            },
        )
