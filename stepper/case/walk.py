"""Where one is in the protocol: which questions are open, how each step stands, where it goes on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from stepper.case.alarms import stale
from stepper.case.fit import NEVER
from stepper.case.state import Case
from stepper.facts.entries import TOOTH, Go, StepDone
from stepper.facts.state import FIRST, LAST, Place, Row
from stepper.facts.values import Absent, Choice, Value, Why
from stepper.kinds.outcome import outcome_of
from stepper.kinds.reopening import reopened_by
from stepper.kinds.union import AnyQuestion
from stepper.protocol.models import Step


class Status(StrEnum):
    """How a step stands for a canal or for the tooth."""

    OPEN = "open"
    BEGUN = "begun"
    DONE = "done"
    REOPENED = "reopened"
    OWED = "owed"
    NOT_DONE = "not done"


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
    first = _row_slot(case, step, at.canal, FIRST, step.part("first"))
    if first is not None:
        return first
    if at.last:
        return _last(case, step, at.canal)
    return _each(case, step, at.canal)


def next_question(case: Case, here: Slot, values: Mapping[str, Value]) -> AnyQuestion | None:
    """Give the next question of a slot that is open and asked, with these values about to join the row's own."""
    row = next((one for one in case.told.rows_of(here.step.id, here.canal) if one.number == here.row), None)
    known = _values(case, row) if row is not None else {}
    known.update(values)
    return next((one for one in here.questions if one.id not in known and _holds(one, known)), None)


def last_due(case: Case, step: Step, canal: int) -> bool:
    """Tell whether what is asked after the rows is due: never answered, or something was cut or added since."""
    if not step.part("last"):
        return False
    rows = case.told.rows_of(step.id, canal)
    answers = [row for row in rows if row.number >= LAST]
    if not answers or _open(case, step.part("last"), answers[-1]):
        return True
    newer = [row for row in rows if FIRST < row.number < LAST and row.place > answers[-1].place]
    return any(row.get("file") is None or row.options("purpose") in ((), ("cut",)) for row in newer)


def status(case: Case, step: Step, canal: int) -> Status:
    """Tell how a step stands."""
    rows = case.told.rows_of(step.id, canal)
    declared = case.told.declared.get((step.id, canal))
    newest = max((row.last_place for row in rows), default=NEVER)
    if rows:
        newest = max(newest, _last_change(case, step.id, canal))
    if declared is not None and declared[1] > newest:
        return {"finished": Status.DONE, "owed": Status.OWED, "not_done": Status.NOT_DONE}[declared[0]]
    if reopened_by(case.told, case.protocol.rests_on, step.id, canal) is not None:
        return Status.REOPENED
    if any(stale(case.told, fact) for row in rows for fact in row.facts.values()):
        return Status.REOPENED
    if any(_is_owed(fact.value) for row in rows for fact in row.facts.values()):
        return Status.OWED
    if not rows:
        return Status.OPEN
    return Status.DONE if _complete(case, step, canal) else Status.BEGUN


def onward(case: Case, at: Cursor) -> Cursor | None:
    """Tell where it goes on from a cursor: what is asked last, another canal, the next step that is not done."""
    step = case.protocol.by_step[at.step]
    here = slot(case, at)
    if here is not None and not here.fresh:
        return None
    if _untouched(case, at, here):
        return None  # nothing is passed over by Enter: a step that was not done is said to be so
    if not at.last and step.many and last_due(case, step, at.canal):
        return Cursor(at.step, at.canal, last=True)
    return _after(case, at)


def ended(case: Case, at: Cursor) -> bool:
    """Tell whether nothing is left to ask, here or anywhere after."""
    here = slot(case, at)
    return (here is None or here.fresh) and not _untouched(case, at, here) and onward(case, at) is None


def _untouched(case: Case, at: Cursor, here: Slot | None) -> bool:
    """Tell whether a step of many rows has none yet."""
    rows = case.told.rows_of(at.step, at.canal)
    return here is not None and not any(FIRST < row.number < LAST for row in rows)


def passed(case: Case, at: Cursor) -> Cursor:
    """Tell where it goes on from a step that was declared finished, not done or owed."""
    return _after(case, at) or at


def _after(case: Case, at: Cursor) -> Cursor | None:
    """Give the next canal of a step, else the next step that is not done."""
    step, order = case.protocol.by_step[at.step], list(case.protocol.step)
    after = order.index(step)
    if step.scope == "C":
        known = _canals(case, step)
        round_from_here = [canal for canal in known if canal > at.canal] + [
            canal for canal in known if canal < at.canal
        ]
        for canal in round_from_here:
            if status(case, step, canal) in (Status.OPEN, Status.REOPENED):
                return Cursor(step.id, canal)
    for nxt in order[after + 1 :]:
        for canal in _canals(case, nxt):
            if status(case, nxt, canal) not in (Status.DONE, Status.NOT_DONE, Status.OWED):
                return Cursor(nxt.id, canal)
    return None


def settle(case: Case, at: Cursor) -> Cursor:
    """Go on by itself from a step that is answered and takes no further row.

    So too where the next row would open with a blind question: it would cover the screen without being wanted.
    """
    step, here = case.protocol.by_step[at.step], slot(case, at)
    answered = here is None and (not step.many or at.last)
    covered = here is not None and here.fresh and here.row > 1 and bool(here.questions[0].blind)
    return (onward(case, Cursor(at.step, at.canal, at.last or answered)) or at) if answered or covered else at


def start(case: Case) -> Cursor:
    """Tell where a session goes on when it is opened: where something was last keyed, or at the first step."""
    for entry in reversed(case.entries):
        step, canal = getattr(entry, "step", None), getattr(entry, "canal", TOOTH)
        if isinstance(step, str) and step in case.protocol.by_step:
            scope = case.protocol.by_step[step].scope
            last = getattr(entry, "last", getattr(entry, "row", 0) >= LAST)
            at = Cursor(step, canal if scope == "C" else TOOTH, last=bool(last))
            if isinstance(entry, StepDone):
                return passed(case, at)
            return at if isinstance(entry, Go) else settle(case, at)
    return Cursor(case.protocol.step[0].id, TOOTH)


def nearest_canal(case: Case, step: Step, canal: int) -> int | None:
    """Give the canal to use for a step: none of the tooth's, the one asked for if it is there, else the first."""
    if step.scope == "T":
        return TOOTH
    if canal in case.told.canals:
        return canal
    return min(case.told.canals, default=None)


def _canals(case: Case, step: Step) -> list[int]:
    if step.scope == "T":
        return [TOOTH]
    done = {number for number in case.told.canals if outcome_of(case.told, number) not in (None, "dressed")}
    return [number for number in case.told.canals if number not in done or case.told.rows_of(step.id, number)]


def _single(case: Case, step: Step, canal: int) -> Slot | None:
    """Give the one row of a step; a question asked for each canal comes when the others are answered."""
    own = tuple(one for one in step.question if not one.per_canal)
    found = _row_slot(case, step, canal, 1, own)
    if found is not None:
        return found
    for question in step.question:
        if question.per_canal:
            for number in case.told.canals:
                if question.role == "outcome" and outcome_of(case.told, number) is not None:
                    continue
                each = _row_slot(case, step, number, 1, (question,))
                if each is not None:
                    return each
    return None


def _each(case: Case, step: Step, canal: int) -> Slot | None:
    questions = step.part("each")
    rows = [row for row in case.told.rows_of(step.id, canal) if FIRST < row.number < LAST]
    if rows and (step.id, canal, rows[-1].number) not in case.ended:
        left = _open(case, questions, rows[-1])
        if left:
            return Slot(step, canal, rows[-1].number, left, fresh=False)
    gone = [key[2] for key in case.dropped if key[:2] == (step.id, canal) and key[2] < LAST]
    number = max([row.number for row in rows] + gone, default=FIRST)
    return Slot(step, canal, number + 1, tuple(questions), fresh=True) if questions else None


def _last(case: Case, step: Step, canal: int) -> Slot | None:
    answers = [row for row in case.told.rows_of(step.id, canal) if row.number >= LAST]
    if answers:
        left = _open(case, step.part("last"), answers[-1])
        if left:
            return Slot(step, canal, answers[-1].number, left, fresh=False)
        if not last_due(case, step, canal):
            return None
    number = answers[-1].number + 1 if answers else LAST
    return Slot(step, canal, number, step.part("last"), fresh=False)


def _row_slot(case: Case, step: Step, canal: int, number: int, questions: Sequence[AnyQuestion]) -> Slot | None:
    row = next((one for one in case.told.rows_of(step.id, canal) if one.number == number), None)
    left = _open(case, questions, row) if row is not None else tuple(questions)
    return Slot(step, canal, number, left, fresh=False) if any(one.needed for one in left) else None


def _values(case: Case, row: Row) -> dict[str, Value]:
    """Give what a row holds, but for answers of the time-out that an altered header has made stale."""
    return {name: fact.value for name, fact in row.facts.items() if not stale(case.told, fact)}


def _open(case: Case, questions: Sequence[AnyQuestion], row: Row) -> tuple[AnyQuestion, ...]:
    """Give the open questions of a row, as long as one of them is needed."""
    values = _values(case, row)
    left = tuple(one for one in questions if one.id not in values)
    return left if any(one.needed and _holds(one, values) for one in left) else ()


def _complete(case: Case, step: Step, canal: int) -> bool:
    if not step.many:
        return _single(case, step, canal) is None
    here = slot(case, Cursor(step.id, canal))
    return here is not None and here.fresh and here.row > 1 and not last_due(case, step, canal)


def _holds(question: AnyQuestion, values: Mapping[str, Value]) -> bool:
    if question.when is None:
        return True
    value = values.get(question.when.question)
    return isinstance(value, Choice) and bool(set(value.options) & set(question.when.any))


def _last_change(case: Case, step: str, canal: int) -> Place:
    """Tell where something that a step rests on, at any remove, last happened: a word about the step is older then."""
    below, left = set[str](), [step]
    while left:
        bases = set(case.protocol.rests_on.get(left.pop().partition(".")[0], ())) - below
        below |= bases
        left.extend(bases)
    touched = [case.told.touched.get((base, number)) for base in below for number in (canal, TOOTH)]
    return max((one[0] for one in touched if one is not None), default=NEVER)


def _is_owed(value: Value) -> bool:
    return isinstance(value, Absent) and value.why is Why.OWED
