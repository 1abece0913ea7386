"""What must be true of a document and the library does not look at. A fault here is the program's, never the log's.

The rules bdl-1 to bdl-11 are those of FHIR's Bundle (their words seen); the others are named where they stand.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import Final

from stepper.note.fhir import codes
from stepper.note.fhir.narrative_checked import narrative_faults
from stepper.note.fhir.piece import Tree
from stepper.sums.iso3950 import is_tooth

_ID: Final = re.compile(r"[A-Za-z0-9\-.]{1,64}")
_CODE: Final = re.compile(r"\S+( \S+)*")
_DAY: Final = r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])"
_CLOCK: Final = r"T([01]\d|2[0-3]):[0-5]\d:([0-5]\d|60)(\.\d+)?"
_INSTANT: Final = re.compile(_DAY + _CLOCK + r"(Z|[+-](0\d|1[0-3]):[0-5]\d|[+-]14:00)")
_DATE: Final = re.compile(_DAY)
_TIMES: Final = frozenset({"timestamp", "date", "time", "start", "end", "effectiveDateTime"})
_RESTS_ON: Final = re.compile(r".+: .+ @ \d+(-\d+)?(, \d+(-\d+)?)*")
_NAMELESS: Final = frozenset({"resourceType", "id", "meta", "identifier"})
"""All that is told of a patient."""

_REFERS_TO: Final[Mapping[str, frozenset[str]]] = {
    "subject": frozenset({"Patient"}),
    "author": frozenset({"Practitioner"}),
    "party": frozenset({"Practitioner"}),
    "actor": frozenset({"Practitioner"}),
    "recorder": frozenset({"Practitioner"}),
    "partOf": frozenset({"Procedure"}),
    "derivedFrom": frozenset({"Observation"}),
    "usedReference": frozenset({"Device"}),
    "target": frozenset({"DocumentReference"}),
    "entry": frozenset({"Procedure", "Observation", "Device", "DocumentReference", "Practitioner"}),
}
"""What each element may refer to here: always less than FHIR lets it (seen in the library)."""

Place = tuple[str, object]
"""Where something stands, such as `Composition.section.text`, and what."""


class Unsound(Exception):  # noqa: N818 - it is a verdict on the document
    """A document that must not be written; it says all that is wrong with it."""


def check(bundle: Tree) -> None:
    """Refuse a document with any fault."""
    found = faults(bundle)
    if found:
        raise Unsound("; ".join(found))


def faults(bundle: Tree) -> list[str]:
    """Say everything that is wrong with a document."""
    places = [place for tree in (bundle, *_resources(bundle)) for place in _walked(str(tree.get("resourceType")), tree)]
    of_all = (fault for rule in _OF_ALL for fault in rule(bundle))
    return [*of_all, *(f"{where}: {fault}" for where, value in places for fault in _of_place(where, value))]


def _resources(bundle: Tree) -> list[Tree]:
    return [entry.get("resource", {}) for entry in bundle.get("entry", [])]


def _walked(where: str, value: object) -> Iterator[Place]:
    """Give each value with its place; the resources of a Bundle are told by themselves."""
    yield where, value
    if isinstance(value, dict):
        for key, one in value.items():
            if (where, key) != ("Bundle.entry", "resource"):
                yield from _walked(f"{where}.{key}", one)
    elif isinstance(value, list):
        for one in value:
            yield from _walked(where, one)


def _bundle(bundle: Tree) -> Iterator[str]:
    entries, identifier = bundle.get("entry", []), bundle.get("identifier", {})
    if "total" in bundle or any({"search", "request", "response"} & set(entry) for entry in entries):
        yield "bdl-1 to bdl-4: a document has no total, search, request or response"
    if not identifier.get("system") or not identifier.get("value"):
        yield "bdl-9: a document has an identifier with system and value"
    if not bundle.get("timestamp"):
        yield "bdl-10: a document has a timestamp"
    kinds = [one.get("resourceType") for one in _resources(bundle)]
    if kinds[:1] != ["Composition"] or kinds.count("Composition") != 1:
        yield "bdl-11: a document has one Composition, and it comes first"
    if kinds.count("Patient") != 1:
        yield "a document has one Patient"
    for entry in entries:
        if entry.get("fullUrl") != f"urn:uuid:{entry.get('resource', {}).get('id')}":
            yield f"fullUrl {entry.get('fullUrl')}: is not that of its resource"


def _references(bundle: Tree) -> Iterator[str]:
    """Follow every reference from the Composition on: each leads to a resource, and to each leads one."""
    urls = [entry.get("fullUrl") for entry in bundle.get("entry", [])]
    if len(set(urls)) < len(urls):
        yield "bdl-7: two resources have the same fullUrl"
    known = dict(zip(urls, _resources(bundle), strict=True))
    waiting, reached = urls[:1], set(urls[:1])
    for url in urls:
        for where, to in _referred(known[url]):
            may_be, kind = _REFERS_TO.get(where.rsplit(".", 1)[-1], frozenset()), known.get(to, {}).get("resourceType")
            if to not in known:
                yield f"{where}: refers to {to}, which is not in the document"
            elif kind not in may_be:
                yield f"{where}: refers to a {kind}"
    while waiting:
        more = {to for _, to in _referred(known[waiting.pop()]) if to in known} - reached
        reached |= more
        waiting += more
    yield from (f"{url}: nothing refers to it" for url in urls if url not in reached)


def _referred(resource: Tree) -> Iterator[tuple[str, str]]:
    for where, value in _walked(str(resource.get("resourceType")), resource):
        if isinstance(value, dict) and "reference" in value:
            yield where, value["reference"]


_OF_ALL: Final[tuple[Callable[[Tree], Iterator[str]], ...]] = (_bundle, _references)


def _of_place(where: str, value: object) -> Iterator[str]:
    if isinstance(value, float):
        yield "a float has lost its digits"
    if value in ("", [], {}) or value is None:
        yield "is empty"
    allowed = codes.BOUND.get(where)
    if allowed is not None and value not in allowed:
        yield f"{value!r} is not one of its codes"
    if where.rsplit(".", 1)[-1] in _TIMES and isinstance(value, str) and not _INSTANT.fullmatch(value):
        yield f"{value} is no moment with its offset from UTC"
    if where == "Device.expirationDate" and not _DATE.fullmatch(str(value)):
        yield f"{value} is no day"
    if isinstance(value, dict):
        for rule in _OF_DICT:
            yield from rule(where, value)


def _resource(where: str, value: Tree) -> Iterator[str]:
    if "resourceType" not in value:
        return
    if not _ID.fullmatch(str(value.get("id", ""))):
        yield f"{value.get('id')} is no id"
    if where == "Patient" and set(value) - _NAMELESS:
        yield "says more of the patient than a number"
    if where in ("Bundle", "Composition"):
        own = [value.get("identifier", {})]
    else:
        own = [one for one in value.get("identifier", []) if one.get("system") == codes.RESTS_ON]
    if where != "Bundle" and not any(_RESTS_ON.fullmatch(str(one.get("value"))) for one in own):
        yield "does not say which entries it rests on"


def _coding(where: str, value: Tree) -> Iterator[str]:
    """Look at codes: each with its system; a tooth by ISO 3950 alone, since a bare 11 is another tooth in Universal."""
    for one in value.get("coding", []):
        if not one.get("system") or not _CODE.fullmatch(str(one.get("code", ""))):
            yield "a code without its system, or with spaces"
        if where.endswith(".bodySite") and (one.get("system") != codes.TEETH or not is_tooth(str(one.get("code")))):
            yield f"{one.get('system')} {one.get('code')} is no tooth of ISO 3950"


def _quantity(where: str, value: Tree) -> Iterator[str]:  # noqa: ARG001 - the same everywhere
    """Look at figures: qty-3, a code has its system; the units are few (rng-2: the lower end comes first)."""
    if "unit" in value or isinstance(value.get("value"), Decimal):
        code = str(value.get("code"))
        if value.get("system") != codes.UNITS or value.get("unit") != codes.UCUM_CODES.get(code, ""):
            yield f"{value.get('unit')} {code} is no unit of the document"
        if not isinstance(value.get("value"), Decimal) or not value["value"].is_finite():
            yield f"{value.get('value')} is no figure"
    if {"low", "high"} <= set(value) and value["low"].get("value", 0) > value["high"].get("value", 0):
        yield "rng-2: its lower end is above the upper one"


def _bound(where: str, value: Tree) -> Iterator[str]:  # noqa: ARG001 - the same everywhere
    for beside, members in codes.BOUND_ANYWHERE.items():
        for name, allowed in members.items() if beside in value else ():
            if value.get(name, next(iter(allowed))) not in allowed:
                yield f"{name} {value[name]!r} is not one of its codes"


def _text(where: str, value: Tree) -> Iterator[str]:
    if "div" in value:
        yield from narrative_faults(str(value["div"]))
    if where == "Composition.section" and not {"text", "entry", "section"} & set(value):
        yield "cmp-1: a section has a text or entries"


def _attachment(where: str, value: Tree) -> Iterator[str]:
    """Look at what is attached: att-1, data has a type; its size and its SHA-1 are those of the data."""
    if not where.endswith(".attachment"):
        return
    data = base64.b64decode(str(value.get("data", "")))
    if not value.get("contentType"):
        yield "att-1: data has a contentType"
    sha1 = hashlib.sha1(data, usedforsecurity=False).digest()
    if value.get("size") != len(data) or value.get("hash") != base64.b64encode(sha1).decode():
        yield "size or hash is not that of the data"


_OF_DICT: Final = (_resource, _coding, _quantity, _bound, _text, _attachment)
