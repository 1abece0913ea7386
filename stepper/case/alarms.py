"""The alarms that no protocol can mute: patient, tooth, cone, allergy, expired lot, hypochlorite without dam.

They go by roles, weigh as stops and ring twice; the protocol only words them. The sixth sound, a fill while its gate is
shut, is the gate's own.
"""

from __future__ import annotations

from collections.abc import Iterator

from stepper.case.fit import cone_of, last_fit, master_file, matches, outdated, technique_of
from stepper.facts.entries import TOOTH
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import Fact, Row, View
from stepper.facts.values import Choice, Digits, Expiry
from stepper.kinds.judging import Seen
from stepper.kinds.tables import AnyItem, Solution
from stepper.kinds.words import year_first
from stepper.protocol.models import Protocol
from stepper.protocol.roles import ALARM_NAMES
from stepper.sums.expiry import expired
from stepper.sums.iso3630 import name

BEFORE = frozenset({"allergy", "expired", "no_dam"})
"""The alarms that hold an act back before it is logged; the others judge a fact that is logged in any case."""

FACT_ALARMS = frozenset({"patient", "tooth", "cone"})
"""The alarms about a fact that is logged in any case: what rests on it is held back."""

NAMES = ALARM_NAMES
"""The rule names that a protocol may not take."""

CHECKS = {
    "patient_check": "patient",
    "tooth_check": "tooth",
    "tooth_counted": "tooth",
    "tooth_opened": "tooth",
}
"""The blind questions that are compared with the header, and which member of it."""


def differs(view: View, role: str | None, value: str) -> bool:
    """Tell whether the answer of a blind question is not what the header says."""
    return role in CHECKS and value != getattr(view, CHECKS[role])


def on_row(seen: Seen, protocol: Protocol, row: Row) -> Iterator[Remark]:
    """Judge one row for an expired lot, an allergy and hypochlorite without dam."""
    item_fact = row.get("item") or row.get("irrigant")
    item = _item(seen, row)
    if item_fact is None or item is None:
        return
    expiry = row.get("item_expiry")
    if expiry is not None and isinstance(expiry.value, Expiry):
        when = expiry.value
        if expired(when.year, when.month, seen.today, when.day):
            text = protocol.wording.expired.format_map({"item": item.label, "expiry": year_first(when)})
            yield _stop("expired", row.step, row.canal, (item_fact.seq, expiry.seq), text)
    yield from _allergy(seen, protocol, row)
    rinse = row.get("irrigant") is not None and isinstance(item, Solution) and item.family == "hypochlorite"
    if rinse and isinstance(item, Solution) and not dam_on(seen.view, row):
        text = protocol.wording.no_dam.format_map({"solution": item.label})
        yield _stop("no_dam", row.step, row.canal, (item_fact.seq,), text)


def standing(seen: Seen, protocol: Protocol, canal: int) -> Iterator[Remark]:
    """Judge what stands: patient and tooth against the header, the last cone against the master apical file."""
    if canal == TOOTH:
        yield from _identity(seen, protocol)
        yield from allergies_met(seen, protocol)
        return
    fit, declared = last_fit(seen.view, canal), master_file(seen.view, canal)
    technique = technique_of(seen.view, seen.tables, canal)
    cone = cone_of(fit) if fit is not None else None
    cone_fact = fit.get("cone") if fit is not None else None
    if fit is None or cone is None or cone_fact is None or declared is None or technique is None:
        return
    if outdated(seen.view, fit):
        return  # the fit is reopened already and has to be repeated: ringing for it would be noise
    if not matches(technique, cone, declared[1]):
        words = {
            "cone": name(cone.size, cone.taper),
            "file": name(declared[1].size, declared[1].taper),
            "technique": technique.label,
        }
        text = protocol.wording.cone.format_map(words)
        yield _stop("cone", fit.step, canal, (cone_fact.seq, declared[0].seq), text)


def allergies_met(seen: Seen, protocol: Protocol) -> Iterator[Remark]:
    """Judge everything set up or used against the allergies as they stand, whichever was logged first."""
    allergies = seen.view.role("allergies", TOOTH)
    said = set(allergies.value.options) if allergies is not None and isinstance(allergies.value, Choice) else set()
    if not said or not any(said & set(item.allergens) for item in seen.tables.item):
        return
    for rows in seen.view.rows.values():
        for row in rows:
            yield from _allergy(seen, protocol, row)


def identity_open(seen: Seen) -> bool:
    """Tell whether patient or tooth were answered otherwise than the header says, or not since the header changed."""
    answered = {role: seen.view.role(role, TOOTH) for role in CHECKS}
    for role, fact in answered.items():
        if fact is None:
            if role in ("patient_check", "tooth_check"):
                return True
            continue
        if not isinstance(fact.value, Digits) or differs(seen.view, role, fact.value.value):
            return True
        if stale(seen.view, fact):
            return True
    return seen.view.header_unconfirmed


def stale(view: View, fact: Fact) -> bool:
    """Tell whether an answer of the time-out is older than the header it was compared with, and has to be given anew.

    The tooth that was opened is a deed, not a question: it stays as it was.
    """
    return fact.role in CHECKS and fact.role != "tooth_opened" and fact.place < view.header_place


def dam_on(view: View, row: Row | None = None) -> bool:
    """Tell whether the dam is on, as it stands or stood at a row: the last word counts, also one without a fact."""
    rows = (one for found in view.held.get("dam", {}).values() for one in found)
    said = [fact for one in rows for fact in one.facts.values() if fact.role == "dam"]
    if row is not None and row.facts:
        said = [fact for fact in said if fact.place < row.last_place]
    last = max(said, key=lambda fact: fact.place, default=None)
    return last is not None and isinstance(last.value, Choice) and last.value.options[:1] == ("on",)


def _identity(seen: Seen, protocol: Protocol) -> Iterator[Remark]:
    for step in protocol.step:
        for question in step.question:
            fact = seen.view.fact(f"{step.id}.{question.id}", TOOTH) if question.role in CHECKS else None
            if fact is None or question.role is None or not isinstance(fact.value, Digits) or stale(seen.view, fact):
                continue
            if differs(seen.view, question.role, fact.value.value):
                which = CHECKS[question.role]
                wording = protocol.wording.patient if which == "patient" else protocol.wording.tooth
                text = wording.format_map({"question": question.prompt})
                yield _stop(which, step.id, TOOTH, (fact.seq,), text)


def _allergy(seen: Seen, protocol: Protocol, row: Row) -> Iterator[Remark]:
    fact, item = row.get("item") or row.get("irrigant"), _item(seen, row)
    allergies = seen.view.role("allergies", TOOTH)
    if fact is None or item is None or allergies is None or not isinstance(allergies.value, Choice):
        return
    met = sorted(set(allergies.value.options) & set(item.allergens))
    if met:
        words = {"item": item.label, "allergen": ", ".join(met).replace("_", " ")}
        text = protocol.wording.allergy.format_map(words)
        yield _stop("allergy", row.step, row.canal, (allergies.seq, fact.seq), text)


def _item(seen: Seen, row: Row) -> AnyItem | None:
    chosen = row.options("item") or row.options("irrigant")
    return seen.tables.by_id(chosen[0]) if chosen else None


def _stop(rule: str, step: str, canal: int, evidence: tuple[int, ...], text: str) -> Remark:
    return Remark(rule, Weight.STOP, step, canal, tuple(sorted(set(evidence))), text, sound=2)
