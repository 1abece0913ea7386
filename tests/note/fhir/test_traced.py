"""Every resource and every figure comes from entries of the log, or from them by a named function."""

from __future__ import annotations

import json
from collections.abc import Callable
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.case.state import Case
from stepper.facts import entries as kinds
from stepper.facts.entries import Correction, Previous
from stepper.facts.record import written
from stepper.facts.values import Number
from stepper.kinds.all_computed import COMPUTED
from stepper.note.outputs import Told, tell
from stepper.note.rinses import rinses_by_solution
from stepper.sums.gauging.words import outward
from tests.cases import Log, ready
from tests.note.fhir.documents import FILE, SAMPLES, code_of, document_of, entries_of, sample, strings
from tests.note.test_random import brought, log_one
from tests.note.visits import ended_early, eventful, four_canals

VISITS = (four_canals, ended_early, eventful)
Check = Callable[[Case, dict[str, Any], str], bool]


def keyed(case: Case, one: dict[str, Any], figure: str) -> bool:
    """The figure stands, to the digit, in an entry that the resource names."""
    return any(f'"{figure}"' in json.dumps(written(case.entries[seq])) for seq in entries_of(one))


def of_size(case: Case, one: dict[str, Any], figure: str) -> bool:
    """The figure is a hundredth of a size that stands in an entry."""
    size = f'"size": {int(Decimal(figure) * 100)},'
    return any(size in json.dumps(written(case.entries[seq])) for seq in entries_of(one))


def computed(name: str) -> Check:
    """The figure is that of a computed value, rounded outward where it is a bound."""

    def check(case: Case, one: dict[str, Any], figure: str) -> bool:
        canal = int(one["bodySite"]["text"].rsplit("canal ", 1)[1].split()[0]) if "bodySite" in one else 0
        found = COMPUTED[name].of(case.seen(case.told), canal)
        exact = found.value if found is not None else None
        assert isinstance(exact, Decimal)
        return Decimal(figure) in (exact, *outward(exact, exact))

    return check


def in_dose(case: Case, one: dict[str, Any], figure: str) -> bool:
    """mg and mL are the volumes in its entries, but for corrected ones, times the strength of the agent."""
    agent = next(item for item in case.protocol.item if one["code"]["text"].endswith(item.label))
    entries = [case.entries[seq] for seq in entries_of(one)]
    instead = {one.of for one in entries if isinstance(one, Correction) and "volume" in one.values}
    said = [one.values.get("volume") for one in entries if one.seq not in instead]
    volumes = [value for value in said if isinstance(value, Number)]
    ml = sum((volume.value for volume in volumes), Decimal(0))
    return Decimal(figure) in (ml, ml * agent.mg_per_ml)


def in_table(case: Case, one: dict[str, Any], figure: str) -> bool:
    """The figure is that of the note's own table of solutions."""
    table = rinses_by_solution(case)
    assert table is not None
    solution = one["code"]["text"].removeprefix("Irrigant: ")
    name = one["bodySite"]["text"].rsplit("canal ", 1)[1].split(" ", 1)[1]
    row = next(cells for cells in table.rows if (cells[0].text, cells[1].text) == (solution, name))
    words = " ".join(cell.text for cell in row[2:]).replace(",", " ").split()
    plain = format(Decimal(figure).normalize(), "f")
    return plain in words or sum(int(n) for n, unit in pairwise(words) if unit == "s") == int(Decimal(figure))


TRACED: dict[str, Check] = {
    "working-length": keyed,
    "cone-seat": keyed,
    "fill-level": keyed,
    "damp": keyed,
    "body-weight": keyed,
    "tip-diameter": of_size,
    "low": computed("width_least_mm"),
    "width-by-gauging": computed("width_most_mm"),
    "width-if-held-at-tip": computed("width_most_if_held_mm"),
    "local-anaesthetic": in_dose,
    "epinephrine": computed("epinephrine_ug"),
    "irrigant": in_table,
}
"""How each figure is traced; a new kind of figure fails until it has its line."""


def figures(one: dict[str, Any]) -> list[tuple[str, str]]:
    """Every figure of an observation, with the name of how it is traced."""
    own, found = code_of(one), []
    for part in (one, *one.get("component", [])):
        code = code_of(part) if code_of(part) in TRACED else own
        found += [(code, part["valueQuantity"]["value"])] if "valueQuantity" in part else []
        found += [(code, part["valueInteger"])] if "valueInteger" in part else []
        span = part.get("valueRange", {})
        found += [("low" if end == "low" else code, span[end]["value"]) for end in span]
    return found


def trace(told: Told) -> int:
    """Trace every resource and every figure of a document; tell how many figures there were."""
    document, count = document_of(told), 0
    for entry in document["entry"]:
        one = entry["resource"]
        seqs = entries_of(one)
        assert seqs
        assert tuple(sorted(set(seqs))) == seqs
        assert seqs[-1] < len(told.case.entries)
        for code, figure in figures(one) if one["resourceType"] == "Observation" else []:
            assert TRACED[code](told.case, one, figure), (code, figure, one)
            count += 1
        if one["resourceType"] == "Device" and "lotNumber" in one:
            said = [json.dumps(written(told.case.entries[seq]), ensure_ascii=False) for seq in seqs]
            assert any(f'"{one["lotNumber"]}"' in text for text in said)
    return count


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_figure_of_a_sample_is_traced(path: Path) -> None:
    assert trace(sample(path)) > 5


@pytest.mark.parametrize("visit", VISITS)
def test_every_figure_of_a_visit_is_traced(visit: Callable[[], Log]) -> None:
    assert trace(tell(visit().case(), [FILE])) > 15


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data(), st.integers(1, 20), st.booleans())
def test_any_log_becomes_a_sound_document(data: st.DataObject, more: int, second: bool) -> None:
    log = Log(previous=Previous(sid="first-visit", head="ab" * 32)) if second else ready(Log())
    for canal in (1, 2) if second else ():
        log.log(kinds.Carried, **brought(canal))
    log.answer("diagnosis", complaint="biting")
    for _ in range(more):
        log_one(data.draw, log)
    told = tell(log.case(), [FILE])
    trace(told)
    assert all(one.isprintable() for one in strings(document_of(told)))
