"""What a root canal record should hold, item by item, and how a protocol tells the program where it asks for it.

The list is a composite one, written down from memory (MEMORY-med) and by common practice, without a source: neither of
the two published guides to records in endodontics could be read. It is a reminder, not a standard.

An item goes by a role where there is one; a question is marked with the others: `holds = ["chief_complaint"]`.
`not_held_by` are the options of a question that say that the item is not there; `spares` says which items have no place
after an answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from stepper.kinds.union import AnyQuestion
from stepper.protocol.asked import offers
from stepper.protocol.models import Protocol
from stepper.protocol.problems import Problem, Where, nearest

SOURCE = "from memory; common practice, no source"
"""How the list is known; it stands wherever the list is shown."""


@dataclass(frozen=True, slots=True)
class Held:
    """One item: its words, whether of the tooth (T) or of each canal (C), and the role that tells it, if one does.

    `every`: each marked question is needed, in each of its rows; else one answer is enough. `of` says that it has a
    place only in a canal that was filled, or only in one that was not. `own`: the program knows where it stands.
    """

    label: str
    scope: Literal["T", "C"] = "T"
    role: str = ""
    every: bool = False
    of: Literal["", "filled", "not_filled"] = ""
    own: bool = False


ITEMS: dict[str, Held] = {
    "identity": Held("Identity, and the date of the visit", own=True),
    "medical_history": Held("Medical history, and its update", every=True),
    "chief_complaint": Held("Complaint", every=True),
    "tests": Held("Tests", every=True),
    "control_tooth": Held("Tests on a control tooth", every=True),
    "pulpal_diagnosis": Held("Pulpal diagnosis", every=True),
    "apical_diagnosis": Held("Apical diagnosis", every=True),
    "options_and_risks": Held("Options and risks", every=True),
    "consent_given": Held("Consent", every=True),
    "anaesthetic": Held("Anaesthetic: drug, concentration, vasoconstrictor", every=True),
    "anaesthetic_amount": Held("Anaesthetic: amount", every=True),
    "tooth_isolated": Held("Isolation", role="dam"),
    "canal_name": Held("Canal, by name", "C", own=True),
    "reference_point": Held("Reference point", "C", role="reference"),
    "length": Held("Working length", "C", role="working_length"),
    "length_found_by": Held("How the length was found", "C"),
    "last_file": Held("Last apical file, size and taper", "C", role="master_apical_file"),
    "irrigants": Held("Irrigants, with concentration", "C", role="irrigant"),
    "medicament": Held("Medicament", "C", role="dressing", of="not_filled"),
    "filling_material": Held("Filling material", "C", role="cone", of="filled"),
    "sealer": Held("Sealer", "C", role="sealer", of="filled"),
    "technique": Held("Filling technique", "C", role="technique", of="filled"),
    "level": Held("Level of the fill", "C", role="fill_level", of="filled"),
    "radiograph_date": Held("Radiograph, with its date", every=True),
    "radiograph_finding": Held("Radiograph, with its finding", every=True),
    "restoration": Held("Restoration, temporary or final", every=True),
    "complications": Held("Complications", own=True),
    "patient_told": Held("What the patient was told of complications", every=True),
    "instructions": Held("Instructions to the patient", every=True),
    "recall": Held("Recall plan", every=True),
    "author": Held("Author of each entry", own=True),
}
"""Every item, in the order in which it is shown."""

MARKED = {name: one for name, one in ITEMS.items() if not one.own and not one.role}
"""The items that a protocol marks questions with."""


def check_holding(protocol: Protocol) -> Iterator[Problem]:
    """Look that questions are marked with items that there are, in a step of the right scope."""
    for place, step in enumerate(protocol.step):
        for at, question in enumerate(step.question):
            where: Where = ("step", place, "question", at)
            yield from _items(where, protocol, question)
            for item in question.holds:
                if item in MARKED and MARKED[item].scope != step.scope:
                    yield Problem((*where, "holds"), f"{item!r} belongs in a step of scope {MARKED[item].scope}")
    for place, incident in enumerate(protocol.incident):
        for at, question in enumerate(incident.question):
            yield from _items(("incident", place, "question", at), protocol, question)
            if wrong := [item for item in question.holds if item in MARKED and item != "patient_told"]:
                where = ("incident", place, "question", at, "holds")
                yield Problem(where, f"{wrong[0]!r} is not asked about an incident", "allowed: patient_told")


def _items(where: Where, protocol: Protocol, question: AnyQuestion) -> Iterator[Problem]:
    spared = question.spares.items if question.spares is not None else ()
    for way, items in (((*where, "holds"), question.holds), ((*where, "spares", "items"), spared)):
        for item in items:
            if item not in MARKED:
                yield Problem(way, f"{item!r} is nothing that a question is marked with", nearest(item, MARKED))
    yield from offers((*where, "not_held_by"), protocol, question, question.not_held_by)
    if question.spares is not None:
        yield from offers((*where, "spares", "any"), protocol, question, question.spares.any)
