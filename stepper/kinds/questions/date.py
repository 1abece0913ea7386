"""A calendar date: 3.11.2026."""

from typing import ClassVar

from stepper.facts.record import Record
from stepper.facts.values import Day, Value
from stepper.kinds.asking import Question
from stepper.kinds.tables import Tables
from stepper.lines import dates
from stepper.lines.refusal import Refusal


class DateQuestion(Question, tag="date", frozen=True):
    """A calendar date: 3.11.2026."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Day,)

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - it needs no table
        """Read what was typed."""
        return dates.date(typed)

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write it out."""
        assert isinstance(value, Day)
        return value.value.isoformat()

    def hint(self) -> str:
        """Show the shape by example."""
        return "day.month.year"
