"""A document is one that the FHIR library reads, and that an independent look at its JSON finds whole."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import datetime
from pathlib import Path
from uuid import RFC_4122, UUID
from xml.etree import ElementTree

import pytest
from fhir.resources.R4B.bundle import Bundle
from msgspec import structs

from stepper.facts import entries as kinds
from stepper.note.fhir.document import render
from stepper.note.outputs import FORMATS, tell
from tests.cases import Log, examined, fill, opened, shaped
from tests.note.fhir.documents import (
    FILE,
    SAMPLES,
    code_of,
    document_of,
    entries_of,
    of,
    resources,
    sample,
    strings,
    told_of,
    walked,
)
from tests.note.test_addendum import sign
from tests.note.visits import ended_early, eventful, four_canals

VISITS = (four_canals, ended_early, eventful)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_library_reads_every_sample_and_holds_all_of_it(path: Path) -> None:
    told = sample(path)
    data = FORMATS["fhir"](told)
    read = Bundle.model_validate_json(data)
    written = json.loads(data)
    assert read.type == "document"
    assert len(read.entry) == len(written["entry"])
    assert [one.resource.get_resource_type() for one in read.entry] == [
        one["resource"]["resourceType"] for one in written["entry"]
    ]
    assert read.model_dump(mode="json") == json.loads(read.model_dump_json())
    assert json.loads(read.model_dump_json()) == json.loads(data, parse_float=float)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_an_independent_look_finds_a_sample_whole(path: Path) -> None:
    """Without the library and without the program's own check: the rules of a FHIR document, by their words (seen)."""
    document = document_of(sample(path))
    assert (document["resourceType"], document["type"]) == ("Bundle", "document")
    assert document["identifier"]["system"] == "urn:ietf:rfc:3986"
    assert document["identifier"]["value"].startswith("urn:uuid:")
    assert datetime.fromisoformat(document["timestamp"]).tzinfo is not None
    urls = [one["fullUrl"] for one in document["entry"]]
    assert len(set(urls)) == len(urls)
    assert [one["resource"]["resourceType"] for one in document["entry"]].index("Composition") == 0
    referred = {str(one) for where, one in walked(document) if where.endswith(".reference")}
    assert referred == set(urls[1:])
    assert all(one["fullUrl"] == f"urn:uuid:{one['resource']['id']}" for one in document["entry"])
    assert all(one not in ("", [], {}, None) for _, one in walked(document))


@pytest.mark.parametrize("visit", VISITS)
def test_the_sections_are_those_of_the_note_in_its_words(visit: object) -> None:
    told = told_of(visit())  # type: ignore[operator]
    first = resources(document_of(told), "Composition")[0]
    assert [one["title"] for one in first["section"]] == [*(one.title for one in told.note.sections), "Attached"]
    for section, written in zip(told.note.sections, first["section"], strict=False):
        words = ElementTree.fromstring(written["text"]["div"])
        said = [one.text or "" for one in words.iter() if one.tag.endswith(("}p", "}td"))]
        assert said == [one.marked for one in (*section.cells, *section.sentences)]
    heads = ElementTree.fromstring(first["text"]["div"])
    assert [one.text for one in heads] == [one.marked for one in told.note.heads]


def test_the_patient_is_a_number_and_nothing_else() -> None:
    log = Log(patient="0070318")
    log.correct(0, patient="4712")
    patient = resources(of(log), "Patient")[0]
    assert set(patient) == {"resourceType", "id", "identifier"}
    assert [one["value"] for one in patient["identifier"] if "system" not in one] == ["4712"]
    assert entries_of(patient) == (0, 1)


def test_a_number_that_only_the_practice_knows_has_no_system() -> None:
    """Else patient 4711 of one practice would be that of another."""
    document = of(four_canals())
    for kind in ("Patient", "Practitioner"):
        for one in resources(document, kind):
            assert "system" not in one["identifier"][1]


def test_people_are_numbers_and_initials_and_only_those_of_the_visit() -> None:
    log = eventful()
    people = resources(of(log), "Practitioner")
    assert [one["identifier"][1]["value"] for one in people] == ["1", "2", "3"]
    assert all("name" not in one for one in people)
    assert {one.number for one in log.plan.person} >= {1, 2, 3}


def test_who_took_the_keyboard_or_signed_is_there_though_they_keyed_nothing() -> None:
    log = Log()
    log.log(kinds.Relief, person=3)
    sign(log)
    log.entries[-1] = structs.replace(log.entries[-1], person=7, initials="XY")
    people = resources(of(log), "Practitioner")
    assert [one["identifier"][1]["value"] for one in people] == ["1", "2", "3", "7"]
    assert [one.get("name") for one in people] == [None, None, None, [{"text": "XY"}]]


def test_a_mark_stands_before_the_words_of_a_cell_too() -> None:
    log = shaped(opened(examined(Log()), "mb"))
    fill(log, outside=True)
    sections = {one["title"]: one for one in resources(of(log), "Composition")[0]["section"]}
    assert ">OUTSIDE THE CHAIN: filled</td>" in sections["Canals"]["text"]["div"]


def test_practice_is_marked_in_every_resource_and_in_the_title() -> None:
    document = of(four_canals(practice=True))
    label = {
        "system": "http://terminology.hl7.org/CodeSystem/v3-ActReason",
        "code": "HTEST",
        "display": "test health data",
    }
    for one in (document, *(entry["resource"] for entry in document["entry"])):
        assert one["meta"] == {"security": [label]}
    assert resources(document, "Composition")[0]["title"].startswith("PRACTICE")


def test_the_record_of_a_treatment_has_no_such_mark() -> None:
    document = of(four_canals(practice=False))
    assert not [where for where, _ in walked(document) if where.endswith(".meta")]
    assert not [one for one in strings(document) if "PRACTICE" in one]


def test_a_document_is_as_old_as_its_last_entry() -> None:
    log = Log(off="-03:30")
    log.answer("diagnosis", complaint="biting")
    document = of(log)
    assert document["timestamp"] == "2026-03-02T04:30:20-03:30"
    assert resources(document, "Composition")[0]["date"] == "2026-03-02T04:30:20-03:30"


def test_ids_are_those_of_the_session_and_its_entries() -> None:
    """The same entries give the same ids, another session other ones, and one entry more another document."""
    log, again, more = four_canals(), four_canals(), four_canals()
    more.log(kinds.Resume, app="test")
    documents = [of(one) for one in (log, again, more)]
    ids = [{one["resource"]["id"] for one in document["entry"]} for document in documents]
    assert ids[0] == ids[1]
    assert len(ids[0] - ids[2]) == 2, "only the note and the log are others"
    assert documents[0]["id"] == documents[1]["id"] != documents[2]["id"]
    assert {(UUID(one).version, UUID(one).variant) for one in ids[0]} == {(5, RFC_4122)}


def test_no_two_sessions_share_an_id() -> None:
    log, other = four_canals(), four_canals()
    other.entries[0] = structs.replace(other.entries[0], sid="another")
    documents = [of(one) for one in (log, other)]
    ids = [{document["id"], *(one["resource"]["id"] for one in document["entry"])} for document in documents]
    assert not ids[0] & ids[1]
    marks = [{one["resource"]["identifier"][0]["value"] for one in document["entry"][1:]} for document in documents]
    assert not marks[0] & marks[1]


def test_nothing_is_claimed_of_a_regulation() -> None:
    """TRAP (domain.md, section 13): features alone do not make a record compliant with 21 CFR Part 11."""
    said = " ".join(strings(of(four_canals()))).lower()
    assert "compliant" not in said
    assert "21 cfr" not in said


def test_a_code_has_the_same_words_wherever_it_stands() -> None:
    displays: dict[str, set[str]] = {}
    for visit in VISITS:
        for one in resources(of(visit()), "Observation"):
            for coded in (one, *one.get("component", [])):
                displays.setdefault(code_of(coded), set()).add(coded["code"]["coding"][0]["display"])
    assert all(len(words) == 1 for words in displays.values()), displays


def test_the_library_is_loaded_only_for_this_format() -> None:
    code = (
        "import sys, stepper.note.outputs, stepper.cli.note\nprint(any(n.split('.')[0] == 'fhir' for n in sys.modules))"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout == "False\n"


def test_a_session_with_nothing_but_its_header_has_a_document() -> None:
    document = document_of(tell(Log().case(), [FILE]))
    kinds_there = [one["resource"]["resourceType"] for one in document["entry"]]
    assert kinds_there == ["Composition", "Patient", "Practitioner", "Practitioner", "DocumentReference"]
    assert render(tell(Log().case(), [FILE])).endswith(b"}\n")
