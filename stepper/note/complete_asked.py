"""Where the record stands with an item that the questions of a protocol's steps tell, by role or as marked there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from stepper.case.state import Case
from stepper.facts.state import FIRST, LAST, Fact, Row
from stepper.facts.values import Choice
from stepper.kinds.union import AnyQuestion
from stepper.note.complete_item import Item, State
from stepper.note.phrases import holds, shown
from stepper.note.shape import rests_on
from stepper.protocol.holding import Held
from stepper.protocol.models import Step


def marked(case: Case, role: str, item: str) -> list[tuple[Step, AnyQuestion]]:
    """Give the questions that tell an item, by their role or by how they are marked."""
    pairs = ((step, question) for step in case.protocol.step for question in step.question)
    return [(step, one) for step, one in pairs if item in one.holds or (role and one.role == role)]


def asked_item(case: Case, one: Held, blank: Item) -> Item:
    """Tell where it stands with an item that the questions of steps tell."""
    asked = marked(case, one.role, blank.item)
    if not asked:
        return blank
    told: list[int] = []
    lacking: list[tuple[Step, AnyQuestion, Fact | None]] = []
    for step, question in asked:
        facts = list(_facts(case, step, question, blank.canal))
        good = [fact for fact in facts if fact is not None and _gives(question, fact)]
        told += [fact.seq for fact in good]
        if facts and (not good or (one.every and question.needed and len(good) < len(facts))):
            lacking += [(step, question, fact) for fact in facts if fact is None or fact not in good]
    if told and not (one.every and lacking):
        return replace(blank, state=State.PRESENT, entries=rests_on(told))
    spared = _spared(case, blank) if not told else None
    if spared is not None:
        return spared
    said = [(step, question, fact) for step, question, fact in lacking if fact is not None]
    declared = [case.told.declared[step.id, blank.canal] for step, _ in asked if _declared(case, step, blank.canal)]
    words = [f"{question.prompt}, {shown(case, step, question.id, fact)}" for step, question, fact in said]
    words += [f"the step was said to be {how.replace('_', ' ')}" for how, _, _ in declared]
    entries = (*told, *(fact.seq for _, _, fact in said), *(seq for _, _, seq in declared))
    where = places(case, [(step, question) for step, question, _ in lacking] or asked)
    why = "; ".join(dict.fromkeys(words))
    return replace(blank, state=State.ABSENT, entries=rests_on(entries), why=why, where=where)


def _facts(case: Case, step: Step, question: AnyQuestion, canal: int) -> Iterator[Fact | None]:
    """Give what stands for a question in each row that asks for it; None where nothing does."""
    rows = [row for row in case.told.rows_of(step.id, canal) if not step.many or _part(row) == question.part]
    for row in rows:
        if question.when is None or holds(question.when, row):
            yield row.facts.get(question.id)
    if not rows:
        yield None


def _part(row: Row) -> str:
    return "first" if row.number == FIRST else "each" if row.number < LAST else "last"


def _gives(question: AnyQuestion, fact: Fact) -> bool:
    """Tell whether a fact gives what its question is marked with."""
    chosen = fact.value.options if isinstance(fact.value, Choice) else ()
    return not fact.absent and not (chosen and set(chosen) <= set(question.not_held_by))


def _spared(case: Case, blank: Item) -> Item | None:
    """Say that an item has no place, if an answer says so."""
    for step in case.protocol.step:
        for question in step.question:
            fact = case.told.fact(f"{step.id}.{question.id}", blank.canal) if question.spares is not None else None
            if fact is None or question.spares is None or blank.item not in question.spares.items:
                continue
            if isinstance(fact.value, Choice) and set(fact.value.options) & set(question.spares.any):
                why = shown(case, step, question.id, fact)
                return replace(blank, state=State.NOT_APPLICABLE, why=why, entries=(fact.seq,))
    return None


def _declared(case: Case, step: Step, canal: int) -> bool:
    """Tell whether it was said of a whole step that it was not done, or is owed."""
    how = case.told.declared.get((step.id, canal))
    return how is not None and how[0] in ("not_done", "owed")


def places(case: Case, asked: Sequence[tuple[Step, AnyQuestion]]) -> tuple[str, ...]:
    """Name the questions, each behind its step and the number that goes there."""
    by_step: dict[str, list[str]] = {}
    for step, question in asked:
        prompts = by_step.setdefault(step.id, [])
        prompts += [question.prompt] if question.prompt not in prompts else []
    steps = case.protocol.by_step
    return tuple(
        f"{case.protocol.number_of(name)}/ {steps[name].title}: {', '.join(prompts)}"
        for name, prompts in by_step.items()
    )
