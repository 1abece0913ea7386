"""Reading a scan by its symbology identifier: `]`, the letter of the kind of code, and a modifier (ISO/IEC 15424)."""

from __future__ import annotations

import datetime as dt
import re
from typing import Final

from stepper.lines.refusal import Refusal, visible
from stepper.lines.scans.codes import gtin
from stepper.lines.scans.scanned import SEPARATORS, Scanned, not_taken

GS1: Final = frozenset({"d2", "C1", "Q3", "e0"})
"""Data Matrix, Code 128, QR Code and DataBar that say of themselves that they hold a GS1 message (from memory)."""

_GTIN_DIGITS: Final = {"E0": (12, 13), "E4": (8,), "I1": (14,)}
"""How many digits a code has that is an item number and nothing else: EAN-13 with UPC, EAN-8, ITF-14 (seen)."""

_ADD_ONS: Final = frozenset({"E1", "E2", "E3"})
_STRIPPED: Final = frozenset({"A2", "A3", "A6", "A7"})
"""Code 39 of which the scanner has checked the last character and left it out (scanners' manuals, seen)."""

_IDENTIFIER: Final = re.compile(r"[A-Za-z][0-9A-Za-z]")


def read(raw: str, today: dt.date) -> Scanned | Refusal:
    """Read a scan as it came, on the day `today`, which two digits of a year are read by. Never raises."""
    kind, data = raw[1:3], raw[3:].strip("\r\n")
    if not raw.startswith("]") or not _IDENTIFIER.fullmatch(kind):
        return not_taken("it does not say what kind of code it is. Let the scanner send its symbology identifier.")
    if not data.strip(SEPARATORS):
        return not_taken("the code is empty. Scan again, or key it.")
    if data.lower().startswith(("http:", "https:")):
        return not_taken("it is a web address. Scan the packet's other code, or key lot and expiry.")
    if kind in GS1:
        from stepper.lines.scans.gs1 import read_gs1  # at the first of its kind: see the package

        return read_gs1(raw, data, today)
    if kind in _GTIN_DIGITS or kind in _ADD_ONS:
        return _read_number(raw, kind, data)
    if data.startswith("+"):
        if kind in _STRIPPED:
            return not_taken("the scanner leaves out the check character. Set it up to send it, or key it.")
        from stepper.lines.scans.hibc import read_hibc  # at the first of its kind: see the package

        return read_hibc(raw, data, today)
    return not_taken(f"]{visible(kind)} is neither a GS1 nor an HIBC code. Scan the packet's other code, or key it.")


def _read_number(raw: str, kind: str, data: str) -> Scanned | Refusal:
    """Read a code that is an item number alone: it has no lot and no expiry, whatever its digits may look like."""
    if kind in _ADD_ONS:
        return not_taken("it comes with an add-on beside it. Scan the packet's other code, or key it.")
    if not re.fullmatch(r"[0-9]+", data) or len(data) not in _GTIN_DIGITS[kind]:
        digits = " or ".join(map(str, _GTIN_DIGITS[kind]))
        return not_taken(f"an item number of this kind has {digits} digits. Scan again, or key it.")
    code = gtin(data)
    return not_taken("its check digit is wrong. Scan again, or key it.") if code is None else Scanned(raw, code)
