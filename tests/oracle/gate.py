"""The eight clauses, over one reading of a log."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from stepper.facts.remarks import Remark
from tests.oracle.log import Key
from tests.oracle.past import Past, Said
from tests.oracle.reading import Reading

FIT = {"cone", "seat", "tug_back", "cone_image"}
BLIND = {"patient_check": "patient", "tooth_check": "tooth", "tooth_counted": "tooth", "tooth_opened": "tooth"}
Row = Mapping[str, Said]


def holds(reading: Reading, canal: int, asks: Sequence[Remark]) -> bool:
    """Whether all eight clauses hold. `asks` are all that stand in this reading, answered or not."""
    if canal not in reading.names:
        return False
    departed = reading.log.departed
    return (
        evidence(reading, canal)
        and lots(reading, canal, asks)
        and not any(one.canal in (0, canal) and one.key not in departed for one in asks)
    )


def evidence(reading: Reading, canal: int) -> bool:
    """Whether the clauses hold that need no rule's word: all but the lots and the asks."""
    return (
        clear(reading, canal)
        and reading.past(canal).length() is not None
        and master(reading, canal)
        and fit(reading, canal)
        and dry(reading, canal)
        and rinsed(reading, canal)
    )


def shut_clauses(reading: Reading, canal: int, asks: Sequence[Remark]) -> list[str]:
    """Name the clauses that do not hold, for the words of a violation."""
    if canal not in reading.names:
        return ["no such canal"]
    own = {"clear": clear, "master": master, "fit": fit, "dry": dry, "rinsed": rinsed}
    found = [name for name, clause in own.items() if not clause(reading, canal)]
    found += [] if reading.past(canal).length() else ["length"]
    found += [] if lots(reading, canal, asks) else ["lots"]
    return found + [one.key for one in asks if one.canal in (0, canal) and one.key not in reading.log.departed]


def clear(reading: Reading, canal: int) -> bool:
    """The dam is on, the header is confirmed, no allergy stands, the canal is not filled already."""
    header, changed, unconfirmed = reading.header
    tooth = reading.past(0)
    for role, member in BLIND.items():
        fact = tooth.latest(role)
        if fact is None:
            if role in ("patient_check", "tooth_check"):
                return False
        elif fact.value.value != header[member] or (role != "tooth_opened" and fact.key < changed):
            return False
    dam = tooth.latest("dam")
    on = dam is not None and dam.value.options[0] == "on"
    return on and not unconfirmed and not _allergic(reading) and not reading.filled(canal)


def _allergic(reading: Reading) -> bool:
    allergies = reading.past(0).latest("allergies")
    if allergies is None:
        return False
    met = set(allergies.value.options)
    used = (
        fact.value.options[0]
        for canal in {one.canal for one in reading.said}
        for row in reading.past(canal).rows.values()
        for fact in row.values()
        if fact.role in ("item", "irrigant") and fact.real
    )
    return any(met & set(reading.log.items[item].allergens) for item in used)


def master(reading: Reading, canal: int) -> bool:
    """The declared file was cut to length since the length was measured, and nothing wider was."""
    past = reading.past(canal)
    declared, length = declared_file(past), past.length()
    if declared is None or length is None or declared.key < length[1] or declared.outside:
        return False
    limits, size, taper = reading.log.protocol.limits, declared.value.size, declared.value.taper
    cut = False
    for file, short_mm, known in past.files:
        if file.purpose != "cut" or short_mm > limits.at_length_mm:
            continue
        value, near = file.value, abs(short_mm) <= limits.at_length_mm
        short = Decimal(0) if near or short_mm > 0 else short_mm
        top = min(limits.span_mm, short + 16)  # its cutting part is 16 mm long
        at = (Decimal(0), top) if top >= 0 else ()
        if any(Decimal(value.size - size) / 100 + value.taper * (x - short) > taper * x for x in at):
            return False
        same = (value.size, value.taper) == (size, taper)
        cut = cut or (near and same and known and not file.outside)
    return cut


@dataclass(slots=True)
class Declared:
    """A master apical file, and where it was declared."""

    value: Any
    key: Key
    outside: bool


def declared_file(past: Past) -> Declared | None:
    """The master apical file declared last: today, or at an earlier visit if nothing was said of it today."""
    said = past.last.get("master_apical_file")
    if said is not None:
        return Declared(said.value, said.key, said.outside) if said.real else None
    return Declared(past.carried_master, past.key, outside=False) if past.carried_master is not None else None


def _last_rows(reading: Reading, canal: int, roles: set[str]) -> list[Row]:
    """The last row begun, and every earlier one of which something was said later than that."""
    rows = [
        (min(one.key for one in row.values()), number, row)
        for (_, number), row in reading.past(canal).rows.items()
        if any(one.role in roles for one in row.values())
    ]
    if not rows:
        return []
    begun = max(rows, key=lambda each: each[:2])
    return [
        row
        for key, number, row in rows
        if (key, number) == begun[:2] or max(one.key for one in row.values() if one.role in roles) > begun[0]
    ]


def fit(reading: Reading, canal: int) -> bool:
    """The last cone fit suits."""
    rows = _last_rows(reading, canal, FIT)
    return bool(rows) and all(_fits(reading, canal, row) for row in rows)


def _fits(reading: Reading, canal: int, row: Row) -> bool:
    past = reading.past(canal)
    chosen, declared, length = past.latest("technique"), declared_file(past), past.length()
    has = {one.role: one for one in row.values() if one.real}
    if chosen is None or declared is None or length is None or "cone" not in has or has["cone"].outside:
        return False
    begun = min(one.key for one in row.values() if one.role in FIT)
    if begun < max(length[1], reading.last_file(canal, "cut")):
        return False
    technique = next(one for one in reading.log.protocol.technique if one.id == chosen.value.options[0])
    size = has["cone_trimmed"].value.size if "cone_trimmed" in has else has["cone"].value.size
    if "size" in technique.match and size != declared.value.size:
        return False
    if "taper" in technique.match and has["cone"].value.taper != declared.value.taper:
        return False
    if any(one.role in technique.needs and one.key < has["cone"].key for one in row.values()):
        return False
    needs = {
        "seat": "seat" in has and abs(has["seat"].value.short_mm) <= technique.seat_within_mm,
        "tug_back": "tug_back" in has and has["tug_back"].value.options == ("yes",),
        "cone_image": "cone_image" in has and has["cone_image"].value.options == ("seated",),
    }
    return all(needs[name] for name in technique.needs)


def dry(reading: Reading, canal: int) -> bool:
    """The last drying suits."""
    rows = _last_rows(reading, canal, {"paper_point_depth", "dryness"})
    return bool(rows) and all(_dries(reading, canal, row) for row in rows)


def _dries(reading: Reading, canal: int, row: Row) -> bool:
    past = reading.past(canal)
    chosen, length = past.latest("sealer"), past.length()
    if chosen is None or length is None or any(one.outside for one in row.values()):
        return False
    begun = min(one.key for one in row.values())
    if begun < max(length[1], reading.last_file(canal), reading.last_rinse(canal)):
        return False
    sealer = reading.log.items[chosen.value.options[0]]
    has = {one.role: one.value for one in row.values() if one.real}
    within = reading.log.protocol.limits.dry_within_mm
    if "paper_point_depth" not in has or has["paper_point_depth"].short_mm > within:
        return False
    if "dryness" not in has or not set(has["dryness"].options) <= set(getattr(sealer, "dryness", ())):
        return False
    if has["dryness"].options == ("dry",):
        return True
    return "damp_mm" in has and bool(has["damp_mm"].value <= getattr(sealer, "damp_max_mm", Decimal(0)))


def rinsed(reading: Reading, canal: int) -> bool:
    """What was rinsed through a canal that joins did not reach all of this one: only its own rinses count."""
    cut, needed = reading.last_file(canal, "cut"), reading.log.protocol.limits.final_rinse
    uses = reading.past(canal).uses
    used = [use.family for use in uses if use.kind == "rinse" and use.key > cut and not use.outside]
    return all(used.count(family) >= needed.count(family) for family in needed)


def lots(reading: Reading, canal: int, asks: Sequence[Remark]) -> bool:
    """The last set-up of the sealer, and of every kind of cones, is in date, or its ask was passed."""
    chosen = reading.past(canal).latest("sealer")
    sealers = {chosen.value.options[0]} if chosen is not None else set()
    cones = {one.id for one in reading.log.protocol.item if one.category == "cone"}
    for wanted in (sealers, cones):
        last: dict[str, tuple[Key, int, str, Row]] = {}
        for (step, number), row in reading.past(0).rows.items():
            item = next((one for one in row.values() if one.role == "item" and one.real), None)
            for identity in item.value.options if item is not None else ():
                this = (min(one.key for one in row.values()), number, step, row)
                if identity in wanted and (identity not in last or this[:2] > last[identity][:2]):
                    last[identity] = this
        if not last or not all(_in_date(reading, step, row, asks) for _, _, step, row in last.values()):
            return False
    return True


def _in_date(reading: Reading, step: str, row: Row, asks: Sequence[Remark]) -> bool:
    first = reading.log.header
    item = next(one for one in row.values() if one.role == "item")
    expiry = next((one for one in row.values() if one.role == "item_expiry"), None)
    if item.outside or (expiry is not None and expiry.key < item.key):
        return False
    if expiry is None or not expiry.real:
        seqs = {one.seq for one in row.values()}
        about = [one for one in asks if one.step == step and set(one.evidence) & seqs]
        return bool(about) and all(one.key in reading.log.departed for one in about)
    until = (expiry.value.year, expiry.value.month, expiry.value.day or 31)
    return until >= (first.t.year, first.t.month, first.t.day)
