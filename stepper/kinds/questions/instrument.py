"""A file and how far from length its tip stopped: `35/4-0`."""

from typing import ClassVar

from stepper.facts.record import Record
from stepper.facts.values import Instrument, Value
from stepper.kinds.asking import Question
from stepper.kinds.shape import Taper
from stepper.kinds.stock import file_of, item_of
from stepper.kinds.tables import File, Tables
from stepper.kinds.words import distance
from stepper.lines import instruments
from stepper.lines.refusal import Refusal
from stepper.lines.scans.scanned import Scanned, not_taken
from stepper.sums.iso3630 import name


class InstrumentQuestion(Question, tag="instrument", frozen=True):
    """`fixed_taper` (mm per mm) lets the taper be left out, as for a set of gauging files."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Instrument,)

    fixed_taper: Taper | None = None

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:
        """Read size, taper and distance; the distance is always typed."""
        return instruments.instrument(typed, self.fixed_taper, lambda number: file_of(tables, number))

    def from_scan(self, scanned: Scanned, tables: Tables) -> Value | Refusal | None:
        """Say that the distance is missing: a packet tells the file, never where it stopped."""
        item = item_of(tables, scanned.code)
        if not isinstance(item, File):
            return None
        typed = f"0/{item.number}"
        return not_taken(f"distance missing; type {typed}-0 at length or {typed}-1.5 for 1.5 mm short.")

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write size/taper and the distance in words."""
        assert isinstance(value, Instrument)
        return f"{name(value.size, value.taper)} {distance(value.short_mm)}"

    def hint(self) -> str:
        """Show the shape by example."""
        return "30-0 at length, 35-1.5 short" if self.fixed_taper is not None else "35/4-0 at length, 35/4-1.5 short"
