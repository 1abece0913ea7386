"""What is owed, and what the protocol asks for and nobody recorded: complete, and put together where it is the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from stepper.case.judge import Standing
from stepper.case.state import Case
from stepper.facts.state import FIRST, LAST, Row
from stepper.facts.values import Absent, Why
from stepper.kinds.asking import WHY_WORDS
from stepper.kinds.outcome import outcome_of
from stepper.kinds.union import AnyQuestion
from stepper.note.begun import begun, canals_of, never_begun, unneeded
from stepper.note.phrases import Read, asked_as, at, given_up, holds, placed, where
from stepper.note.shape import Sentence, rests_on
from stepper.note.words import canal_name
from stepper.protocol.models import Step

NOT_RECORDED = "not recorded"
NOT_ASKED = "not asked, since the visit ended early"


@dataclass(slots=True)
class _Lack:
    """What some canals, and some lines of them, lack in the same words."""

    canals: dict[int, list[int]] = field(default_factory=dict)
    entries: list[int] = field(default_factory=list)

    def add(self, canal: int, line: int | None, entries: Sequence[int]) -> None:
        """Add a canal, or one more line of it."""
        self.canals.setdefault(canal, []).extend([line] if line is not None else [])
        self.entries += entries

    def places(self, case: Case) -> str:
        """Name the canals and their lines."""
        named = [(canal_name(case, canal), lines) for canal, lines in sorted(self.canals.items())]
        return ", ".join(f"{name} {_lines(lines)}".strip() for name, lines in named)


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
            names = "; ".join(dict.fromkeys(asked_as(case, step, name) for name, _ in left))
            yield Sentence(f"{where(case, step, canal)}: {names}.", rests_on(fact.seq for _, fact in left))
    for (step, canal), (how, _, seq) in sorted(case.told.declared.items()):
        if how == "owed":
            yield Sentence(f"{where(case, step, canal)}: the whole step, since {at(case, case.entries[seq])}.", (seq,))


def not_recorded(read: Read) -> Iterator[Sentence]:
    """Give what each step that was begun lacks, what was declared not done, and in one line what was never begun."""
    case = read.case
    for step in case.protocol.step:
        lacks: dict[str, _Lack] = {}
        for canal in canals_of(case, step):
            if begun(case, step, canal) and not unneeded(case, step, canal):
                _lacks(case, step, canal, lacks)
            how, _, seq = case.told.declared.get((step.id, canal), ("", None, 0))
            if how == "not_done":
                said = f": declared not done at {at(case, case.entries[seq])}."
                lacks.setdefault(said, _Lack()).add(canal, None, (seq,))
        for said, lack in lacks.items():
            yield Sentence(f"{step.title} {lack.places(case)}".rstrip() + said, rests_on(lack.entries))
    never = never_begun(case, ended_early=False)
    if never:
        yield Sentence(f"Nothing was recorded of: {', '.join(never)}.", (0,))


def _lines(lines: Sequence[int]) -> str:
    if not lines:
        return ""
    return f"({'line' if len(lines) == 1 else 'lines'} {', '.join(str(one) for one in lines)})"


def _lacks(case: Case, step: Step, canal: int, lacks: dict[str, _Lack]) -> None:
    """Add what the rows of a step lack; a row that was given up, as its act was held back, lacks nothing."""
    rows = case.told.rows_of(step.id, canal)
    if not step.many:
        own = tuple(question for question in step.question if not question.per_canal)
        _row_lacks(case, step, canal, own, next((row for row in rows if row.number == 1), None), lacks)
        _no_outcomes(case, step, lacks)
        return
    first = next((row for row in rows if row.number == FIRST), None)
    _row_lacks(case, step, canal, step.part("first"), first, lacks)
    for row in rows:
        if FIRST < row.number < LAST and not given_up(case, step, row):
            _row_lacks(case, step, canal, step.part("each"), row, lacks, row.number)
    last = [row for row in rows if row.number >= LAST]
    _row_lacks(case, step, canal, step.part("last"), last[-1] if last else None, lacks)


def _row_lacks(
    case: Case,
    step: Step,
    canal: int,
    questions: Sequence[AnyQuestion],
    row: Row | None,
    lacks: dict[str, _Lack],
    line: int | None = None,
) -> None:
    groups: dict[str, list[str]] = {}
    for question in questions:
        why = _why(case, step, question, row)
        if why is not None:
            groups.setdefault(why, []).append(question.prompt)
    if groups:
        said = ". ".join(f"{why}: {'; '.join(prompts)}" for why, prompts in _capitals(groups))
        lacks.setdefault(f", {said}.", _Lack()).add(canal, line, row.seqs if row is not None else ())


def _capitals(groups: dict[str, list[str]]) -> Iterator[tuple[str, list[str]]]:
    for place, (why, prompts) in enumerate(groups.items()):
        yield (why[:1].upper() + why[1:] if place else why), prompts


def _why(case: Case, step: Step, question: AnyQuestion, row: Row | None) -> str | None:
    """Say why a question holds no fact; None where it does, where it is owed, and where it need not be asked."""
    fact = row.facts.get(question.id) if row is not None else None
    if fact is None:
        if not question.needed or not holds(question.when, row):
            return None
        safe = case.ending is not None and any(one.make_safe for one in step.question)
        return NOT_ASKED if safe and not question.make_safe else NOT_RECORDED
    if isinstance(fact.value, Absent) and fact.value.why is not Why.OWED:
        return WHY_WORDS[fact.value.why]
    return None


def _no_outcomes(case: Case, step: Step, lacks: dict[str, _Lack]) -> None:
    """Add of which canals a question asked for each of them has no answer."""
    for question in step.question:
        for canal in case.told.canals if question.per_canal else ():
            known = question.role == "outcome" and outcome_of(case.told, canal) is not None
            row = next((one for one in case.told.rows_of(step.id, canal) if one.number == 1), None)
            if not known:
                _row_lacks(case, step, canal, (question,), row, lacks)
