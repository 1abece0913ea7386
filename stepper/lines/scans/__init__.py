"""Barcodes as a scanner sends them, read into item code, lot and expiry, or refused in one sentence.

Nothing is repaired: a code that cannot be trusted is refused, and what it says is keyed. The library for GS1 messages
is loaded at the first GS1 scan: the program starts without it.
"""

from stepper.lines.scans.codes import item_code
from stepper.lines.scans.reading import read
from stepper.lines.scans.scanned import Scanned, not_taken

__all__ = ["Scanned", "item_code", "not_taken", "read"]
