"""How each canal ended, with the figures that a reader looks for first."""

from __future__ import annotations

from collections.abc import Iterator

from stepper.case.fit import cone_of, last_fit, master_file, technique_of
from stepper.case.state import Case
from stepper.facts.entries import Joined
from stepper.facts.state import Canal
from stepper.facts.values import Instrument
from stepper.kinds.outcome import DRESSED, FILLED, FILLED_OUTSIDE, JOINS, outcome_of
from stepper.kinds.rules.over_gauge import gauged_row
from stepper.kinds.words import plain
from stepper.note.phrases import asked_as
from stepper.note.shape import OUTSIDE, Sentence, rests_on
from stepper.note.words import canal_name, show
from stepper.sums.iso3630 import name

Part = tuple[str, tuple[int, ...]]
"""Some words, and the entries they came from."""


def outcomes(case: Case) -> Iterator[Sentence]:
    """Give one sentence for each canal."""
    for canal in case.told.canals.values():
        ended, entries = _ended(case, canal)
        parts = [part for part in (*_length(case, canal), *_sizes(case, canal), *_level(case, canal)) if part[0]]
        said = "; ".join(text for text, _ in parts)
        text = f"{canal.name} (canal {canal.number}): {ended}." + (f" {said[0].upper()}{said[1:]}." if said else "")
        mark = OUTSIDE if outcome_of(case.told, canal.number) == FILLED_OUTSIDE else ""
        yield Sentence(text, rests_on((*entries, *(seq for _, seqs in parts for seq in seqs))), mark)


def _ended(case: Case, canal: Canal) -> Part:
    outcome = outcome_of(case.told, canal.number)
    if outcome is None:
        return "no outcome is recorded", ()
    if outcome in (FILLED, FILLED_OUTSIDE) and canal.fill is not None:
        return outcome.replace("_outside", " outside the chain"), (canal.fill.seq,)
    if outcome == JOINS and canal.joins is not None:
        joins = [one for one in case.entries if isinstance(one, Joined) and one.canal == canal.number]
        where = f" at {plain(canal.join_at_mm)} mm" if canal.join_at_mm is not None else ""
        return f"joins {canal_name(case, canal.joins)}{where}", tuple(one.seq for one in joins[-1:])
    role = "outcome" if case.told.role("outcome", canal.number) is not None else "dressing"
    text, seqs = _by_role(case, canal.number, role)
    return (f"{DRESSED}, {text}" if role == "dressing" else text), seqs


def _length(case: Case, canal: Canal) -> Iterator[Part]:
    if canal.length is None:
        return
    reference, seqs = _by_role(case, canal.number, "reference")
    told = f"working length {plain(canal.length.mm)} mm" + (f" from the {reference}" if reference else "")
    yield told, (canal.length.seq, *seqs)


def _sizes(case: Case, canal: Canal) -> Iterator[Part]:
    view, number = case.told, canal.number
    gauged = gauged_row(view, number, case.protocol.limits)
    gauge = gauged.get("gauge_file") if gauged is not None else None
    if gauge is not None and isinstance(gauge.value, Instrument):
        yield f"gauged {name(gauge.value.size, gauge.value.taper)} at length", (gauge.seq,)
    declared = master_file(view, number)
    if declared is not None:
        yield f"master apical file {name(declared[1].size, declared[1].taper)}", (declared[0].seq,)
    fit = last_fit(view, number)
    cone = cone_of(fit) if fit is not None else None
    if fit is not None and cone is not None:
        technique = technique_of(view, case.protocol, number)
        said = view.role("technique", number)
        yield f"last cone fitted {name(cone.size, cone.taper)}", fit.seqs
        if technique is not None and said is not None:
            yield technique.label, (said.seq,)


def _level(case: Case, canal: Canal) -> Iterator[Part]:
    """Say how deep the fill came: what its own step asks as a depth."""
    for row in case.told.rows_with("fill", canal.number):
        step = case.protocol.by_step[row.step]
        for question in step.question:
            fact = row.facts.get(question.id)
            if question.kind == "depth" and fact is not None and not fact.absent:
                shown = show(case.protocol, question, fact.value)
                yield f"{asked_as(case, step.id, question.id)}: {shown}", (fact.seq,)


def _by_role(case: Case, canal: int, role: str) -> Part:
    """Write the latest real fact of a role as its question shows it."""
    latest = case.told.role(role, canal)
    if latest is None:
        return "", ()
    asked = [(step, question) for step in case.protocol.step for question in step.question if question.role == role]
    question = next(one for step, one in asked if case.told.fact(f"{step.id}.{one.id}", canal) == latest)
    return show(case.protocol, question, latest.value), (latest.seq,)
