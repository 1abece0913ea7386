"""The check character of HIBC codes: values of the characters before it, added up, modulo 43.

The values are those of Code 39 (HIBC Supplier Labeling Standard, by a scanner's manual, seen).
"""

from __future__ import annotations

from typing import Final

CHARACTERS: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%"
"""The characters of an HIBC code, each at the place that is its value."""

_VALUES: Final = {character: value for value, character in enumerate(CHARACTERS)}


def check_character(body: str) -> str | None:
    """Give the check character of a text, its opening `+` included; None where a character is not of this kind."""
    values = [_VALUES.get(character) for character in body]
    known = [value for value in values if value is not None]
    return CHARACTERS[sum(known) % len(CHARACTERS)] if len(known) == len(values) else None
