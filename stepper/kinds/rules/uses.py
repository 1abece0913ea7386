"""How often a file from stock was used in this visit."""

from collections.abc import Mapping
from typing import ClassVar

from stepper.facts.state import Row
from stepper.facts.values import Instrument
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name
from stepper.kinds.tables import File
from stepper.kinds.used import uses_of


class Uses(Rule, tag="uses", frozen=True):
    """Speaks when a stock file is used in more canals than its stock entry allows. Gaps: file, uses, most."""

    GAPS: ClassVar[frozenset[str]] = frozenset({"file", "uses", "most"})
    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {"file": ("instrument",)}

    file: Name

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.file,)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:
        """Count the canals that the file was in, this one included."""
        fact = row.facts.get(self.file)
        if fact is None or not isinstance(fact.value, Instrument) or fact.value.stock is None:
            return None
        number = fact.value.stock
        item = next((one for one in seen.tables.item if isinstance(one, File) and one.number == number), None)
        used = uses_of(seen.view, number, row.canal)
        if item is None or item.uses_max is None or used <= item.uses_max:
            return None
        return Finding(row.seqs, {"file": item.label, "uses": str(used), "most": str(item.uses_max)})
