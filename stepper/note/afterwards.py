"""What was corrected, or keyed as having happened earlier, after a canal was filled.

A filled canal stays filled. Whether its gate would have been open is judged anew: on all that stood when the fill was
logged, with the later corrections, late facts and confirmations about it. A reason that was given after the fill opened
no gate then, and opens none now; it is told of.
"""

from __future__ import annotations

from collections.abc import Iterator

from stepper.case.fold import answered, apply, begin
from stepper.case.gate import shut
from stepper.case.judge import unanswered
from stepper.case.state import Case
from stepper.facts.entries import TOOTH, Answer, AnyEntry, Confirm, Correction, Resume
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import Canal, joined
from stepper.note.words import canal_name

RULE = "changed_after_fill"


def after_fill(case: Case) -> list[Remark]:
    """Give a remark for each canal whose evidence changed after its fill: a stop if its gate was shut, else a tell."""
    return [remark for canal in case.told.canals.values() for remark in _after(case, canal)]


def _after(case: Case, canal: Canal) -> Iterator[Remark]:
    if canal.fill is None or not canal.fill.gate_open:
        return
    fill = case.entries[case.root(canal.fill.seq)]
    later = [one for one in case.entries[fill.seq + 1 :] if _about(case, one, fill, canal.number)]
    if not later or not isinstance(fill, Answer):
        return
    then = _then(case, fill, {one.seq for one in later})
    reasons = shut(then, canal.number)
    since = [
        case.departures[one.key] for one in unanswered(then, then.told, canal.number) if one.key in case.departures
    ]
    name = canal_name(case, canal.number)
    what = " ".join(_what(one, name) for one in later)
    why = "; ".join(one.rstrip(".") for one in reasons.values())
    verdict = (
        f"As the record stands now, its gate was shut: {why}. It stays filled."
        if reasons
        else "Its gate would have been open all the same."
    )
    weight = Weight.STOP if reasons else Weight.TELL
    given = (
        f" Reasons were given only after the fill: {', '.join(f'entry {one.seq}' for one in since)}." if since else ""
    )
    evidence = (fill.seq, *(one.seq for one in later), *(one.seq for one in since))
    yield Remark(RULE, weight, fill.step, canal.number, evidence, f"{what} {verdict}{given}")


def _about(case: Case, entry: AnyEntry, fill: AnyEntry, canal: int) -> bool:
    """Tell whether a later entry is about what the fill of a canal rested on."""
    reach = (TOOTH, *joined(case.told, canal))
    if isinstance(entry, Answer):
        return bool(entry.ago_min) and case.places[entry.seq] < case.places[fill.seq] and entry.canal in reach
    if not isinstance(entry, Correction):
        return False
    target = answered(case, entry)
    if target is None:
        return case.root(entry.of) == 0
    return target.seq < fill.seq and target.canal in reach


def _then(case: Case, fill: Answer, later: set[int]) -> Case:
    """Fold what stood before the fill, with what was said later about it; all else only keeps its number."""
    then = begin(case.protocol, case.header)
    for entry in case.entries[1:]:
        kept = entry.seq < fill.seq or entry.seq in later or isinstance(entry, Confirm)
        apply(then, entry if kept else _place_holder(entry))
    return then


def _place_holder(entry: AnyEntry) -> Resume:
    return Resume(
        seq=entry.seq,
        t=entry.t,
        off=entry.off,
        tz=entry.tz,
        mono_us=entry.mono_us,
        boot=entry.boot,
        by=entry.by,
        app="",
    )


def _what(entry: AnyEntry, name: str) -> str:
    if isinstance(entry, Correction):
        return f"Entry {entry.of} was corrected after {name} was filled."
    return f"Entry {entry.seq}, keyed after {name} was filled, is said to have happened before."
