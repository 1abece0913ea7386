"""A time on the clock: 14.05."""

from typing import ClassVar

from stepper.facts.record import Record
from stepper.facts.values import TimeOfDay, Value
from stepper.kinds.asking import Question
from stepper.kinds.tables import Tables
from stepper.lines import dates
from stepper.lines.refusal import Refusal


class TimeQuestion(Question, tag="time", frozen=True):
    """A time on the clock: 14.05."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (TimeOfDay,)

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - it needs no table
        """Read what was typed."""
        return dates.time(typed)

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write it out."""
        assert isinstance(value, TimeOfDay)
        return f"{value.hour:02d}:{value.minute:02d}"

    def hint(self) -> str:
        """Show the shape by example."""
        return "hour.minute, as 14.05"
