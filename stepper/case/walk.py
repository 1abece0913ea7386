"""Where one is in the protocol: how each step stands, and where it goes on."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from stepper.case.alarms import stale
from stepper.case.slots import Cursor, Slot, carried_over, last_due, needless, slot
from stepper.case.state import Case
from stepper.facts.entries import TOOTH, Answer, AnyEntry, Go, Incident, StepDone
from stepper.facts.state import LAST, Place
from stepper.kinds.outcome import DRESSED, GIVEN_UP, outcome_of
from stepper.kinds.reopening import reopened_by
from stepper.kinds.touched import NEVER
from stepper.protocol.models import Step


class Status(StrEnum):
    """How a step stands for a canal or for the tooth."""

    OPEN = "open"
    BEGUN = "begun"
    DONE = "done"
    REOPENED = "reopened"
    OWED = "owed"
    NOT_DONE = "not done"


def status(case: Case, step: Step, canal: int) -> Status:
    """Tell how a step stands."""
    rows = case.told.rows_of(step.id, canal)
    declared = case.told.declared.get((step.id, canal))
    tally = case.told.tally(step.id, canal)
    if declared is not None:  # few steps are, and what they rest on is looked up for them alone
        newest = max(tally.newest, _last_change(case, step.id, canal)) if rows else tally.newest
        if declared[1] > newest:
            return {"finished": Status.DONE, "owed": Status.OWED, "not_done": Status.NOT_DONE}[declared[0]]
    if not needless(case, step) and reopened_by(case.told, case.protocol.rests_on, step.id, canal) is not None:
        return Status.REOPENED
    altered = case.told.header_place > NEVER
    if altered and any(stale(case.told, fact) for row in rows for fact in row.facts.values()):
        return Status.REOPENED
    if tally.owing:
        return Status.OWED
    if needless(case, step):
        return Status.DONE if rows and _complete(case, step, canal) else Status.NOT_DONE
    if not rows:
        return _without_rows(case, step, canal)
    return Status.DONE if _complete(case, step, canal) else Status.BEGUN


def _without_rows(case: Case, step: Step, canal: int) -> Status:
    if carried_over(case, step, canal):
        return Status.DONE
    return Status.NOT_DONE if step.scope == "C" and _over(case, step, canal) else Status.OPEN


_UNDONE = (Status.OPEN, Status.BEGUN, Status.REOPENED)


def onward(case: Case, at: Cursor) -> Cursor | None:
    """Tell where it goes on from a cursor: what is asked last, another canal, the next step that is not done.

    Nothing is passed over by Enter: a step that was not done is said to be so. From one that was gone to out of turn
    and left as it was, the way leads back.
    """
    step = case.protocol.by_step[at.step]
    here = slot(case, at)
    if (here is not None and not here.fresh) or _untouched(case, at, here):
        return None if here is None or _row_begun(case, here) else _back(case, at)
    if not at.last and step.many and not needless(case, step) and last_due(case, step, at.canal):
        return Cursor(at.step, at.canal, last=True)
    return _back(case, at) or _after(case, at)


def _row_begun(case: Case, here: Slot) -> bool:
    return case.told.row(here.step.id, here.canal, here.row) is not None


def ended(case: Case, at: Cursor) -> bool:
    """Tell whether nothing is left to ask, here or anywhere after."""
    here = slot(case, at)
    return (here is None or here.fresh) and not _untouched(case, at, here) and onward(case, at) is None


def _untouched(case: Case, at: Cursor, here: Slot | None) -> bool:
    """Tell whether a step of many rows has none yet."""
    return here is not None and case.told.last_row(at.step, at.canal) is None


def passed(case: Case, at: Cursor) -> Cursor:
    """Tell where it goes on from a step that was declared finished, not done or owed."""
    return _after(case, at) or at


def _back(case: Case, at: Cursor) -> Cursor | None:
    """Give the place that was left by going to a cursor out of turn, as long as something can still be done there.

    What was reopened here comes first, if it lies before the place that was left. A step that takes more rows is gone
    back to from an earlier step, and from the last one, though it may be done by now; from a later one it is not. From
    the last one the way leads to what follows the place, if that is done with.
    """
    left = _left(case, at)
    if left is None:
        return None
    order = [step.id for step in case.protocol.step]
    onto = _after(case, at)
    before = onto if onto is not None and order.index(onto.step) < order.index(left.step) else None
    if before is not None and status(case, case.protocol.by_step[before.step], before.canal) is Status.REOPENED:
        return before
    step = case.protocol.by_step[left.step]
    stands = status(case, step, left.canal)
    aside = onto is None or order.index(at.step) < order.index(left.step)
    more = stands is Status.DONE and aside and step.many and not needless(case, step)
    if more or stands in _UNDONE:
        return left
    follows = _after(case, left) if onto is None else None
    return follows if follows is not None and follows.step != at.step else None


def leaving(case: Case, at: Cursor) -> Cursor:
    """Give the place that the way leads back to when one leaves out of turn: on a detour that is done, its own."""
    left = _left(case, at)
    if left is None or status(case, case.protocol.by_step[at.step], at.canal) in _UNDONE:
        return at
    return left


def _left(case: Case, at: Cursor) -> Cursor | None:
    """Give where one was before going to a step out of turn, as long as nothing else was keyed since."""
    for entry in reversed(case.entries):
        step, canal = getattr(entry, "step", None), getattr(entry, "canal", TOOTH)
        if isinstance(entry, Go) and entry.left is not None and entry.step == at.step and canal == at.canal:
            left = Cursor(entry.left.step, entry.left.canal, entry.left.last)
            return left if left.step in case.protocol.by_step and left != at else None  # one may have come back to it
        if step is not None and step != at.step and not isinstance(entry, Incident):
            return None
    return None


def _after(case: Case, at: Cursor) -> Cursor | None:
    """Give the next canal of a step, asked last if that one was, else the next step that is not done."""
    step, order = case.protocol.by_step[at.step], list(case.protocol.step)
    after = order.index(step)
    if step.scope == "C":
        known = _canals(case, step)
        round_from_here = [canal for canal in known if canal > at.canal] + [
            canal for canal in known if canal < at.canal
        ]
        for canal in round_from_here:
            if status(case, step, canal) in _UNDONE:
                last = at.last and bool(case.told.rows_of(step.id, canal)) and last_due(case, step, canal)
                return Cursor(step.id, canal, last)
    for nxt in order[after + 1 :]:
        for canal in _canals(case, nxt):
            if status(case, nxt, canal) not in (Status.DONE, Status.NOT_DONE, Status.OWED):
                return Cursor(nxt.id, canal)
    return None


def settle(case: Case, at: Cursor) -> Cursor:
    """Go on by itself from a step that is answered and takes no further row.

    So too where one row is the rule, and where the next row would open with a blind question: it would cover the screen
    without being wanted. Back to a place that was left it goes by Enter only: the next line would land elsewhere.
    """
    step, here = case.protocol.by_step[at.step], slot(case, at)
    answered = here is None and (not step.many or at.last)
    another = here is not None and here.fresh and here.row > 1
    covered = another and here is not None and bool(here.questions[0].blind)
    done = answered or (another and step.usually_once)
    left = _left(case, at)
    if not covered and (not done or (left is not None and _back(case, at) == left)):
        return at
    return onward(case, Cursor(at.step, at.canal, at.last or answered)) or at


def start(case: Case) -> Cursor:
    """Tell where a session goes on when it is opened: where something was last keyed, or at the first step."""
    for entry in reversed(case.entries):
        step = getattr(entry, "step", None)
        if isinstance(step, str) and step in case.protocol.by_step:
            scope, canal = case.protocol.by_step[step].scope, at_hand(entry)
            last = getattr(entry, "last", getattr(entry, "row", 0) >= LAST)
            at = Cursor(step, canal if scope == "C" else TOOTH, last=bool(last))
            if isinstance(entry, StepDone):
                return passed(case, at)
            return at if isinstance(entry, Go) else settle(case, at)
    return Cursor(case.protocol.step[0].id, TOOTH)


def at_hand(entry: AnyEntry) -> int:
    """Give the canal that was at hand when something was keyed, be it for another one."""
    if isinstance(entry, Answer) and entry.at is not None:
        return entry.at
    return int(getattr(entry, "canal", TOOTH))


def first_open(case: Case) -> Cursor | None:
    """Give the first step, and canal of it, that is neither done nor said to be owed or not done."""
    for step in case.protocol.step:
        for canal in _canals(case, step):
            if status(case, step, canal) not in (Status.DONE, Status.NOT_DONE, Status.OWED):
                return Cursor(step.id, canal)
    return None


def open_steps(case: Case) -> Iterator[str]:
    """Name the steps, and the canals of those that are asked for each, that are begun or reopened, or not yet begun."""
    for step in case.protocol.step:
        left = [number for number in _canals(case, step) if status(case, step, number) in _UNDONE]
        names = " ".join(case.told.canals[number].name for number in left if number in case.told.canals)
        if left:
            yield f"{step.title} {names}".strip()


def nearest_canal(case: Case, step: Step, canal: int) -> int | None:
    """Give the canal to use for a step: none of the tooth's, the one asked for if it is there, else the first."""
    if step.scope == "T":
        return TOOTH
    if canal in case.told.canals:
        return canal
    return min(case.told.canals, default=None)


def open_canals(case: Case, step: Step) -> list[int]:
    """Give the canals that a step is still asked of: those that have not ended, for a dressing those given up too."""
    return [number for number in case.told.canals if not _over(case, step, number)]


def _over(case: Case, step: Step, canal: int) -> bool:
    """Tell whether a step is not wanted any more in a canal. What was given up half way is dressed all the same."""
    if canal not in case.told.canals:
        return False
    outcome = outcome_of(case.told, canal)
    if step.scope == "T":
        return outcome not in (None, DRESSED)  # how a dressed canal ended can still be said
    dressing = any(question.role == "dressing" for question in step.question)
    return outcome is not None and not (dressing and outcome in GIVEN_UP)


def _canals(case: Case, step: Step) -> list[int]:
    if step.scope == "T":
        return [TOOTH]
    return [one for one in case.told.canals if not _over(case, step, one) or case.told.rows_of(step.id, one)]


def _complete(case: Case, step: Step, canal: int) -> bool:
    here = slot(case, Cursor(step.id, canal))
    if not step.many:
        return here is None
    return here is not None and here.fresh and here.row > 1 and not last_due(case, step, canal)


def _last_change(case: Case, step: str, canal: int) -> Place:
    """Tell where something that a step rests on, at any remove, last happened: a word about the step is older then."""
    below, left = set[str](), [step]
    while left:
        bases = set(case.protocol.rests_on.get(left.pop().partition(".")[0], ())) - below
        below |= bases
        left.extend(bases)
    touched = [case.told.touched.get((base, number)) for base in below for number in (canal, TOOTH)]
    return max((one[0] for one in touched if one is not None), default=NEVER)
