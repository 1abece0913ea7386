"""The names and codes of FHIR that a document uses, each with how it is known.

*Seen*: on HL7's pages for R4B (4.3.0) or in what domain.md quotes of them. *From memory*: not seen. Where FHIR has no
code for what is meant, words stand for it, beside a code of our own: none was found for root canals, so a canal is
named in words beside its tooth.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final
from uuid import UUID, uuid5

TEETH: Final = "urn:iso:std:iso:3950"
"""Permanent and primary teeth by their two digits. The URN is formed as RFC 5141 says (from memory).

HL7's own list of teeth, `ex-tooth`, is not used (seen): it is an example with the status draft, has no primary teeth,
and its codes 3, 4, 7 and 8 say the reverse of ISO 3950. Nor are Universal numbers, which mean other teeth.
"""

UNITS: Final = "http://unitsofmeasure.org"
"""UCUM (seen)."""

URIS: Final = "urn:ietf:rfc:3986"
"""The system of an identifier that is itself a URI (seen)."""

TEST_DATA: Final = {
    "system": "http://terminology.hl7.org/CodeSystem/v3-ActReason",
    "code": "HTEST",
    "display": "test health data",
}
"""The label of what is no record of a patient (seen as a security label and as a tag)."""

GS1_ISSUER: Final = "http://hl7.org/fhir/NamingSystem/gs1-di"
"""Who issued a device identifier that is a GTIN (seen). HIBCC's name was seen spelt three ways, so none is given."""

XHTML: Final = "http://www.w3.org/1999/xhtml"

_OURS: Final = UUID("20bfb592-2212-4ff2-8a66-2b5493b28386")
"""Drawn once by chance: what all names of our own are made from."""


def our_system(name: str) -> str:
    """Give the URI of a list of codes or numbers of our own."""
    return f"urn:uuid:{uuid5(_OURS, name)}"


SESSIONS: Final = uuid5(_OURS, "sessions")
"""What the ids of a session's resources are made from."""

KINDS: Final = our_system("kinds of resource")
OUTCOMES: Final = our_system("outcomes of a canal")
CHAIN_HEADS: Final = our_system("last hash of a chain of entries")
RESTS_ON: Final = our_system("entries that a resource rests on")
"""An identifier of this system says what a resource is and, behind the `@`, the entries of the log it rests on."""

UCUM_CODES: Final[Mapping[str, str]] = {
    "mm": "mm",
    "mL": "mL",
    "mg": "mg",
    "ug": "µg",
    "kg": "kg",
    "min": "min",
    "s": "s",
}
"""The units of the document, UCUM code and how it is written (from memory of UCUM, high confidence)."""

_STATUS_OF_WORDS = frozenset({"preliminary", "final", "amended", "entered-in-error"})

BOUND: Final[Mapping[str, frozenset[str]]] = {
    "Bundle.type": frozenset({"document"}),
    "Composition.status": _STATUS_OF_WORDS,
    "Composition.attester.mode": frozenset({"personal", "professional", "legal", "official"}),
    "Composition.section.mode": frozenset({"working", "snapshot", "changes"}),
    "Procedure.status": frozenset(
        {"preparation", "in-progress", "not-done", "on-hold", "stopped", "completed", "entered-in-error", "unknown"}
    ),
    "Observation.status": _STATUS_OF_WORDS | {"registered", "corrected", "cancelled", "unknown"},
    "Device.status": frozenset({"active", "inactive", "entered-in-error", "unknown"}),
    "Device.deviceName.type": frozenset(
        {"udi-label-name", "user-friendly-name", "patient-reported-name", "manufacturer-name", "model-name", "other"}
    ),
    "Device.udiCarrier.entryType": frozenset({"barcode", "rfid", "manual", "card", "self-reported", "unknown"}),
    "DocumentReference.status": frozenset({"current", "superseded", "entered-in-error"}),
    "DocumentReference.docStatus": _STATUS_OF_WORDS,
    "DocumentReference.relatesTo.code": frozenset({"replaces", "transforms", "signs", "appends"}),
}
"""The codes that FHIR lets each element have, and no others.

Seen for R4B: those of Composition, of an attester and of a barcode's entry. Seen in the library, which does not hold
to them: of Procedure, Device, DocumentReference, a section's mode and the first four of Observation. From memory: the
rest of Observation, of a device's name and of relatesTo. A Bundle may be other things, but this one is a document.
"""

BOUND_ANYWHERE: Final[Mapping[str, Mapping[str, frozenset[str]]]] = {
    "div": {"status": frozenset({"generated", "extensions", "additional", "empty"})},
    "value": {"comparator": frozenset({"<", "<=", ">=", ">"})},
}
"""The same for what stands in many places, told by what stands beside it (narrative seen, comparators from memory)."""
