"""What is owed, and what the protocol asks for and nobody recorded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from stepper.case.judge import Standing
from stepper.case.state import Case
from stepper.facts.entries import TOOTH
from stepper.facts.state import FIRST, LAST, Row
from stepper.facts.values import Absent, Why
from stepper.kinds.asking import WHY_WORDS
from stepper.kinds.outcome import FILLED, FILLED_OUTSIDE, outcome_of
from stepper.kinds.union import AnyQuestion
from stepper.note.phrases import Read, asked_as, at, holds, placed, where
from stepper.note.shape import Sentence, rests_on
from stepper.note.words import canal_name
from stepper.protocol.models import Step

NOT_RECORDED = "not recorded"
NOT_TREATED = "not_treated"


def owed(read: Read) -> Iterator[Sentence]:
    """Give the reasons, facts and steps that are owed."""
    case = read.case
    for one in read.judged:
        if one.standing is Standing.OWED:
            entry = case.owed[one.remark.key]
            text = f"{placed(case, one.remark)} Reason owed since {at(case, entry)}."
            yield Sentence(text, rests_on((entry.seq, *one.remark.evidence)))
    for (step, canal), rows in sorted(case.told.rows.items()):
        facts = [(name, fact) for row in rows for name, fact in row.facts.items()]
        left = [(name, fact) for name, fact in facts if fact.value == Absent(why=Why.OWED)]
        if left:
            names = ", ".join(asked_as(case, step, name) for name, _ in left)
            yield Sentence(f"{where(case, step, canal)}: {names}.", rests_on(fact.seq for _, fact in left))
    for (step, canal), (how, _, seq) in sorted(case.told.declared.items()):
        if how == "owed":
            yield Sentence(f"{where(case, step, canal)}: the whole step, since {at(case, case.entries[seq])}.", (seq,))


def not_recorded(read: Read) -> Iterator[Sentence]:
    """Give what each step that was begun lacks, what was declared not done, and in one line what was never begun."""
    case = read.case
    never: list[str] = []
    for step in case.protocol.step:
        idle: list[str] = []
        for canal in _canals(case, step):
            declared = case.told.declared.get((step.id, canal))
            if _begun(case, step, canal):
                yield from _lacks(case, step, canal)
            elif declared is None and not _needless(case, step, canal):
                idle.append(canal_name(case, canal))
            if declared is not None and declared[0] == "not_done":
                said = at(case, case.entries[declared[2]])
                yield Sentence(f"{where(case, step.id, canal)}: declared not done at {said}.", (declared[2],))
        if idle or (step.scope == "C" and not case.told.canals):
            names = ", ".join(name for name in idle if name)
            never.append(f"{step.title} ({names})" if names else step.title)
    if never:
        yield Sentence(f"Never begun: {', '.join(never)}.", (0,))


def _canals(case: Case, step: Step) -> Sequence[int]:
    return (TOOTH,) if step.scope == "T" else sorted(case.told.canals)


def _begun(case: Case, step: Step, canal: int) -> bool:
    if step.scope == "T":
        return any(rows for (name, _), rows in case.told.rows.items() if name == step.id)
    return bool(case.told.rows_of(step.id, canal))


def _needless(case: Case, step: Step, canal: int) -> bool:
    """Tell whether a step has no place: any in a canal that was not treated, a dressing in one that is filled."""
    outcome = outcome_of(case.told, canal) if canal != TOOTH else None
    dressing = any(question.role == "dressing" for question in step.question)
    return outcome == NOT_TREATED or (dressing and outcome in (FILLED, FILLED_OUTSIDE))


def _lacks(case: Case, step: Step, canal: int) -> Iterator[Sentence]:
    """Say what the rows of a step lack, each row in a sentence of its own where there are many."""
    rows = case.told.rows_of(step.id, canal)
    if not step.many:
        own = tuple(question for question in step.question if not question.per_canal)
        yield from _row_lacks(case, step, canal, own, next((row for row in rows if row.number == 1), None))
        yield from _no_outcomes(case, step)
        return
    first = next((row for row in rows if row.number == FIRST), None)
    yield from _row_lacks(case, step, canal, step.part("first"), first)
    for row in rows:
        if FIRST < row.number < LAST:
            yield from _row_lacks(case, step, canal, step.part("each"), row, f", line {row.number}")
    last = [row for row in rows if row.number >= LAST]
    yield from _row_lacks(case, step, canal, step.part("last"), last[-1] if last else None)


def _row_lacks(
    case: Case, step: Step, canal: int, questions: Sequence[AnyQuestion], row: Row | None, line: str = ""
) -> Iterator[Sentence]:
    groups: dict[str, list[str]] = {}
    for question in questions:
        why = _why(question, row)
        if why is not None:
            groups.setdefault(why, []).append(question.prompt)
    if groups:
        said = "; ".join(f"{why}: {', '.join(prompts)}" for why, prompts in groups.items())
        yield Sentence(f"{where(case, step.id, canal)}{line}, {said}.", rests_on(row.seqs if row is not None else ()))


def _why(question: AnyQuestion, row: Row | None) -> str | None:
    """Say why a question holds no fact; None where it does, where it is owed, and where it need not be asked."""
    fact = row.facts.get(question.id) if row is not None else None
    if fact is None:
        return NOT_RECORDED if question.needed and holds(question.when, row) else None
    if isinstance(fact.value, Absent) and fact.value.why is not Why.OWED:
        return WHY_WORDS[fact.value.why]
    return None


def _no_outcomes(case: Case, step: Step) -> Iterator[Sentence]:
    """Say of which canals a question asked for each of them has no answer."""
    for question in step.question:
        for canal in case.told.canals if question.per_canal else ():
            known = question.role == "outcome" and outcome_of(case.told, canal) is not None
            row = next((one for one in case.told.rows_of(step.id, canal) if one.number == 1), None)
            if not known:
                yield from _row_lacks(case, step, canal, (question,), row)
