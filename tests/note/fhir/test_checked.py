"""Each rule that the library does not hold to, broken on purpose: the document is refused, and in these words."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from fhir.resources.R4B.bundle import Bundle

from stepper.note.fhir import document as documents
from stepper.note.fhir.checked import Unsound, check, faults
from stepper.note.fhir.document import document, render
from stepper.note.fhir.library import read_by_library
from stepper.note.fhir.written import shown
from tests.note.fhir.documents import told_of
from tests.note.visits import four_canals

Tree = dict[str, Any]
GONE = "urn:uuid:00000000-0000-5000-8000-000000000000"


def whole() -> Tree:
    """A document with something of every kind."""
    return read_by_library(shown(document(told_of(four_canals()))))


def first(bundle: Tree, kind: str, has: str = "id") -> Tree:
    """The first resource of a kind that has a member."""
    found = (one["resource"] for one in bundle["entry"] if one["resource"]["resourceType"] == kind)
    return next(one for one in found if has in one)


def no_identifier(bundle: Tree) -> None:
    del bundle["identifier"]


def half_an_identifier(bundle: Tree) -> None:
    del bundle["identifier"]["system"]


def no_timestamp(bundle: Tree) -> None:
    del bundle["timestamp"]


def timestamp_without_zone(bundle: Tree) -> None:
    bundle["timestamp"] = "2026-03-02T10:00:00"


def composition_last(bundle: Tree) -> None:
    bundle["entry"].append(bundle["entry"].pop(0))


def two_compositions(bundle: Tree) -> None:
    bundle["entry"].append(bundle["entry"][0])


def a_total(bundle: Tree) -> None:
    bundle["total"] = 3


def a_request(bundle: Tree) -> None:
    bundle["entry"][1]["request"] = {"method": "POST", "url": "Patient"}


def same_url(bundle: Tree) -> None:
    bundle["entry"].append(bundle["entry"][2])


def another_url(bundle: Tree) -> None:
    bundle["entry"][1]["fullUrl"] = GONE


def type_banana(bundle: Tree) -> None:
    bundle["type"] = "banana"


def type_message(bundle: Tree) -> None:
    bundle["type"] = "message"


def composition_banana(bundle: Tree) -> None:
    bundle["entry"][0]["resource"]["status"] = "banana"


def procedure_banana(bundle: Tree) -> None:
    first(bundle, "Procedure")["status"] = "banana"


def observation_banana(bundle: Tree) -> None:
    first(bundle, "Observation")["status"] = "done"


def device_banana(bundle: Tree) -> None:
    first(bundle, "Device")["status"] = "broken"


def device_name_banana(bundle: Tree) -> None:
    first(bundle, "Device")["deviceName"][0]["type"] = "nick-name"


def barcode_banana(bundle: Tree) -> None:
    first(bundle, "Device")["udiCarrier"] = [{"entryType": "eyes"}]


def log_banana(bundle: Tree) -> None:
    first(bundle, "DocumentReference")["status"] = "final"


def log_as_banana(bundle: Tree) -> None:
    first(bundle, "DocumentReference")["docStatus"] = "signed"


def follows_banana(bundle: Tree) -> None:
    first(bundle, "DocumentReference")["relatesTo"] = [{"code": "follows"}]


def attester_banana(bundle: Tree) -> None:
    bundle["entry"][0]["resource"]["attester"] = [{"mode": "electronic"}]


def narrative_banana(bundle: Tree) -> None:
    bundle["entry"][0]["resource"]["text"]["status"] = "made"


def comparator_banana(bundle: Tree) -> None:
    first(bundle, "Observation", "valueQuantity")["valueQuantity"]["comparator"] = "about"


def dangling(bundle: Tree) -> None:
    first(bundle, "Procedure")["subject"]["reference"] = GONE


def wrong_kind(bundle: Tree) -> None:
    procedure = first(bundle, "Procedure")
    procedure["subject"]["reference"] = f"urn:uuid:{procedure['id']}"


def orphan(bundle: Tree) -> None:
    del bundle["entry"][0]["resource"]["section"][-1]


def bad_id(bundle: Tree) -> None:
    entry = bundle["entry"][1]
    entry["resource"]["id"] = "70318 male"
    entry["fullUrl"] = "urn:uuid:70318 male"


def no_id(bundle: Tree) -> None:
    del first(bundle, "Device")["id"]


def inches(bundle: Tree) -> None:
    first(bundle, "Observation", "valueQuantity")["valueQuantity"] |= {"unit": "in", "code": "[in_i]"}


def unit_without_system(bundle: Tree) -> None:
    del first(bundle, "Observation", "valueQuantity")["valueQuantity"]["system"]


def unit_of_another_code(bundle: Tree) -> None:
    first(bundle, "Observation", "valueQuantity")["valueQuantity"]["unit"] = "cm"


def a_float(bundle: Tree) -> None:
    first(bundle, "Observation", "valueQuantity")["valueQuantity"]["value"] = 20.5


def not_a_number(bundle: Tree) -> None:
    first(bundle, "Observation", "valueQuantity")["valueQuantity"]["value"] = Decimal("NaN")


def upside_down(bundle: Tree) -> None:
    span = first(bundle, "Observation", "valueRange")["valueRange"]
    span["low"] = span["high"] | {"value": Decimal(9)}


def effective_without_zone(bundle: Tree) -> None:
    first(bundle, "Observation", "effectiveDateTime")["effectiveDateTime"] = "2026-03-02T10:00:00"


def period_of_a_day(bundle: Tree) -> None:
    first(bundle, "Procedure", "performedPeriod")["performedPeriod"]["start"] = "2026-03-02"


def day_nought(bundle: Tree) -> None:
    first(bundle, "Device", "expirationDate")["expirationDate"] = "2027-11-00"


def a_name(bundle: Tree) -> None:
    first(bundle, "Patient")["name"] = [{"text": "A"}]


def a_birthday(bundle: Tree) -> None:
    first(bundle, "Patient")["birthDate"] = "1970-01-01"


def no_entries(bundle: Tree) -> None:
    device = first(bundle, "Device")
    device["identifier"][0]["value"] = "a syringe"


def code_without_system(bundle: Tree) -> None:
    del first(bundle, "Procedure")["code"]["coding"][0]["system"]


def code_with_spaces(bundle: Tree) -> None:
    first(bundle, "Procedure")["code"]["coding"][0]["code"] = " root canal "


def empty_text(bundle: Tree) -> None:
    first(bundle, "Procedure")["code"]["text"] = ""


def empty_list(bundle: Tree) -> None:
    first(bundle, "Procedure")["note"] = []


def empty_section(bundle: Tree) -> None:
    del bundle["entry"][0]["resource"]["section"][0]["text"]


def other_hash(bundle: Tree) -> None:
    first(bundle, "DocumentReference")["content"][0]["attachment"]["hash"] = "AAAA"


def other_size(bundle: Tree) -> None:
    first(bundle, "DocumentReference")["content"][0]["attachment"]["size"] += 1


def no_content_type(bundle: Tree) -> None:
    del first(bundle, "DocumentReference")["content"][0]["attachment"]["contentType"]


BROKEN: list[tuple[Callable[[Tree], None], str]] = [
    (no_identifier, "bdl-9"),
    (half_an_identifier, "bdl-9"),
    (no_timestamp, "bdl-10"),
    (timestamp_without_zone, "Bundle.timestamp: 2026-03-02T10:00:00 is no moment"),
    (composition_last, "bdl-11"),
    (two_compositions, "bdl-11"),
    (a_total, "bdl-1"),
    (a_request, "bdl-1"),
    (same_url, "bdl-7"),
    (another_url, "is not that of its resource"),
    (type_banana, "Bundle.type: 'banana'"),
    (type_message, "Bundle.type: 'message'"),
    (composition_banana, "Composition.status: 'banana'"),
    (procedure_banana, "Procedure.status: 'banana'"),
    (observation_banana, "Observation.status: 'done'"),
    (device_banana, "Device.status: 'broken'"),
    (device_name_banana, "Device.deviceName.type: 'nick-name'"),
    (barcode_banana, "Device.udiCarrier.entryType: 'eyes'"),
    (log_banana, "DocumentReference.status: 'final'"),
    (log_as_banana, "DocumentReference.docStatus: 'signed'"),
    (follows_banana, "DocumentReference.relatesTo.code: 'follows'"),
    (attester_banana, "Composition.attester.mode: 'electronic'"),
    (narrative_banana, "status 'made' is not one of its codes"),
    (comparator_banana, "comparator 'about' is not one of its codes"),
    (dangling, "which is not in the document"),
    (wrong_kind, "Procedure.subject: refers to a Procedure"),
    (orphan, "nothing refers to it"),
    (bad_id, "is no id"),
    (no_id, "is no id"),
    (inches, "is no unit of the document"),
    (unit_without_system, "is no unit of the document"),
    (unit_of_another_code, "is no unit of the document"),
    (a_float, "a float has lost its digits"),
    (not_a_number, "is no figure"),
    (upside_down, "rng-2"),
    (effective_without_zone, "Observation.effectiveDateTime: 2026-03-02T10:00:00 is no moment"),
    (period_of_a_day, "Procedure.performedPeriod.start: 2026-03-02 is no moment"),
    (day_nought, "Device.expirationDate: 2027-11-00 is no day"),
    (a_name, "Patient: says more of the patient"),
    (a_birthday, "Patient: says more of the patient"),
    (no_entries, "Device: does not say which entries"),
    (code_without_system, "a code without its system"),
    (code_with_spaces, "a code without its system, or with spaces"),
    (empty_text, "is empty"),
    (empty_list, "is empty"),
    (empty_section, "cmp-1"),
    (other_hash, "size or hash"),
    (other_size, "size or hash"),
    (no_content_type, "att-1"),
]

NARRATIVES = [
    ("<p>a</p>", "is a div of XHTML"),
    ('<div xmlns="http://www.w3.org/1999/xhtml"><script>a</script></div>', "script is not allowed"),
    ('<div xmlns="http://www.w3.org/1999/xhtml"><a>b</a></div>', "a is not allowed"),
    ('<div xmlns="http://www.w3.org/1999/xhtml"><p onclick="b()">c</p></div>', "the attribute onclick"),
    ('<div xmlns="http://www.w3.org/1999/xhtml"><p>a &nbsp; b</p></div>', "is XHTML"),
    ('<div xmlns="http://www.w3.org/1999/xhtml"><p>a < b</p></div>', "is XHTML"),
    ('<div xmlns="http://www.w3.org/1999/xhtml"><p> </p></div>', "txt-2"),
    ('<div xmlns="http://www.w3.org/1999/xhtml"><!-- a --><p>b</p></div>', "no declarations"),
    ('<!DOCTYPE d [<!ENTITY a "b">]><div xmlns="http://www.w3.org/1999/xhtml"><p>&a;</p></div>', "no declarations"),
]


def test_a_whole_document_has_no_fault() -> None:
    assert faults(whole()) == []


@pytest.mark.parametrize(("spoil", "fault"), BROKEN, ids=lambda one: getattr(one, "__name__", ""))
def test_what_is_broken_is_refused(spoil: Callable[[Tree], None], fault: str) -> None:
    bundle = whole()
    spoil(bundle)
    assert [one for one in faults(bundle) if fault in one], faults(bundle)
    with pytest.raises(Unsound):
        check(bundle)


@pytest.mark.parametrize(("div", "fault"), NARRATIVES)
def test_a_narrative_that_is_more_than_words_is_refused(div: str, fault: str) -> None:
    bundle = whole()
    bundle["entry"][0]["resource"]["text"]["div"] = div
    assert [one for one in faults(bundle) if fault in one], faults(bundle)


@pytest.mark.parametrize(
    "spoil", [no_identifier, no_timestamp, composition_last, type_banana, procedure_banana, dangling]
)
def test_the_library_alone_would_take_it(spoil: Callable[[Tree], None]) -> None:
    """What record.md, section 6, measured: without the check of our own these would be written."""
    bundle = whole()
    spoil(bundle)
    Bundle.model_validate(bundle)


def test_nothing_is_written_of_a_document_with_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(documents, "read_by_library", lambda bundle: bundle | {"type": "banana"})
    with pytest.raises(Unsound, match="banana"):
        render(told_of(four_canals()))
