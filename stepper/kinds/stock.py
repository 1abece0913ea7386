"""What is in stock: files by their numbers, things by the codes on their packets, lots as they are compared."""

from __future__ import annotations

from stepper.facts.values import Digits, Scan, Size
from stepper.kinds.tables import AnyItem, Cones, File, Tables
from stepper.lines.refusal import visible
from stepper.lines.scans.codes import item_code


def file_of(tables: Tables, number: int) -> Size | None:
    """Give the size and taper of a stock file, or None where the number is no file's."""
    file = next((one for one in tables.item if isinstance(one, File) and one.number == number), None)
    return None if file is None else Size(size=file.size, taper=file.taper, stock=number)


def item_of(tables: Tables, code: str | None) -> AnyItem | None:
    """Give the item whose packets carry a code, or None where no item has it."""
    if code is None:
        return None
    return next((one for one in tables.item if code in codes_of(one)), None)


def codes_of(item: AnyItem) -> tuple[str, ...]:
    """Give an item's codes in the form that they are compared in."""
    return tuple(code for code in map(item_code, item.codes) if isinstance(code, str))


def size_of(item: AnyItem | None) -> Size | None:
    """Give the size and taper that the stock says of an item, with its number; None where it says none."""
    if not isinstance(item, File | Cones) or item.size is None or item.taper is None:
        return None
    return Size(size=item.size, taper=item.taper, stock=item.number)


def lot_of(value: Digits | Scan) -> str:
    """Give a lot as it is compared and written: a scanned one is that of its packet, keyed or scanned.

    A scan whose lot was never read goes by all that the scanner sent.
    """
    if isinstance(value, Digits):
        return value.value
    return visible(value.lot if value.lot is not None else value.raw)
