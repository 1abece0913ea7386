"""A distance from the working length: `-1.5` short, `+1` beyond, `0` at length."""

from typing import ClassVar

from stepper.facts.record import Record
from stepper.facts.values import Depth, Value
from stepper.kinds.asking import Question
from stepper.kinds.tables import Tables
from stepper.kinds.words import distance
from stepper.lines import instruments
from stepper.lines.refusal import Refusal


class DepthQuestion(Question, tag="depth", frozen=True):
    """A depth whose sign is always typed."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Depth,)

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - a depth needs no table
        """Read the sign and the mm."""
        return instruments.depth(typed)

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write the distance in words."""
        assert isinstance(value, Depth)
        return distance(value.short_mm)

    def hint(self) -> str:
        """Show the shape by example."""
        return "-1.5 short, 0 at length, +1 beyond"
