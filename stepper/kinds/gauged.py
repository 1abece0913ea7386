"""Apical gauging as the record has it: which files that were in a canal bound its width, and what follows.

Every file that was there before the last reading, to a depth that is known, proves that the canal was as wide. A file
that was held bounds it only as long as nothing was cut since. Only readings since the length was last measured anew
count.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import islice

from stepper.facts.state import Canal, FileUse, Length, Place, Row, View, joined, reached
from stepper.facts.values import Instrument, Size
from stepper.kinds.judging import Limits, Seen
from stepper.kinds.tables import File, Tables
from stepper.sums.gauging.bounds import Bounds, bounds
from stepper.sums.gauging.model import How, Model, Reading, Tool, straight
from stepper.sums.iso3630 import SIZES, name

CLOSED = "closed"

SERIES = tuple(straight(size, Decimal("0.02")) for size in SIZES if size >= 15)
"""The gauging files that a further reading is named from, where the stock marks none as such: ISO 3630-1 at .02."""


@dataclass(frozen=True)
class Gauged:
    """What the readings of a canal prove, and the entries they stand in. `apex` is what was said of it, if anything.

    `found` is None where no bounds are reckoned: at an open or resorbed apex. `cut_since`: files have cut after the
    last reading, and the canal is no longer as it was gauged. `size` is that of the largest gauging file at length.
    """

    found: Bounds | None
    apex: str
    entries: tuple[int, ...]
    size: int | None = None
    cut_since: bool = False


def gauged(seen: Seen, canal: int) -> Gauged | None:
    """Read what was gauged in a canal; None where nothing was."""
    if ("gauge_file", canal) not in seen.view.by_role:
        return None
    kept = seen.view.gauging
    if canal not in kept:
        kept[canal] = _gauged(seen, canal)
    found = kept[canal]
    return found if isinstance(found, Gauged) else None


def _gauged(seen: Seen, canal: int) -> Gauged | None:
    mine = seen.view.canals.get(canal)
    if mine is None or mine.length is None:
        return None  # without a length in force nobody knows what the distances were short of
    rows = _rows(seen, mine, mine.length)
    if not rows:
        return None
    entries = tuple(sorted({seq for row in rows for seq in row.seqs}))
    said = seen.view.role("apex", canal)
    apex = next(iter(getattr(said.value, "options", ())), CLOSED) if said is not None else CLOSED
    largest = gauged_row(seen.view, canal, seen.limits)
    read = _read(largest) if largest is not None else None
    size = read.size if read is not None else None
    if apex != CLOSED and said is not None:
        return Gauged(None, apex, tuple(sorted({*entries, said.seq})), size)
    model = model_of(seen.limits)
    every = dict.fromkeys(_readings(seen, mine, mine.length, rows))
    readings = tuple(one for one in every if one.short_mm <= model.span_mm)
    last = max(row.last_place for row in rows)
    cut_since = (_last_cut(seen, mine) or last) > last
    return Gauged(_bounds(readings, model), apex, entries, size, cut_since) if readings else None


def gauged_row(view: View, canal: int, limits: Limits) -> Row | None:
    """Give the row of the largest gauging file that reached length, since the length was last measured anew."""
    if ("gauge_file", canal) not in view.by_role:
        return None
    length = view.canals[canal].length
    rows = [row for row in view.rows_with("gauge_file", canal) if length is None or row.place > length.anew]
    reached = [(value.size, row) for row in rows if (value := _read(row)) and value.short_mm <= limits.at_length_mm]
    return max(reached, key=lambda pair: pair[0])[1] if reached else None


def model_of(limits: Limits) -> Model:
    """Give how exactly the protocol takes things to be known."""
    tolerances = (limits.file_tolerance_mm, limits.file_tolerance_over_60_mm)
    return Model(limits.read_error_mm, *tolerances, limits.reckoned_mm)


def tool_of(tables: Tables, size: int, taper: Decimal, stock: int | None = None) -> Tool | None:
    """Give a file by its diameters; that of a stock number by its stock entry. None for one without a taper."""
    item = tables.file_of(stock)
    if item is not None and item.diameters_mm:
        return Tool(name(size, taper), size, item.diameters_mm)
    if taper <= 0:
        return None
    return straight(size, taper, item.cutting_mm) if item is not None else straight(size, taper)


def tool_of_size(tables: Tables, size: Size) -> Tool | None:
    """Give a file that was named without a depth by its diameters."""
    return tool_of(tables, size.size, size.taper, size.stock)


def gauging_stock(tables: Tables) -> tuple[Tool, ...]:
    """Give the gauging files: those of the stock that are named as such, or else the ISO 3630-1 series at .02."""
    named = [one for one in tables.item if isinstance(one, File) and one.for_gauging]
    tools = [tool_of(tables, one.size, one.taper, one.number) for one in named]
    return tuple(tool for tool in tools if tool is not None) or SERIES


@lru_cache(maxsize=64)
def _bounds(readings: tuple[Reading, ...], model: Model) -> Bounds:
    return bounds(readings, model)


def _rows(seen: Seen, mine: Canal, length: Length) -> list[Row]:
    """Give the gauging rows since the length was last measured anew, in their order."""
    rows = [row for row in seen.view.rows_with("gauge_file", mine.number) if _read(row) is not None]
    return sorted((row for row in rows if row.place > length.anew), key=lambda row: (row.place, row.number))


def _readings(seen: Seen, mine: Canal, length: Length, rows: list[Row]) -> list[Reading]:
    last = max(row.last_place for row in rows)
    uses = [use for use in mine.kinds_of_files if use.place < last]
    cut = _last_cut(seen, mine, last)
    found: list[Reading] = []
    for use in uses:
        tool, short = tool_of(seen.tables, use.size, use.taper, use.stock), _short(use, length)
        if tool is not None and short is not None:
            how = How.CUT if use.purpose == "cut" else How.PASSED
            found.append(Reading(tool, how, max(short, Decimal(0))))
    for row in rows:
        read = _read(row)
        tool = tool_of(seen.tables, read.size, read.taper, read.stock) if read is not None else None
        if read is None or tool is None:
            continue
        held = read.short_mm > 0 or (read.short_mm == 0 and "held" in row.options("gauge_held"))
        still = How.STOPPED if cut is None or cut < row.place else How.FREED
        found.append(Reading(tool, still if held else How.PASSED, max(read.short_mm, Decimal(0))))
    return found


def _last_cut(seen: Seen, mine: Canal, before: Place | None = None) -> Place | None:
    """Give where a file last cut in the canal, also one that went into it from a canal that joins it."""
    found: list[Place] = []
    for number in joined(seen.view, mine.number):
        files = seen.view.canals[number].files_of_all
        end = len(files) if before is None else bisect_left(files, before, key=lambda use: use.place)
        cuts = (use for use in (files[index] for index in range(end - 1, -1, -1)) if use.purpose == "cut")
        here = (use.place for use in cuts if mine.number in reached(seen.view, number, use))
        found += islice(here, 1)
    return max(found, default=None)


def _short(use: FileUse, length: Length) -> Decimal | None:
    """Tell how far short of the length in force a file went; None if it went in before any, or from another point."""
    return length.mm - use.absolute_mm if use.absolute_mm is not None else None


def _read(row: Row) -> Instrument | None:
    fact = row.get("gauge_file")
    return fact.value if fact is not None and isinstance(fact.value, Instrument) else None
