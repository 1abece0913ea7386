"""What an earlier visit brings along: as the program carries a session over, or drawn at random."""

from __future__ import annotations

import random
from collections.abc import Iterator

from stepper.case.carry import carry
from stepper.facts.carried import CarriedCanal
from stepper.facts.record import written
from tests.machine.chart import Chart, Value
from tests.machine.score import Score
from tests.machine.walk import Walk
from tests.oracle.gate import declared_file
from tests.oracle.past import Past

OUTCOMES = (None, None, "dressed", "dressed", "not_treated", "blocked", "fragment", "left_undressed")


def brought(chart: Chart, draw: random.Random, score: Score, before: Walk | None) -> list[Value]:
    """Give the members of the `carried` entries that a second visit opens with."""
    if before is not None and before.case.told.canals and draw.random() < 0.5:
        score.drawn["carried by the program"] += 1
        canals = carry(before.case)
        for text in amiss(before, canals):
            before.violation(f"carried over: {text}")
        return [written(one) for one in canals]
    score.drawn["carried at random"] += 1
    found = [_drawn(chart, draw, canal) for canal in range(1, draw.randint(1, 3) + 1)]
    if draw.random() < 0.1:
        found.append(_drawn(chart, draw, 1))  # a second word on a canal does not count
    return found


def amiss(before: Walk, canals: tuple[CarriedCanal, ...]) -> Iterator[str]:
    """Hold what is carried over against the oracle: nothing unsure may open a gate, nothing done may be forgotten."""
    told = before.readings[0][0]
    if {one.canal: one.name for one in canals} != told.names:
        yield "the canals are others"
        return
    for one in canals:
        sure = [reading for reading, _ in before.readings if reading.names.get(one.canal) == one.name]
        pasts = [reading.past(one.canal) for reading in sure]
        certain = len(sure) == len(before.readings)
        if one.length is not None and not (certain and all(_stands(past, one.length.mm) for past in pasts)):
            yield f"canal {one.canal}: length {one.length.mm} is not sure"
        if one.master is not None and not (certain and all(_declares(past, one) for past in pasts)):
            yield f"canal {one.canal}: the master apical file is not sure"
        if any(reading.filled(one.canal) for reading in sure) != (one.fill is not None):
            yield f"canal {one.canal}: whether it is filled"
        if one.fill is not None and one.fill.gate_open and not before.filled_rightly(one.canal):
            yield f"canal {one.canal}: counts as filled"
        yield from _files(one, pasts, certain=certain)


def _stands(past: Past, mm: object) -> bool:
    length = past.length()
    return length[0] == mm if length is not None else past.waits == mm


def _declares(past: Past, one: CarriedCanal) -> bool:
    declared, length = declared_file(past), past.length()
    if declared is None or one.master is None or declared.outside:
        return False
    same = (declared.value.size, declared.value.taper) == (one.master.size, one.master.taper)
    return same and (declared.key >= length[1] if length is not None else past.waits is not None)


def _files(one: CarriedCanal, pasts: list[Past], *, certain: bool) -> Iterator[str]:
    """Every file that was in the canal comes along; what counts for the gate does so in every reading."""
    known = {(file.size, file.taper, file.purpose, file.absolute_mm) for file in one.files}
    counted = {(file.size, file.taper, file.purpose, file.absolute_mm) for file in one.files if not file.against}
    for past in pasts:
        uses = [use for use in (*past.brought, *past.uses) if use.kind == "file"]
        told = {(use.value.size, use.value.taper, use.purpose, use.absolute) for use in uses}
        inside = {(use.value.size, use.value.taper, use.purpose, use.absolute) for use in uses if not use.outside}
        if told - known:
            yield f"canal {one.canal}: files are forgotten: {told - known}"
        if counted - inside or (counted and not certain):
            yield f"canal {one.canal}: files are not sure: {counted - inside}"


def _drawn(chart: Chart, draw: random.Random, canal: int) -> Value:
    chosen, taper, mm = draw.choice([25, 30, 35]), draw.choice(["0.04", "0.04", "0.06"]), draw.choice([20, 20, 21])
    files: list[Value] = [
        _file(draw, draw.choice([20, 25, 30, 35]), draw.choice(["0.02", "0.04"]), mm, draw.choice([0, 1, 3]))
        for _ in range(draw.randint(0, 2))
    ]
    members: Value = {"canal": canal, "name": chart.labels[canal]}
    if draw.random() < 0.9:
        members["length"] = {"mm": str(mm), "of": 3}
    if draw.random() < 0.7:
        value = {"kind": "choice", "options": [draw.choice(["buccal_cusp", "mesiobuccal_cusp"])]}
        members["reference"] = {"value": value, "of": 3}
    if draw.random() < 0.8:
        members["master"] = {"size": chosen, "taper": taper, "of": 9}
        files.append(_file(draw, chosen, taper, mm, 0))
    members["files"] = files
    if draw.random() < 0.1:
        members["fill"] = {"gate_open": draw.random() < 0.5, "of": 20}
    if canal > 1 and draw.random() < 0.2:
        members["joins"] = {"into": 1, **({"at_mm": "19"} if draw.random() < 0.5 else {})}
    outcome = draw.choice(OUTCOMES)
    return members | ({"outcome": outcome} if outcome else {})


def _file(draw: random.Random, hundredths: int, taper: str, mm: int, short_mm: int) -> Value:
    known: Value = {"absolute_mm": str(mm - short_mm)} if draw.random() < 0.9 else {}
    against: Value = {"against": True} if draw.random() < 0.1 else {}
    purpose = draw.choice(["cut", "cut", "cut", "patency", "recapitulate"])
    file: Value = {"size": hundredths, "taper": taper, "short_mm": str(short_mm), "purpose": purpose, "of": 7}
    return file | known | against
