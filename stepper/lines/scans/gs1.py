"""GS1 messages: fields behind their application identifiers (AI), told apart by fixed lengths and separators.

A separator that is lost joins two fields into one that looks sound: a lot that ends as an expiry would is refused,
never taken apart. `^` is taken for a separator too, since some scanners send it in its place: it can be no data, for it
is not among the 82 characters of a GS1 field.
"""

from __future__ import annotations

import datetime as dt
import re
from typing import Final

from biip import ParseConfig, ParseError
from biip.gs1_element_strings import GS1ElementString

from stepper.lines.refusal import Refusal, visible
from stepper.lines.scans.dates import expiry, full_year
from stepper.lines.scans.scanned import SEPARATORS, Scanned, not_taken, past

ITEM: Final = "01"
LOT: Final = "10"
EXPIRY: Final = "17"
SET_UP: Final = "Set the scanner up to send the separator (GS), or key lot and expiry."

_FIELD: Final = re.compile(r"[!\"%-?A-Z_a-z]")
_STAND_INS: Final = frozenset("|~ ]")
"""What else scanners send in the separator's place, as they are set up."""
_SWALLOWED: Final = re.compile(r"(17|11|21)[0-9]{6}$")
_NAMES: Final = {ITEM: "item number", LOT: "lot", EXPIRY: "expiry", "21": "serial number"}


def read_gs1(raw: str, data: str, today: dt.date) -> Scanned | Refusal:
    """Read a GS1 message without its symbology identifier; `raw` is the scan as it came."""
    fields = _told_apart(data)
    if isinstance(fields, Refusal):
        return fields
    code, lot = fields.get(ITEM), fields.get(LOT)
    good_until = None
    if EXPIRY in fields:
        year, month, day = (int(fields[EXPIRY][at : at + 2]) for at in (0, 2, 4))
        good_until = expiry(full_year(year, today), month, day)
        if good_until is None:
            return _no_date(fields[EXPIRY])
    swallowed = _SWALLOWED.search(lot or "")
    if swallowed and good_until is None:
        return not_taken(f"the separator after the lot is lost. {SET_UP}")
    if code is None and lot is None and good_until is None:
        return not_taken("it holds no item number, lot or expiry. Scan the packet's other code, or key it.")
    odd = swallowed is not None and swallowed[1] not in fields
    remarks = ("Compare the lot with the packet: another field may hang on to it.",) if odd else ()
    return Scanned(raw, code, lot, good_until, remarks=(*past(good_until, today), *remarks))


def _told_apart(data: str) -> dict[str, str] | Refusal:
    """Tell the fields apart, by their AI, or say where that fails."""
    rest = data.strip(SEPARATORS)
    if foreign := _foreign(rest):
        return foreign
    config = ParseConfig(gs1_element_strings_verify_date=False, separator_chars=SEPARATORS)
    fields: dict[str, str] = {}
    while rest:
        try:
            element = GS1ElementString.extract(rest, config=config)
        except ParseError:
            return _unread(rest)
        ai = element.ai.ai
        if element.gtin_error and ai == ITEM:
            return not_taken("the check digit of the item number is wrong. Scan again, or key it.")
        if fields.setdefault(ai, element.value) != element.value:
            what = _NAMES.get(ai, f"field {ai}")
            return not_taken(f"it says the {what} twice, and differently. Key what stands on the packet.")
        rest = rest[len(element) :]
        if rest and element.ai.separator_required and rest[0] not in SEPARATORS:
            return not_taken(f"its {_NAMES.get(ai, f'field {ai}')} is too long. {SET_UP}")
        rest = rest.lstrip(SEPARATORS)
    return fields


def _foreign(data: str) -> Refusal | None:
    """Refuse a message with a sign that no field of a GS1 message can hold."""
    if data.startswith("("):
        return not_taken("brackets are printed, and no part of the code. Scan it, or key lot and expiry.")
    sign = next((one for one in data if one not in SEPARATORS and not _FIELD.fullmatch(one)), None)
    if sign is None:
        return None
    if sign in _STAND_INS:
        sent = "^]" if "^]" in data else "a space" if sign == " " else sign
        return not_taken(f"the separator came as {sent}. {SET_UP}")
    return not_taken(f"{visible(sign)} is no sign of a GS1 code. Scan again, or key it.")


def _unread(rest: str) -> Refusal:
    """Say why no field can be read where it should begin."""
    if re.match(rf"{EXPIRY}[0-9]{{6}}", rest):
        return _no_date(rest[2:8])
    return not_taken(f"no GS1 field begins with {visible(rest[:4])}. Scan again, or key it.")


def _no_date(written: str) -> Refusal:
    return not_taken(f"its expiry {written} (year, month, day) is no date. Key what stands on the packet.")
