"""Barcodes as a scanner sends them, read into item code, lot and expiry, or refused in one sentence.

Nothing is repaired: a code that cannot be trusted is refused, and what it says is keyed. What reads scans is loaded at
the first one, the library for GS1 messages at the first that needs it: the program starts without them.
"""

from __future__ import annotations

import datetime as dt

from stepper.lines.refusal import Refusal
from stepper.lines.scans.codes import item_code
from stepper.lines.scans.scanned import Scanned, not_taken

__all__ = ["Scanned", "item_code", "not_taken", "read"]


def read(raw: str, today: dt.date) -> Scanned | Refusal:
    """Read a scan as it came, on the day `today`, which two digits of a year are read by. Never raises."""
    from stepper.lines.scans.reading import read_scan  # at the first scan: see above

    return read_scan(raw, today)
