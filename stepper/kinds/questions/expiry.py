"""The month a lot expires in: 11.2027."""

from __future__ import annotations

from typing import ClassVar, Literal

from stepper.facts.values import Expiry, Record, Value
from stepper.kinds.asking import Question
from stepper.kinds.tables import Tables
from stepper.lines import dates
from stepper.lines.refusal import Refusal


class ExpiryQuestion(Question):
    """The month a lot expires in: 11.2027."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Expiry,)

    kind: Literal["expiry"]

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - it needs no table
        """Read what was typed."""
        return dates.expiry(typed)

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write it out."""
        assert isinstance(value, Expiry)
        return f"{value.year:04d}-{value.month:02d}"

    def hint(self) -> str:
        """Show the shape by example."""
        return "month.year, as 11.2027"
