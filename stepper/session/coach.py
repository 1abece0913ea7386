"""The lesson of the moment of a practice tooth, told from the record alone: it stands after a restart as before.

An entry is taken by the first lesson that still waits for it, be it a later one: whoever does something else finds the
lesson where it was. What was only to be tried, such as going to a canal, is passed over once a later lesson is done;
what cannot come about any more, because a canal has ended or the visit ends early, is not waited for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from stepper.case.alarms import CHECKS, differs
from stepper.case.fold import answered
from stepper.case.judge import Standing, judge
from stepper.case.slots import Cursor
from stepper.case.state import Case
from stepper.case.walk import start
from stepper.facts.entries import (
    TOOTH,
    Answer,
    AnyEntry,
    Correction,
    Ending,
    Go,
    Held,
    IncidentDetail,
    Overruled,
    StepDone,
)
from stepper.facts.remarks import Weight
from stepper.facts.values import Digits
from stepper.kinds.outcome import outcome_of
from stepper.protocol.models import Lesson, Until
from stepper.session.astray import astray
from stepper.session.room import Room
from stepper.session.view import ChairView

DONE = "That was the last lesson. `/` lists what can be done; `6` there closes the visit."
LEARNED = (
    "That was all of it: numbers, choices, several answers in one line, files, canals, correcting, a slip, the menu. "
    "1 opens a real session; in it the lowest row tells the keys, and / lists what can be done."
)
"""What is said on the start screen when a practice tooth is closed."""

ANY = TOOTH
"""Stands for no canal in particular among those that a lesson waits for."""


@dataclass(frozen=True, slots=True)
class Now:
    """The lesson of the moment, the how-manieth it is, and the canals that it still waits for."""

    lesson: Lesson
    number: int
    of: int
    canals: frozenset[int]


def lesson_now(case: Case) -> Now | None:
    """Give the lesson of the moment; None when all are done."""
    lessons = case.protocol.lesson
    left = [set(one.until.canals) or {ANY} for one in lessons]
    for entry in case.entries:
        _hear(case, left, entry)
    for place, (lesson, canals) in enumerate(zip(lessons, left, strict=True)):
        waits = _possible(case, lesson.until, canals)
        if waits:
            return Now(lesson, place + 1, len(lessons), frozenset(waits))
    return None


def _hear(case: Case, left: list[set[int]], entry: AnyEntry) -> None:
    """Strike what an entry does from the lesson that it is for, and from those that it makes needless."""
    lessons = case.protocol.lesson
    if isinstance(entry, Ending):
        for lesson, canals in zip(lessons, left, strict=True):
            canals.clear() if lesson.until.entry != "close" else None
    if isinstance(entry, StepDone):
        for lesson, canals in zip(lessons, left, strict=True):
            if (lesson.until.question or "").startswith(f"{entry.step}."):
                canals -= {entry.canal, ANY}
        return
    for place, (lesson, canals) in enumerate(zip(lessons, left, strict=True)):
        struck = _takes(case, lesson.until, entry) & canals
        if struck:
            canals -= struck
            if not canals:
                for before, earlier in zip(lessons[:place], left, strict=False):
                    earlier.clear() if _only_tried(case, before.until) else None
            return


def _takes(case: Case, until: Until, entry: AnyEntry) -> set[int]:
    """Give the canals for which an entry is what a lesson waits for, and `ANY` with them; nothing if it is not."""
    if isinstance(entry, Answer | Correction) and until.entry == entry.kind:
        target = answered(case, entry)
        names = {f"{target.step}.{name}" for name in entry.values} if target is not None else set()
        if target is None or until.question not in names or _differs(case, until, entry):
            return set()
        return {ANY, target.canal}
    if isinstance(entry, Go | Held | Overruled):
        kind = "go" if isinstance(entry, Go) else "held"
        return {ANY, entry.canal} if (until.entry, until.step) == (kind, entry.step) else set()
    if isinstance(entry, IncidentDetail):
        return {ANY} if (until.entry, until.what) == ("incident_detail", entry.what) else set()
    return {ANY} if until.entry == entry.kind else set()


def _differs(case: Case, until: Until, entry: Answer | Correction) -> bool:
    """Tell whether patient or tooth were read otherwise than the session was opened for: it is asked again then."""
    value = entry.values[(until.question or "").partition(".")[2]]
    return isinstance(value, Digits) and differs(case.told, _role(case, until), value.value)


def _role(case: Case, until: Until) -> str | None:
    step, _, name = (until.question or "").partition(".")
    asked = case.protocol.by_step[step].asked(name) if step else None
    return asked.role if asked is not None else None


def _only_tried(case: Case, until: Until) -> bool:
    """Tell whether a lesson is passed over when a later one is done: all but what the record needs an answer for."""
    return until.entry != "answer" or _role(case, until) in CHECKS


def _possible(case: Case, until: Until, canals: set[int]) -> set[int]:
    """Give what can still come about of what a lesson waits for."""
    if until.entry == "confirm" and not case.unconfirmed:
        return set()
    if until.entry == "held" and not any(_holds(case, until)):
        return set()
    if until.entry == "go" and _is_at(until, start(case)):
        return set()  # by another way
    step = (until.question or "").partition(".")[0] or until.step
    known = case.told.canals
    if step is None or case.protocol.of_tooth(step):
        return canals
    if not known:
        return canals if _canals_to_come(case) else set()
    going_on = {number for number in known if outcome_of(case.told, number) is None}
    return canals & (going_on | {ANY}) if going_on else set()


def _is_at(until: Until, at: Cursor) -> bool:
    return at.step == until.step and (not until.canals or at.canal in until.canals)


def _canals_to_come(case: Case) -> bool:
    """Tell whether canals may still be named where they are asked for."""
    return not any(
        (step.id, TOOTH) in case.told.declared or case.told.fact(f"{step.id}.{one.id}", TOOTH) is not None
        for step in case.protocol.step
        for one in step.question
        if one.role == "canals"
    )


def _holds(case: Case, until: Until) -> Iterator[bool]:
    yield from (
        one.remark.weight is Weight.STOP and one.standing is Standing.OPEN and one.remark.step == until.step
        for one in judge(case)
    )


def coached(view: ChairView, room: Room) -> ChairView:
    """Put the lesson of the moment onto what is shown, and where one has gone astray, the way back."""
    now = lesson_now(room.case)
    if now is None:
        return replace(view, coach=(DONE,))
    banner = view.banner.replace("PRACTICE", f"PRACTICE {now.number} of {now.of}", 1)
    back = astray(now.lesson, now.canals - {ANY}, view.prompt, room)
    return replace(view, banner=banner, coach=(now.lesson.say, back) if back else (now.lesson.say,))
