"""Two measurements of one thing that disagree."""

from collections.abc import Mapping
from typing import ClassVar

from stepper.facts.state import Row
from stepper.kinds.judging import Finding, Rule, Seen, number_of
from stepper.kinds.shape import Exact, Name
from stepper.kinds.words import plain


class Apart(Rule, tag="apart", frozen=True):
    """Speaks when two numbers of a row lie further apart than `limit`. Gaps: one, other, apart, limit."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"one", "other", "apart", "limit"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"one": ("number",), "other": ("number",)}

    one: Name
    other: Name
    limit: Exact

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.one, self.other)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:  # noqa: ARG002 - the row says it all
        """Compare the two."""
        first, second = row.facts.get(self.one), row.facts.get(self.other)
        one, other = number_of(first), number_of(second)
        if first is None or second is None or one is None or other is None or abs(one - other) <= self.limit:
            return None
        return Finding(
            tuple(sorted({first.seq, second.seq})),
            {
                "one": plain(one),
                "other": plain(other),
                "apart": plain(abs(one - other)),
                "limit": plain(self.limit),
            },
        )
