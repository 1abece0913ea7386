"""The judgement: every remark that the record as it stands calls for, and how far each is answered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from stepper.case import alarms
from stepper.case.state import Case
from stepper.facts.entries import TOOTH
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import Row, View
from stepper.kinds.judging import Rule


class Standing(StrEnum):
    """How a remark stands: open, passed with a reason, owed, or of a fact logged outside the chain."""

    OPEN = "open"
    PASSED = "passed"
    OWED = "owed"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class Judged:
    """A remark and how it stands."""

    remark: Remark
    standing: Standing


def row_remarks(case: Case, view: View, row: Row) -> dict[str, Remark]:
    """Judge one row of a view by the rules of its step, by the alarms and by the limits of its questions."""
    step = case.protocol.by_step[row.step]
    seen = case.seen(view)
    found: dict[str, Remark] = {}
    for rule in step.rule:
        finding = rule.on_row(seen, row)
        if finding is not None:
            text = rule.text.format_map(dict(finding.gaps))
            found[rule.id] = Remark(rule.id, rule.weight, row.step, row.canal, finding.evidence, text, rule.sound)
    for remark in alarms.on_row(seen, case.protocol, row):
        found[remark.rule] = remark
    for question in step.question:
        fact = row.facts.get(question.id)
        unusual = question.unusual(fact.value) if fact is not None else None
        if fact is not None and unusual is not None:
            name = f"unusual_{row.step}_{question.id}"
            found[name] = Remark(name, Weight.TELL, row.step, row.canal, (fact.seq,), unusual)
    return found


def remarks(case: Case, view: View) -> tuple[Remark, ...]:
    """Give every remark on a view once: those of its rows, then what stands for the tooth and each canal."""
    if view.judged is None:
        given = {remark.key for remark in view.row_remarks.values()}
        standing = (remark for remark in _standing(case, view) if remark.key not in given)
        view.judged = (*view.row_remarks.values(), *standing)
    return view.judged


def _standing(case: Case, view: View) -> Iterator[Remark]:
    seen = case.seen(view)
    rules = [(step.id, rule) for step in case.protocol.step for rule in step.rule if _stands(rule)]
    for canal in (TOOTH, *view.canals):
        for step, rule in rules:
            finding = rule.standing(seen, step, canal)
            if finding is not None:
                text = rule.text.format_map(dict(finding.gaps))
                yield Remark(rule.id, rule.weight, step, canal, finding.evidence, text, rule.sound)
        yield from alarms.standing(seen, case.protocol, canal)


def _stands(rule: Rule) -> bool:
    """Tell whether a kind of rule judges what stands, and not rows alone."""
    return type(rule).standing is not Rule.standing


def judge(case: Case) -> list[Judged]:
    """Judge all that was told: stops first, then asks, then what is only told."""
    judged = [Judged(remark, standing(case, remark)) for remark in remarks(case, case.told)]
    weights = list(Weight)
    return sorted(judged, key=lambda one: weights.index(one.remark.weight))


def standing(case: Case, remark: Remark) -> Standing:
    """Tell how far a remark is answered."""
    if remark.key in case.departures:
        return Standing.PASSED
    if remark.key in case.owed:
        return Standing.OWED
    if remark.weight is Weight.STOP and _outside(case, remark):
        return Standing.OUTSIDE
    return Standing.OPEN


def unanswered(case: Case, view: View, canal: int) -> list[Remark]:
    """Give the asks of a canal or of the tooth that nobody has answered; owed is not answered."""
    return [
        remark
        for remark in remarks(case, view)
        if remark.weight is Weight.ASK and remark.canal in (TOOTH, canal) and remark.key not in case.departures
    ]


def before_acts(case: Case, row: Row) -> list[Remark]:
    """Judge a row that is not logged yet, and give the remarks that hold the act back while it can be left undone."""
    step = case.protocol.by_step[row.step]
    holding = {rule.id for rule in step.rule if rule.before} | alarms.BEFORE
    return [remark for name, remark in row_remarks(case, case.told, row).items() if name in holding]


def _outside(case: Case, remark: Remark) -> bool:
    rows = case.told.rows_of(remark.step, remark.canal)
    return any(row.outside and set(row.seqs) & set(remark.evidence) for row in rows)
