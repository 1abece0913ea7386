"""A lot: scanned, or the number that the practice keeps it under."""

from typing import ClassVar

from stepper.facts.record import Record
from stepper.facts.values import Digits, Scan, Value
from stepper.kinds.asking import Question
from stepper.kinds.stock import lot_of
from stepper.kinds.tables import Tables
from stepper.lines import fields
from stepper.lines.refusal import Refusal
from stepper.lines.scans.scanned import Scanned


class LotQuestion(Question, tag="lot", frozen=True):
    """A scan is kept as it came, beside the lot that was read from it; a keyed lot is digits."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (
        Digits,
        Scan,
    )

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - it needs no table
        """Read the digits."""
        return fields.digits(typed, 1, 20)

    def from_scan(self, scanned: Scanned, tables: Tables) -> Value | Refusal | None:  # noqa: ARG002 - it needs no table
        """Keep the scan with its lot, if it says one."""
        return None if scanned.lot is None else Scan(raw=scanned.raw, lot=scanned.lot, code=scanned.code)

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write the lot, or a scan whose lot was never read, with its separators spelt out."""
        assert isinstance(value, Digits | Scan)
        return lot_of(value)

    def hint(self) -> str:
        """Say what to do."""
        return "scan it, or key the number on it"
