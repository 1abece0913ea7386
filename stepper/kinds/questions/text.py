"""Free text, where a full keyboard is at hand."""

from typing import ClassVar

from stepper.facts.record import Record
from stepper.facts.values import Text, Value
from stepper.kinds.asking import Question
from stepper.kinds.tables import Tables
from stepper.lines import fields
from stepper.lines.refusal import Refusal


class TextQuestion(Question, tag="text", frozen=True):
    """Free text, where a full keyboard is at hand."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Text,)

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - it needs no table
        """Read what was typed."""
        return fields.text(typed)

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write it out."""
        assert isinstance(value, Text)
        return value.value

    def hint(self) -> str:
        """Show the shape by example."""
        return "words"
