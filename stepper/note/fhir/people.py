"""The patient by number alone, and the people of the visit by number and initials: no name of anybody."""

from __future__ import annotations

from collections.abc import Iterator

from stepper.case.state import Case
from stepper.facts.entries import AnyEntry, Correction, Relief
from stepper.facts.signature import Signature
from stepper.note.fhir.piece import Maker, Piece, number_in

PATIENT = "number of the patient in the practice's own list"
PERSON = "number of the person in the practice's own list"


def patient(make: Maker) -> Piece:
    """Give the patient, as corrected."""
    case = make.case
    mended = [one.seq for one in case.entries if isinstance(one, Correction) and _mends(case, one)]
    number = number_in(case.told.patient, PATIENT)
    return make.piece("Patient", "patient", (0, *mended), identifier=[number])


def people(make: Maker) -> dict[int, Piece]:
    """Give everybody who did, said, keyed or signed something, by number, each from where they are first named."""
    first: dict[int, int] = {}
    for entry in make.case.entries:
        for number in _named_in(entry):
            first.setdefault(number, entry.seq)
    return {number: _person(make, number, first[number]) for number in sorted(first)}


def _person(make: Maker, number: int, seq: int) -> Piece:
    signed = [one for one in make.case.signatures if one.person == number]
    known = next((one.initials for one in make.case.protocol.person if one.number == number), None)
    initials = signed[-1].initials if signed else known
    entries = (seq, *(one.seq for one in signed[-1:]))
    name = [{"text": initials}] if initials else None
    told = {"identifier": [number_in(str(number), PERSON)], "name": name}
    return make.piece("Practitioner", f"person {number}", entries, **told)


def _mends(case: Case, entry: Correction) -> bool:
    return entry.how == "keyed_wrong" and "patient" in entry.values and case.root(entry.of) == 0


def _named_in(entry: AnyEntry) -> Iterator[int]:
    if entry.seq == 0:
        yield getattr(entry, "clinician")  # noqa: B009 - the header alone has it
    if entry.by is not None:
        yield entry.by
    if isinstance(entry, Relief | Signature):
        yield entry.person
    said_by = getattr(entry, "said_by", None)
    if said_by is not None:
        yield said_by
