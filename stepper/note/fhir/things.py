"""What was set up, or went into a canal, with a lot, as devices: lot, expiry, and the barcode where one was kept."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from dataclasses import dataclass, field

from stepper.facts.entries import TOOTH, Answer
from stepper.facts.state import Fact, Row
from stepper.facts.values import Choice, Digits, Expiry, Scan
from stepper.kinds.stock import lot_of
from stepper.lines.scans.reading import read
from stepper.lines.scans.scanned import Scanned
from stepper.note.fhir import codes
from stepper.note.fhir.piece import Maker, Piece, Tree
from stepper.note.shape import OUTSIDE
from stepper.sums.expiry import last_day

_CHOSEN = ("item", "dressing")
"""The roles by which a thing is chosen in the row that says its lot."""


@dataclass(slots=True)
class Things:
    """All devices, and those of each canal with the entry that says so."""

    all: list[Piece] = field(default_factory=list)
    used: dict[int, list[tuple[Piece, int]]] = field(default_factory=dict)


def things(make: Maker) -> Things:
    """Give what was set up, then the lots said of canals; a lot that was set up is the same thing."""
    found, set_up = Things(), dict[str, list[Piece]]()
    for row, lot in _rows(make, of_canals=False):
        piece = _device(make, row, lot)
        found.all.append(piece)
        set_up.setdefault(piece.resource.get("lotNumber", ""), []).append(piece)
    for row, lot in _rows(make, of_canals=True):
        if lot is None:
            continue
        same = set_up.get(_lot(lot), [])
        piece = same[0] if len(same) == 1 else _device(make, row, lot)
        if len(same) != 1:
            found.all.append(piece)
        found.used.setdefault(row.canal, []).append((piece, lot.seq))
    return found


def _rows(make: Maker, *, of_canals: bool) -> Iterator[tuple[Row, Fact | None]]:
    """Give the rows in which something was set up, or has a lot, and the lot."""
    for (name, canal), rows in make.case.told.rows.items():
        step = make.case.protocol.by_step.get(name)
        if step is None or (canal != TOOTH) != of_canals:
            continue
        lots = [question.id for question in step.question if question.kind == "lot"]
        for row in rows:
            said = (row.facts[name] for name in lots if name in row.facts)
            lot = next((fact for fact in said if isinstance(fact.value, Digits | Scan)), None)
            if lot is not None or row.get("item") is not None:
                yield row, lot


def _lot(fact: Fact) -> str:
    return lot_of(fact.value) if isinstance(fact.value, Digits | Scan) else ""


def _device(make: Maker, row: Row, lot: Fact | None) -> Piece:
    chosen = next((fact for role in _CHOSEN if (fact := row.get(role)) is not None), None)
    expiry = row.get("item_expiry")
    facts = [fact for fact in (chosen, expiry, lot) if fact is not None]
    entries = [fact.seq for fact in facts]
    return make.piece(
        "Device",
        f"{row.step} {row.canal} {row.number}",
        entries,
        udiCarrier=_barcode(make, facts),
        expirationDate=_good_until(expiry),
        lotNumber=_lot(lot) if lot is not None else None,
        deviceName=[{"name": _name(make, row, chosen, lot), "type": "user-friendly-name"}],
        note=[{"text": OUTSIDE}] if row.outside else None,
    )


def _name(make: Maker, row: Row, chosen: Fact | None, lot: Fact | None) -> str:
    """Name a thing as the stock does or, where its row does not say what it is, as the question about its lot does."""
    if chosen is not None and isinstance(chosen.value, Choice):
        known = [(make.case.protocol.by_id(option), option) for option in chosen.value.options]
        return ", ".join(item.label if item is not None else option for item, option in known)
    step = make.case.protocol.by_step[row.step]
    names = [name for name, fact in row.facts.items() if fact is lot]
    asked = step.asked(names[0]) if names else None
    return asked.prompt if asked is not None else row.step


def _good_until(expiry: Fact | None) -> str | None:
    """Give the last day on which it is good: a month is good until its last day."""
    if expiry is None or not isinstance(expiry.value, Expiry):
        return None
    year, month, day = expiry.value.year, expiry.value.month, expiry.value.day
    return (last_day(year, month).replace(day=day) if day is not None else last_day(year, month)).isoformat()


def _barcode(make: Maker, facts: list[Fact]) -> list[Tree] | None:
    """Give the barcode as the scanner sent it, where one was kept and its item code can be read."""
    for raw in (raw for fact in facts for raw in _scanned(make, fact)):
        found = read(raw, make.case.today)
        if isinstance(found, Scanned) and found.code is not None and raw.isascii():
            issuer = {} if found.code.startswith("+") else {"issuer": codes.GS1_ISSUER}
            carried = base64.b64encode(raw.encode()).decode()
            return [{"deviceIdentifier": found.code, **issuer, "carrierAIDC": carried, "entryType": "barcode"}]
    return None


def _scanned(make: Maker, fact: Fact) -> Iterator[str]:
    if isinstance(fact.value, Scan):
        yield fact.value.raw
    entry = make.case.entries[fact.seq]
    if isinstance(entry, Answer) and entry.scan is not None:
        yield entry.scan
