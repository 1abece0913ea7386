"""The questions that are open: which row the next answer goes into, and what is asked in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stepper.case.alarms import stale
from stepper.case.fit import master_carried
from stepper.case.incidents import mishap_in
from stepper.case.state import Case
from stepper.facts.state import FIRST, LAST, Row
from stepper.facts.values import Value
from stepper.kinds.asking import holds
from stepper.kinds.outcome import DRESSED, FILLED, FILLED_OUTSIDE, JOINS, outcome_of
from stepper.kinds.touched import NEVER
from stepper.kinds.union import AnyQuestion
from stepper.protocol.models import Step


@dataclass(frozen=True, slots=True)
class Cursor:
    """A place in the protocol. `last` asks what a step of many rows asks once after them."""

    step: str
    canal: int
    last: bool = False


@dataclass(frozen=True, slots=True)
class Slot:
    """The row that the next answer goes into, and its open questions in line order. `canal` is the row's.

    `questions` holds conditional ones too: `next_question` tells which of them an answer is for. A `fresh` row has no
    answer yet and need not be begun.
    """

    step: Step
    canal: int
    row: int
    questions: tuple[AnyQuestion, ...]
    fresh: bool


def slot(case: Case, at: Cursor) -> Slot | None:
    """Give the row to be filled at a cursor, or None where everything is answered."""
    step = case.protocol.by_step[at.step]
    if not step.many:
        return _single(case, step, at.canal)
    first = _row_slot(case, step, at.canal, FIRST, asked_now(case, step, "first"))
    if first is not None:
        return first
    if at.last:
        return _last(case, step, at.canal)
    return _each(case, step, at.canal)


def of_canal(case: Case, step: Step, canal: int) -> Slot | None:
    """Give the row for what a tooth's step asks of one canal, out of its turn; None where nothing of it is open."""
    row = case.told.row(step.id, canal, 1)
    left = _open(case, [one for one in step.question if one.per_canal], row)
    return Slot(step, canal, 1, left, fresh=False) if left else None


def asked_now(case: Case, step: Step, part: str = "each") -> tuple[AnyQuestion, ...]:
    """Give the questions of one part of a step, in line order; when the visit ends early, those that make safe.

    A step that has none of those keeps all: what was done there can be logged all the same.
    """
    safe = case.ending is not None and any(one.make_safe for one in step.question)
    return tuple(one for one in step.question if one.part == part and (one.make_safe or not safe))


def needless(case: Case, step: Step) -> bool:
    """Tell whether a step is not gone to any more, since the visit ends early and it makes nothing safe."""
    return case.ending is not None and not any(one.make_safe for one in step.question)


def next_question(case: Case, here: Slot, values: Mapping[str, Value]) -> AnyQuestion | None:
    """Give the next question of a slot that is open and asked, with these values about to join the row's own."""
    row = case.told.row(here.step.id, here.canal, here.row)
    known = _values(case, row) if row is not None else {}
    known.update(values)
    return next((one for one in here.questions if one.id not in known and holds(one, known)), None)


def last_due(case: Case, step: Step, canal: int) -> bool:
    """Tell whether what is asked after the rows is due: never answered, or something was cut or added since."""
    if not step.part("last"):
        return False
    answers = case.told.rows_from(step.id, canal, LAST)
    if _open(case, step.part("last"), answers[-1]) if answers else not _carried_last(case, step, canal):
        return True
    since = answers[-1].place if answers else NEVER
    if (case.told.tally(step.id, canal).own or NEVER) <= since:
        return False
    rows = reversed(case.told.rows_of(step.id, canal))
    newer = (row for row in rows if FIRST < row.number < LAST and row.place > since)
    return any(row.get("file") is None or row.options("purpose") in ((), ("cut",)) for row in newer)


def carried_over(case: Case, step: Step, canal: int) -> bool:
    """Tell whether the evidence of a step is an earlier visit's and in force: what led to the master apical file."""
    leading = {"file", "gauge_file", "master_apical_file"}
    return any(one.role in leading for one in step.question) and master_carried(case.told, canal)


def _carried_last(case: Case, step: Step, canal: int) -> bool:
    asked = {one.role for one in step.part("last")}
    return asked == {"master_apical_file"} and master_carried(case.told, canal)


def outcome_wanted(case: Case, canal: int) -> bool:
    """Tell whether it is asked how a canal ended: the record does not tell, or tells of a mishap in a dressed one."""
    ended = outcome_of(case.told, canal)
    stated = case.told.role("outcome", canal) is not None
    return (
        ended is None
        or (stated and ended not in (FILLED, FILLED_OUTSIDE, JOINS))
        or (ended == DRESSED and mishap_in(case, canal))
    )


def _single(case: Case, step: Step, canal: int) -> Slot | None:
    """Give the one row of a step; a question asked for each canal comes when the others are answered."""
    asked = asked_now(case, step)
    found = _row_slot(case, step, canal, 1, tuple(one for one in asked if not one.per_canal))
    if found is not None:
        return found
    each = tuple(one for one in asked if one.per_canal)
    for number in case.told.canals if each else ():
        if any(one.role == "outcome" for one in each) and not outcome_wanted(case, number):
            continue
        row = _row_slot(case, step, number, 1, each)
        if row is not None:
            return row
    return None


def _each(case: Case, step: Step, canal: int) -> Slot | None:
    questions = asked_now(case, step)
    row = case.told.last_row(step.id, canal)
    if row is not None and (step.id, canal, row.number) not in case.ended:
        left = _open(case, questions, row)
        if left:
            return Slot(step, canal, row.number, left, fresh=False)
    gone = [key[2] for key in case.dropped if key[:2] == (step.id, canal) and key[2] < LAST]
    number = max([row.number if row is not None else FIRST, *gone])
    return Slot(step, canal, number + 1, tuple(questions), fresh=True) if questions else None


def _last(case: Case, step: Step, canal: int) -> Slot | None:
    answers = case.told.rows_from(step.id, canal, LAST)
    if answers:
        left = _open(case, step.part("last"), answers[-1])
        if left:
            return Slot(step, canal, answers[-1].number, left, fresh=False)
        if not last_due(case, step, canal):
            return None
    number = answers[-1].number + 1 if answers else LAST
    return Slot(step, canal, number, step.part("last"), fresh=False)


def _row_slot(case: Case, step: Step, canal: int, number: int, questions: Sequence[AnyQuestion]) -> Slot | None:
    row = case.told.row(step.id, canal, number)
    left = _open(case, questions, row)
    return Slot(step, canal, number, left, fresh=False) if left else None


def _values(case: Case, row: Row) -> dict[str, Value]:
    """Give what a row holds, but for answers of the time-out that an altered header has made stale."""
    return {name: fact.value for name, fact in row.facts.items() if not stale(case.told, fact)}


def _open(case: Case, questions: Sequence[AnyQuestion], row: Row | None) -> tuple[AnyQuestion, ...]:
    """Give the open questions of a row, as long as one of them is needed."""
    values = _values(case, row) if row is not None else {}
    left = tuple(one for one in questions if one.id not in values)
    return left if any(one.needed and holds(one, values) for one in left) else ()
