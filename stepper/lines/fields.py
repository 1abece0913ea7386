"""One parser per kind of field: what was typed becomes a value, or a refusal in one sentence.

Every parser is total: any text gives one or the other. A decimal comma is a point. Digits are 0 to 9 and nothing
else that Python would take for a number: no exponent, no underscore, no digit of another script.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from typing import Final

from stepper.facts.values import Digits, Number, Text
from stepper.lines.dates import date, expiry, span, time
from stepper.lines.instruments import Stock, depth, instrument, size
from stepper.lines.refusal import Refusal, refuse, visible

__all__ = [
    "Refusal",
    "Stock",
    "choice",
    "date",
    "depth",
    "digits",
    "expiry",
    "instrument",
    "number",
    "size",
    "span",
    "text",
    "time",
]

MOST_DIGITS: Final = 9
"""Digits of a number, before and after the point together."""

MOST_CHARACTERS: Final = 500
"""Characters of a free text."""

_NUMBER: Final = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+")
_JOINERS: Final = "\u200c\u200d"


def number(typed: str) -> Number | Refusal:
    """Read a number without a sign, as keyed: 20.50 stays 20.50. Its unit is the question's."""
    plain = typed.strip(" \t").replace(",", ".")
    if plain[:1] in ("+", "-") and _NUMBER.fullmatch(plain[1:]):
        return refuse(typed, f"no sign here; type {plain[1:]}" if len(plain) <= MOST_DIGITS else "no sign here")
    if not _NUMBER.fullmatch(plain):
        return refuse(typed, "not a number; type digits with at most one point, as in 20.5")
    if sum(sign != "." for sign in plain) > MOST_DIGITS:
        return refuse(typed, f"too long; a number has at most {MOST_DIGITS} digits")
    return Number(value=Decimal(plain))


def choice(typed: str, count: int, many: bool) -> tuple[int, ...] | Refusal:
    """Read the options taken, counted from 1, in the order keyed; several, joined by `+`, only where `many`."""
    allowed = f"{f'1 to {count}' if count > 1 else '1'}, {'one or more joined by +' if many else 'one of them'}"
    parts = typed.strip(" \t").split("+")
    if not all(re.fullmatch(r"[0-9]{1,3}", part) for part in parts):
        return refuse(typed, f"not a choice; type {allowed}")
    if len(parts) > 1 and not many:
        return refuse(typed, f"one choice only; type {allowed}")
    taken = tuple(map(int, parts))
    for option in taken:
        if not 1 <= option <= count:
            return refuse(typed, f"no choice {option}; type {allowed}")
    twice = next((option for option in taken if taken.count(option) > 1), None)
    return taken if twice is None else refuse(typed, f"{twice} is typed twice; type each choice once")


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def digits(typed: str, least: int, most: int) -> Digits | Refusal:
    """Read a number that is a name, of `least` to `most` digits; leading zeros count."""
    plain = typed.strip(" \t")
    allowed = _count(least, "digit") if least == most else f"{least} to {_count(most, 'digit')}"
    if not re.fullmatch(r"[0-9]+", plain):
        return refuse(typed, f"digits only; type {allowed}")
    if not least <= len(plain) <= most:
        return refuse(typed, f"{_count(len(plain), 'digit')} typed; type {allowed}")
    return Digits(value=plain)


def text(typed: str) -> Text | Refusal:
    """Read free text of at most 500 characters that a screen, a file and a note can show as it stands.

    Refused are control characters, direction marks and other marks without a shape (but not the two joiners that
    some scripts need), lone surrogates, line separators, private-use characters and code points that are none.
    """
    plain = typed.strip(" \t")
    if not plain:
        return refuse("", "type at least one character")
    if len(plain) > MOST_CHARACTERS:
        return refuse(typed, f"{_count(len(plain), 'character')} typed; at most {MOST_CHARACTERS}")
    for place, sign in enumerate(plain, start=1):
        if _shapeless(sign):
            return refuse(typed, f"{visible(sign)} at place {place} has no shape to show; type the text without it")
    return Text(value=plain)


def _shapeless(sign: str) -> bool:
    """Say whether the character cannot be shown as itself; files and notes could not carry it safely either."""
    no_character = ord(sign) & 0xFFFE == 0xFFFE or 0xFDD0 <= ord(sign) <= 0xFDEF
    return no_character or (unicodedata.category(sign) in ("Cc", "Cf", "Co", "Cs", "Zl", "Zp") and sign not in _JOINERS)
