"""A resource of the document: made in one place, so that each has an id, its mark and the entries that it rests on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any
from uuid import UUID, uuid5

from stepper.case.state import Case
from stepper.facts.entries import Answer, Carried
from stepper.lines.refusal import visible
from stepper.note.addendum import not_signed
from stepper.note.fhir import codes
from stepper.note.noted import numbers
from stepper.note.shape import rests_on
from stepper.note.words import canal_name, local
from stepper.sums.iso3950 import describe, is_tooth

Tree = dict[str, Any]
"""Members of a resource as JSON has them, but with decimals that keep their digits."""

_DAY_MIN = 24 * 60


@dataclass(frozen=True, slots=True)
class Piece:
    """A resource and the entries that it rests on."""

    resource: Tree
    entries: tuple[int, ...]

    @property
    def url(self) -> str:
        """Its name within the document."""
        return f"urn:uuid:{self.resource['id']}"

    @property
    def reference(self) -> Tree:
        """What refers to it."""
        return {"reference": self.url}


@dataclass(frozen=True, slots=True)
class Maker:
    """A case, and what every resource made of it has in common. `subject` is the patient, once that one is made."""

    case: Case
    subject: Tree | None = None
    space: UUID = field(init=False)
    unsure: frozenset[int] = field(init=False)
    covered: bool = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "space", uuid5(codes.SESSIONS, visible(self.case.header.sid)))
        object.__setattr__(self, "unsure", frozenset(self.case.unconfirmed))
        object.__setattr__(self, "covered", bool(self.case.signatures) and not not_signed(self.case))

    @property
    def meta(self) -> Tree:
        """The mark of what was keyed for practice; nothing for the record of a treatment."""
        return {"meta": {"security": [dict(codes.TEST_DATA)]}} if self.case.header.practice else {}

    def piece(self, kind: str, what: str, entries: Iterable[int], **members: object) -> Piece:
        """Make a resource; `what` says what it is, in words that no other of its kind has."""
        seqs = rests_on(entries)
        name = visible(f"{self.case.header.sid}: {what} @ {numbers(seqs)}")
        own = {"system": codes.RESTS_ON, "value": name}
        more = members.pop("identifier", ())
        assert isinstance(more, list | tuple)
        identifier = own if kind == "Composition" else [own, *more]
        start = {"resourceType": kind, "id": self.id_of(f"{kind} {name}"), **self.meta, "identifier": identifier}
        return Piece(start | {key: value for key, value in members.items() if value not in (None, [])}, seqs)

    def id_of(self, name: str) -> str:
        """Give the id of something of this session: the same name, the same id."""
        return str(uuid5(self.space, name))

    @property
    def status(self) -> str:
        """How far the note can be relied on.

        What was added after a signature and is not signed itself was verified by nobody: as "amended" is defined, that
        is not enough for it.
        """
        if self.case.void is not None:
            return "entered-in-error"
        if not self.covered:
            return "preliminary"
        return "final" if self.case.signed_up_to == self.case.signatures[0].seq else "amended"

    def status_of(self, entries: Iterable[int]) -> str:
        """Say the same of what rests on some entries."""
        seqs = frozenset(entries)
        if self.case.void is not None:
            return "entered-in-error"
        if not self.case.signatures or max(seqs, default=0) > self.case.signed_up_to or seqs & self.unsure:
            return "preliminary"
        return "amended" if max(seqs, default=0) > self.case.signatures[0].seq else "final"

    def when(self, seq: int) -> dt.datetime | None:
        """Tell when what an entry says happened, on the clock it was keyed under; None where that is not known."""
        entry = self.case.entries[self.case.root(seq)]
        ago = (entry.ago_min or 0) if isinstance(entry, Answer) else 0
        if isinstance(entry, Carried) or ago > _DAY_MIN:
            return None
        return local(entry) - dt.timedelta(minutes=ago)

    def site(self, canal: int = 0) -> Tree:
        """Name the tooth by its code, where it has one, and in words; and the canal, which has no code, in words."""
        tooth = self.case.told.tooth
        name = canal_name(self.case, canal)
        words = f"tooth {tooth} (FDI)" + (f", {describe(tooth)}" if is_tooth(tooth) else "")
        site: Tree = {"text": f"{words}, canal {canal} {name}" if canal else words}
        if is_tooth(tooth):
            site["coding"] = [{"system": codes.TEETH, "code": tooth, "display": describe(tooth)}]
        return site


def kind_of(code: str, words: str, what: str = "") -> Tree:
    """Name a kind of thing by a code of our own and in words; `what` says which one it is."""
    text = f"{words}: {what}" if what else words
    return {"coding": [{"system": codes.KINDS, "code": code, "display": words}], "text": text}


def quantity(value: Decimal, code: str, *, least: bool = False) -> Tree:
    """Give a figure with its unit; `least`: it is that much or more."""
    comparator = {"comparator": ">="} if least else {}
    return {"value": value, **comparator, "unit": codes.UCUM_CODES[code], "system": codes.UNITS, "code": code}


def number_in(text: str, words: str, heading: str = "") -> Tree:
    """Give a number that only the practice knows whose it is: it has no system, so that no two are taken for one."""
    return {"type": {"text": words}, "value": text} | ({"assigner": {"display": heading}} if heading else {})
