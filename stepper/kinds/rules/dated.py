"""A date on the wrong side of today."""

from collections.abc import Mapping
from typing import ClassVar, Literal

from stepper.facts.state import Row
from stepper.facts.values import Day
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name


class Dated(Rule, tag="dated", frozen=True):
    """Speaks when a date lies after the day of the visit (`until_today`) or before it (`from_today`).

    Gaps: date, today, both as year-month-day.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"date", "today"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"question": ("date",)}

    question: Name
    must: Literal["until_today", "from_today"]

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.question,)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:
        """Compare the date with the day on which the session was opened."""
        fact = row.facts.get(self.question)
        if fact is None or not isinstance(fact.value, Day):
            return None
        date, today = fact.value.value, seen.today
        if date <= today if self.must == "until_today" else date >= today:
            return None
        return Finding((fact.seq,), {"date": date.isoformat(), "today": today.isoformat()})
