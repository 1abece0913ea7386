"""A lot: scanned, or the number that the practice keeps it under."""

from __future__ import annotations

from typing import ClassVar, Literal

from stepper.facts.values import Digits, Record, Scan, Value
from stepper.kinds.asking import Question
from stepper.kinds.tables import Tables
from stepper.lines import fields
from stepper.lines.refusal import Refusal, visible


class LotQuestion(Question):
    """A scan opens with its symbology identifier (`]`) and is kept as it came; a keyed lot is digits."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (
        Digits,
        Scan,
    )

    kind: Literal["lot"]

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - it needs no table
        """Keep the scan, or read the digits."""
        return Scan(raw=typed) if typed.startswith("]") else fields.digits(typed, 1, 20)

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write the digits, or the scan with its separators spelt out."""
        assert isinstance(value, Digits | Scan)
        return value.value if isinstance(value, Digits) else visible(value.raw)

    def hint(self) -> str:
        """Say what to do."""
        return "scan it, or key the number on it"
