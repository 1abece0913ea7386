"""Item codes in the one form that they are compared in: GTIN in 14 digits, HIBC primary with its check character."""

from __future__ import annotations

import re
from typing import Final

from stepper.lines.refusal import Refusal
from stepper.lines.scans.mod43 import check_character

_DIGITS: Final = re.compile(r"[0-9]+")
_LENGTHS: Final = (8, 12, 13, 14)
_PRIMARY: Final = re.compile(r"\+[A-Z][A-Z0-9]{3}[A-Z0-9]{1,18}[0-9]")


def check_digit(body: str) -> int:
    """Give the check digit of a GTIN's other digits: weights 3 and 1 in turn from the right (GS1, seen)."""
    total = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(reversed(body)))
    return (10 - total % 10) % 10


def gtin(digits: str) -> str | None:
    """Give a GTIN of 8, 12, 13 or 14 digits in 14, zeros before it; None where its check digit is wrong."""
    return digits.zfill(14) if check_digit(digits[:-1]) == int(digits[-1]) else None


def primary(body: str) -> str | None:
    """Give an HIBC primary code, its opening `+` included, with its check character; None where it is none.

    Four characters of the labeler, the first a letter; 1 to 18 of the product; one digit of the unit (seen).
    """
    return f"{body}{check_character(body)}" if _PRIMARY.fullmatch(body) else None


def item_code(written: str) -> str | Refusal:
    """Read an item code as it is written in the stock, or say what is wrong with it.

    A check character that is a space may be written as the `_` that is printed for it.
    """
    if written.startswith("+"):
        code = primary(written[:-1])
        if code is None:
            return Refusal("is no HIBC primary code")
        return code if written[-1].replace("_", " ") == code[-1] else Refusal("has a wrong check character")
    if not _DIGITS.fullmatch(written) or len(written) not in _LENGTHS:
        return Refusal("is no item code")
    return gtin(written) or Refusal("has a wrong check digit")
