"""A duration: 90 seconds, or 1.30 minutes and seconds."""

from typing import ClassVar

from stepper.facts.record import Record
from stepper.facts.values import Span, Value
from stepper.kinds.asking import Question
from stepper.kinds.tables import Tables
from stepper.lines import dates
from stepper.lines.refusal import Refusal


class SpanQuestion(Question, tag="span", frozen=True):
    """A duration: 90 seconds, or 1.30 minutes and seconds."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Span,)

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - it needs no table
        """Read what was typed."""
        return dates.span(typed)

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write it out."""
        assert isinstance(value, Span)
        return f"{value.seconds} s"

    def hint(self) -> str:
        """Show the shape by example."""
        return "seconds, or minutes.seconds"
