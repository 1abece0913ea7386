"""The note as an HL7 FHIR R4B document: a Bundle with its Composition first.

The same log gives the same bytes on any machine: ids are made from the session and the entries, and the document is as
old as the last entry, whenever it is written.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING

from stepper.facts.signature import Signature
from stepper.note.doses import dosing
from stepper.note.fhir import codes, narrative
from stepper.note.fhir.canals import procedure
from stepper.note.fhir.checked import check
from stepper.note.fhir.given import doses, irrigants
from stepper.note.fhir.library import read_by_library
from stepper.note.fhir.logs import logs
from stepper.note.fhir.measured import measured
from stepper.note.fhir.people import patient, people
from stepper.note.fhir.piece import Maker, Piece, Tree, kind_of
from stepper.note.fhir.things import Things, things
from stepper.note.fhir.written import shown, written
from stepper.note.outcomes import canal_table
from stepper.note.shape import Note, Section
from stepper.note.words import local
from stepper.protocol import sections as titles

if TYPE_CHECKING:
    from stepper.note.outputs import Told

PRACTICE = "PRACTICE, not the record of a treatment"
ATTESTED = ("final", "amended")
"""When the signatures cover all that the note says."""

ATTACHED = "Attached"
"""The section of what no section of the note is about, the log first of all."""


def render(told: Told) -> bytes:
    """Write a note as a FHIR document, in UTF-8. A fault in it is one of this program, and raises `Unsound`."""
    bundle = read_by_library(shown(document(told)))
    check(bundle)
    return written(bundle).encode()


def document(told: Told) -> Tree:
    """Make the Bundle."""
    make = Maker(told.case)
    whose = patient(make)
    make = replace(make, subject=whose.reference)
    last = told.case.entries[-1]
    at = local(last).isoformat()
    everybody = people(make)
    by_title = _by_title(make, everybody)
    by_title.setdefault(ATTACHED, []).extend(logs(make, told.files, everybody[told.case.header.clinician], at))
    pieces = (_composition(make, told.note, by_title, everybody, at), whose, *chain.from_iterable(by_title.values()))
    own = make.id_of(f"Bundle {last.seq}")
    return {
        "resourceType": "Bundle",
        "id": own,
        **make.meta,
        "identifier": {"system": codes.URIS, "value": f"urn:uuid:{own}"},
        "type": "document",
        "timestamp": at,
        "entry": [{"fullUrl": piece.url, "resource": piece.resource} for piece in pieces],
    }


def _by_title(make: Maker, everybody: Mapping[int, Piece]) -> dict[str, list[Piece]]:
    """Give the resources by the title of the section that is about them."""
    devices, step = things(make), dosing(make.case)
    found = {
        titles.CANALS: _canals(make, everybody, devices),
        titles.MATERIALS: devices.all,
        titles.KEYED_BY: list(everybody.values()),
    }
    found.setdefault(step.title if step is not None else ATTACHED, []).extend(doses(make))
    return found


def _canals(make: Maker, everybody: Mapping[int, Piece], devices: Things) -> list[Piece]:
    """Give each canal's procedure and after it what was measured and given in it."""
    table = canal_table(make.case)
    found: list[Piece] = []
    for canal, row in zip(make.case.told.canals.values(), table.rows if table is not None else (), strict=True):
        used = devices.used.get(canal.number, [])
        whole = procedure(make, canal, row, everybody, used)
        found += [whole, *measured(make, canal, whole), *irrigants(make, canal, whole)]
    return found


def _composition(
    make: Maker, note: Note, by_title: Mapping[str, Sequence[Piece]], everybody: Mapping[int, Piece], at: str
) -> Piece:
    """Give the Composition: the note's sections in their order, each with the resources that it is about."""
    case = make.case
    return make.piece(
        "Composition",
        "note",
        range(len(case.entries)),
        text=narrative.heads(note.heads),
        status=make.status,
        type=kind_of("note", note.title),
        subject=make.subject,
        date=at,
        author=[everybody[case.header.clinician].reference],
        title=f"{PRACTICE}: {note.title}" if case.header.practice else note.title,
        attester=[_attester(one, everybody) for one in case.signatures] if make.status in ATTESTED else None,
        section=list(_sections(note.sections, by_title)),
    )


def _attester(signed: Signature, everybody: Mapping[int, Piece]) -> Tree:
    """Say who signed, and when: a person signs a record as what they are by profession."""
    party = everybody[signed.person].reference
    return {"mode": "professional", "time": local(signed).isoformat(), "party": party}


def _sections(sections: Sequence[Section], by_title: Mapping[str, Sequence[Piece]]) -> Iterator[Tree]:
    for section in sections:
        entry = [piece.reference for piece in by_title.get(section.title, ())]
        yield {"title": section.title, "text": narrative.told(section)} | ({"entry": entry} if entry else {})
    there = {section.title for section in sections}
    rest = [piece.reference for title, found in by_title.items() if title not in there for piece in found]
    if rest:
        yield {"title": ATTACHED, "entry": rest}
