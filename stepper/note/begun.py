"""Which steps were begun, which never were, and which were left when the visit ended early."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from stepper.case.slots import carried_over, needless
from stepper.case.state import Case
from stepper.case.walk import Status, status
from stepper.facts.entries import TOOTH
from stepper.kinds.outcome import FILLED, FILLED_OUTSIDE, JOINS, outcome_of
from stepper.note.carried import ended_earlier
from stepper.note.first import endings
from stepper.note.outcomes import NOT_TREATED
from stepper.note.shape import Sentence
from stepper.note.words import canal_name
from stepper.protocol.models import Step


def canals_of(case: Case, step: Step) -> Sequence[int]:
    """Give the canals that a step is asked for; the tooth's own number for a step of the tooth."""
    return (TOOTH,) if step.scope == "T" else sorted(case.told.canals)


def begun(case: Case, step: Step, canal: int) -> bool:
    """Tell whether anything was logged in a step."""
    if step.scope == "T":
        return any(rows for (name, _), rows in case.told.rows.items() if name == step.id)
    return bool(case.told.rows_of(step.id, canal))


def unneeded(case: Case, step: Step, canal: int) -> bool:
    """Tell whether a step has no place in a canal.

    None has in one that was not treated or ended at an earlier visit, nor has shaping where it is carried over, a
    dressing in one that is filled, filling and dressing in one that joins.
    """
    if canal != TOOTH and (ended_earlier(case, canal) or carried_over(case, step, canal)):
        return True
    outcome = outcome_of(case.told, canal) if canal != TOOTH else None
    roles = {question.role for question in step.question}
    dressing, filling = "dressing" in roles, "fill" in roles
    if outcome == JOINS:
        return dressing or filling
    return outcome == NOT_TREATED or (dressing and outcome in (FILLED, FILLED_OUTSIDE))


def never_begun(case: Case, *, ended_early: bool) -> list[str]:
    """Name the steps that were never begun; either those that the early end of the visit explains, or the others."""
    found: list[str] = []
    for step in case.protocol.step:
        if needless(case, step) is not ended_early:
            continue
        canals = [canal for canal in canals_of(case, step) if _idle(case, step, canal)]
        if canals or (step.scope == "C" and not case.told.canals):
            found.append(_named(case, step, canals))
    return found


def early_end(case: Case) -> Iterator[Sentence]:
    """Say that the visit ended early, and of which steps nothing was recorded, or a part.

    What nobody recorded may have been done: no more is said than that.
    """
    if case.ending is None:
        return
    yield from endings(case)
    entries = (0, case.ending.seq)
    never = never_begun(case, ended_early=True)
    if never:
        yield Sentence(f"Nothing was recorded, in this visit that ended early, of: {', '.join(never)}.", entries)
    left = [
        _named(case, step, canals)
        for step in case.protocol.step
        if (canals := [canal for canal in canals_of(case, step) if _unfinished(case, step, canal)])
    ]
    if left:
        yield Sentence(f"Recorded in part, in this visit that ended early: {', '.join(left)}.", entries)


def _idle(case: Case, step: Step, canal: int) -> bool:
    declared = (step.id, canal) in case.told.declared
    return not begun(case, step, canal) and not declared and not unneeded(case, step, canal)


def _unfinished(case: Case, step: Step, canal: int) -> bool:
    left = needless(case, step) and begun(case, step, canal) and not unneeded(case, step, canal)
    declared = (step.id, canal) in case.told.declared
    return left and not declared and status(case, step, canal) is Status.NOT_DONE


def _named(case: Case, step: Step, canals: Sequence[int]) -> str:
    names = [canal_name(case, canal) for canal in canals if canal != TOOTH]
    if not names:
        return step.title
    return f"{step.title} ({'all canals' if 1 < len(names) == len(case.told.canals) else ', '.join(names)})"
