"""The shape that a canal was given, as far as sums go by it: that of its master apical file, or of the largest file."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from stepper.facts.entries import TOOTH
from stepper.facts.state import FileUse
from stepper.facts.values import Choice, Size
from stepper.kinds.judging import Seen
from stepper.kinds.tables import Needle
from stepper.sums.iso3630 import CUTTING_MM


@dataclass(frozen=True)
class Shape:
    """The file that a canal was cut to length with, its cutting part, and the entry that says so.

    `declared`: the clinician named it.
    """

    size: int
    taper: Decimal
    cut_mm: Decimal
    seq: int
    declared: bool


def shape_of(seen: Seen, canal: int) -> Shape | None:
    """Give the master apical file or, while none is declared, the largest file cut to length, if there is one.

    None too for a file whose taper varies or that has none: then its name does not tell how wide it cut.
    """
    fact = seen.view.role("master_apical_file", canal)
    if fact is not None and isinstance(fact.value, Size):
        return _shape(seen, fact.value, fact.seq, declared=True)
    mine = seen.view.canals.get(canal)
    if mine is None or mine.length is None:
        return None
    uses = [use for use in mine.kinds_of_files if use.purpose == "cut" and use.absolute_mm is not None]
    reached = [use for use in uses if mine.length.mm - (use.absolute_mm or 0) <= seen.limits.at_length_mm]
    largest = max(reached, key=lambda use: (use.size, use.taper), default=None)
    return _shape(seen, largest, largest.seq, declared=False) if largest is not None else None


def needle_of(seen: Seen, canal: int) -> tuple[Needle, int] | None:
    """Give the needle last used in a canal or, before any was, in another or set up, and the entry that says so."""
    facts = [seen.view.role("needle", number) for number in (canal, *seen.view.canals)]
    set_up = [row.get("item") for row in seen.view.rows_with("item", TOOTH)]
    for fact in (*facts, *set_up):
        item = seen.tables.by_id(fact.value.options[0]) if fact is not None and isinstance(fact.value, Choice) else None
        if fact is not None and isinstance(item, Needle):
            return item, fact.seq
    return None


def _shape(seen: Seen, file: Size | FileUse, seq: int, *, declared: bool) -> Shape | None:
    item = seen.tables.file_of(file.stock)
    if file.taper <= 0 or (item is not None and item.diameters_mm):
        return None
    return Shape(file.size, file.taper, item.cutting_mm if item is not None else CUTTING_MM, seq, declared)
