"""HIBC supplier codes: a primary code names the item, a secondary one says expiry and lot; both may come in one.

The shapes are those that public documentation of the Supplier Labeling Standard lists (seen): `$` and a lot, `$$` with
a digit for how the date is written, or five digits of year and day of the year. Anything else is refused in words. The
century of a year is taken as in GS1 codes, no source. A check character may be any of the 43, `/` and `+` included.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from typing import Final

from stepper.facts.values import Expiry
from stepper.lines.refusal import Refusal
from stepper.lines.scans.codes import primary
from stepper.lines.scans.dates import expiry, full_year, of_year
from stepper.lines.scans.mod43 import check_character
from stepper.lines.scans.scanned import Scanned, not_taken, past

_KEY: Final = "Key what stands on the packet."
_LOT: Final = re.compile(r"[A-Z0-9]{0,18}")
_QUANTITY: Final = {"8": 2, "9": 5}
_DATES: Final = {
    "0": re.compile(r"(?P<month>0[0-9])(?P<year>[0-9]{2})"),
    "1": re.compile(r"(?P<month>1[0-9])(?P<year>[0-9]{2})"),
    "2": re.compile(r"2(?P<month>[0-9]{2})(?P<day>[0-9]{2})(?P<year>[0-9]{2})"),
    "3": re.compile(r"3(?P<year>[0-9]{2})(?P<month>[0-9]{2})(?P<day>[0-9]{2})"),
    "4": re.compile(r"4(?P<year>[0-9]{2})(?P<month>[0-9]{2})(?P<day>[0-9]{2})[0-9]{2}"),
    "5": re.compile(r"5(?P<year>[0-9]{2})(?P<of_year>[0-9]{3})"),
    "6": re.compile(r"6(?P<year>[0-9]{2})(?P<of_year>[0-9]{3})[0-9]{2}"),
}
"""Dates behind `$$`, by their first digit: month and year; month, day, year; year, month, day; the same with the hour;
year and day of the year; the same with the hour. 7 says that there is none."""
_OPENING: Final = re.compile(r"(?P<year>[0-9]{2})(?P<of_year>[0-9]{3})")
_SERIAL: Final = re.compile(r"S[A-Z0-9]{1,18}")
_LONG_DATE: Final = re.compile(r"(?P<of>14D|16D)([0-9]{4})([0-9]{2})([0-9]{2})")
"""Expiry (14D, from memory) and date of manufacture (16D, seen), with all four digits of the year."""


@dataclass(frozen=True, slots=True)
class _Said:
    """Expiry and lot of one part of a code. `unsure`: another reading would be lawful too."""

    expiry: Expiry | None = None
    lot: str | None = None
    unsure: bool = False


def read_hibc(raw: str, data: str, today: dt.date) -> Scanned | Refusal:
    """Read an HIBC code without its symbology identifier; `raw` is the scan as it came."""
    body, check = data[:-1], data[-1:]
    expected = check_character(body)
    if expected is None or check_character(check) is None:
        return not_taken("it holds a sign that no HIBC code has. Scan again, or key it.")
    if expected != check:
        return not_taken("its check character is wrong. Scan again, or key it.")
    if body[1:2].isalpha():
        item, *parts = body.split("/")
        code, link = primary(item), None
        if code is None:
            return not_taken(f"its item code is of no known form. {_KEY}")
    else:
        code, link, parts = None, body[-1], body[1:-1].split("/")
    said = _read_parts(parts, today)
    if isinstance(said, Refusal):
        return said
    unsure = ("Compare expiry and lot with the packet: its code can be read in two ways.",) if said.unsure else ()
    return Scanned(raw, code, said.lot, said.expiry, link, (*past(said.expiry, today), *unsure))


def _read_parts(parts: list[str], today: dt.date) -> _Said | Refusal:
    """Read the first part as expiry and lot, the others as what may follow them; two expiries have to agree."""
    first = _read_secondary(parts[0], today) if parts else _Said()
    if isinstance(first, Refusal):
        return first
    good_until = first.expiry
    for part in parts[1:]:
        date = _LONG_DATE.fullmatch(part)
        if date is None and not _SERIAL.fullmatch(part):
            return _unknown()
        if date is None or date["of"] != "14D":
            continue
        also = expiry(int(date[2]), int(date[3]), int(date[4]))
        if also is None:
            return _no_date()
        if good_until not in (None, also):
            return not_taken(f"it says the expiry twice, and differently. {_KEY}")
        good_until = also
    return _Said(good_until, first.lot, first.unsure)


def _read_secondary(text: str, today: dt.date) -> _Said | Refusal:
    """Read `$` with a lot or serial, `$$` with a date before it, or five digits of a date with a lot behind them."""
    if text.startswith("$$"):
        serial = text.startswith("$$+")
        return _read_dated(text[3 if serial else 2 :], serial, today)
    if text.startswith("$"):
        serial = text.startswith("$+")
        return _with_lot(None, text[2 if serial else 1 :], serial)
    opening = _OPENING.match(text)
    if opening is None:
        return _unknown()
    good_until = _date(opening, today)
    return _no_date() if good_until is None else _with_lot(good_until, text[5:], serial=False)


def _read_dated(text: str, serial: bool, today: dt.date) -> _Said | Refusal:
    """Read what stands behind `$$`: a quantity, a date as its first digit says, then the lot or serial."""
    counted = _QUANTITY.get(text[:1])
    if counted is not None:
        if not re.fullmatch(rf"[0-9]{{{counted}}}", text[1 : 1 + counted]):
            return _unknown()
        text = text[1 + counted :]
        if not text[:1].isdigit():
            return _with_lot(None, text, serial)
    if text.startswith("7"):
        return _with_lot(None, text[1:], serial, unsure=counted is not None)
    written = _DATES[text[0]].match(text) if text[:1] in _DATES else None
    if written is None:
        return _unknown()
    good_until = _date(written, today)
    if good_until is None:
        return _no_date()
    return _with_lot(good_until, text[written.end() :], serial, unsure=counted is not None)


def _date(written: re.Match[str], today: dt.date) -> Expiry | None:
    """Give the date of the groups of a match, or None where there is no such date."""
    found = {name: int(digits) for name, digits in written.groupdict().items()}
    year = full_year(found["year"], today)
    if "of_year" in found:
        return of_year(year, found["of_year"])
    if found.get("day") == 0:
        return None
    return expiry(year, found["month"], found.get("day", 0))


def _with_lot(good_until: Expiry | None, text: str, serial: bool, *, unsure: bool = False) -> _Said | Refusal:
    if not _LOT.fullmatch(text):
        return not_taken(f"its lot is of no known form. {_KEY}")
    return _Said(good_until, None if serial else text or None, unsure)


def _unknown() -> Refusal:
    return not_taken(f"this form of an HIBC code is not known. {_KEY}")


def _no_date() -> Refusal:
    return not_taken(f"its expiry is no date. {_KEY}")
