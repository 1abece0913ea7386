"""Gauging readings that do not go together and are worth reading again."""

from collections.abc import Mapping
from typing import ClassVar

from stepper.facts.state import Row
from stepper.facts.values import Instrument
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Exact, Name
from stepper.kinds.words import plain
from stepper.sums.iso3630 import name


class ReadAgain(Rule, tag="read_again", frozen=True):
    """Speaks when a larger file of the same taper went deeper than a smaller one by more than `limit_mm`.

    Gaps: file, depth, other, other_depth.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"file", "depth", "other", "other_depth"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"file": ("instrument",)}

    file: Name
    limit_mm: Exact

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.file,)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:
        """Compare with the earlier readings since the length was last measured anew."""
        this = self._file(row)
        if this is None or row.canal not in seen.view.canals:
            return None
        length = seen.view.canals[row.canal].length
        for earlier in seen.view.rows_of(row.step, row.canal):
            other = self._file(earlier)
            if other is None or earlier.number >= row.number or (length and earlier.place < length.anew):
                continue
            if other.taper == this.taper and self._odd(this, other):
                gaps = {
                    "file": name(this.size, this.taper),
                    "depth": plain(this.short_mm),
                    "other": name(other.size, other.taper),
                    "other_depth": plain(other.short_mm),
                }
                return Finding(tuple(sorted({*earlier.seqs, *row.seqs})), gaps)
        return None

    def _odd(self, this: Instrument, other: Instrument) -> bool:
        larger, smaller = (this, other) if this.size > other.size else (other, this)
        return this.size != other.size and smaller.short_mm - larger.short_mm > self.limit_mm

    def _file(self, row: Row) -> Instrument | None:
        fact = row.facts.get(self.file)
        return fact.value if fact is not None and isinstance(fact.value, Instrument) else None
