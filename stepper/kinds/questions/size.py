"""A size and taper without a depth, as of a cone in its packet: `35/4`."""

from typing import ClassVar

from stepper.facts.record import Record
from stepper.facts.values import Size, Value
from stepper.kinds.asking import Question
from stepper.kinds.shape import Taper
from stepper.kinds.stock import file_of, item_of, size_of
from stepper.kinds.tables import Tables
from stepper.lines import instruments
from stepper.lines.refusal import Refusal
from stepper.lines.scans.scanned import Scanned
from stepper.sums.iso3630 import name


class SizeQuestion(Question, tag="size", frozen=True):
    """`fixed_taper` (mm per mm) lets the taper be left out; the protocol may not fix it for a cone."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Size,)

    fixed_taper: Taper | None = None

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:
        """Read size and taper."""
        return instruments.size(typed, self.fixed_taper, lambda number: file_of(tables, number))

    def from_scan(self, scanned: Scanned, tables: Tables) -> Value | Refusal | None:
        """Take the size and taper that the stock says of the item."""
        return size_of(item_of(tables, scanned.code))

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write size/taper."""
        assert isinstance(value, Size)
        return name(value.size, value.taper)

    def hint(self) -> str:
        """Show the shape by example."""
        return "size/taper, both from the packet or the handle"
