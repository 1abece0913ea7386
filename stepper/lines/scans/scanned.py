"""What a barcode says, and how one is refused."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Final

from stepper.facts.values import Expiry
from stepper.lines.refusal import Refusal
from stepper.lines.scans.dates import is_past

SEPARATORS: Final = "\x1d^"
"""What parts two fields of a GS1 message: the group separator, and the sign that some scanners send in its place."""


@dataclass(frozen=True, slots=True)
class Scanned:
    """A code that was read. `raw` is all that the scanner sent: a serial number, for one, is kept nowhere else.

    `code` is the item's: a GTIN in 14 digits, or an HIBC primary code with its check character. `link` is what an HIBC
    secondary code holds of the primary: its check character. `remarks` are sentences about what looks odd in it.
    """

    raw: str
    code: str | None = None
    lot: str | None = None
    expiry: Expiry | None = None
    link: str | None = None
    remarks: tuple[str, ...] = ()


def not_taken(why: str) -> Refusal:
    """Refuse a scan; `why` says what is wrong and what to do."""
    return Refusal(f"Scan not taken: {why}")


def past(expiry: Expiry | None, today: dt.date) -> tuple[str, ...]:
    """Remark on an expiry that is past: it is a fact like any other, but two digits of a year can mislead."""
    if expiry is None or not is_past(expiry, today):
        return ()
    day = f"{expiry.day}." if expiry.day is not None else ""
    return (f"By its code it expired {day}{expiry.month}.{expiry.year}: look at the packet.",)
