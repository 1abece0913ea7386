"""The way back to a lesson of a practice tooth, from wherever else the learner has gone meanwhile."""

from __future__ import annotations

import re
from collections.abc import Collection

from stepper.case.slots import next_question, slot
from stepper.facts.entries import Held
from stepper.kinds.outcome import without_outcome
from stepper.kinds.union import AnyQuestion
from stepper.lines.marked import ENTER, lines_to_key
from stepper.protocol.models import Lesson, Protocol, Until
from stepper.session.modes import asking
from stepper.session.room import Room
from stepper.session.view import Prompt

GONE = "The question has gone: `/` shows it again, among what waits."
BEGUN = "This line is begun: answer only what is asked now, or leave it out: `--`"
HELD = "It was held for what was named. That can be made good; or there is no fill: `--`"
UNENDED = "First it has to be said how each canal ended, at the last step."

_TITLES = {
    "act": ("Sure",),
    "correction": ("Correct",),
    "confirm": ("Read aloud",),
    "held": ("STOP",),
    "incident_detail": ("INCIDENT",),
    "close": ("Menu", "Close the visit"),
}
"""The titles of the lists that lead to what a lesson waits for."""

_PAUSED = "Which canal"
"""The title of the question that comes after a pause."""

_BACK = ("no", "not", "stay", "go on", "read it once more")
"""How the choice begins that leaves a list without doing anything."""

_FOR_CANALS = re.compile(r"[0-9]+\*[^*]")


def astray(lesson: Lesson, canals: Collection[int], prompt: Prompt, room: Room) -> str:
    """Say how to come back to what a lesson is about, or nothing where one is there.

    `canals` are those that it still waits for; a line to key stands in backquotes, as in the lesson.
    """
    until = lesson.until
    if prompt.title == _PAUSED:
        return f"After a while without a line the canal is asked once. You are at: `{room.cursor.canal}`"
    if prompt.legend != asking.LEGEND:  # something lies over the question: a list, or one that wants an answer
        way = "" if _leads_through(lesson, prompt, room.protocol) else way_back(prompt)
        return f"Not what you wanted? {way if way == ENTER else f'{way} Enter'} goes back." if way else ""
    if until.entry == "confirm":
        return GONE
    if until.entry == "close":
        return UNENDED if without_outcome(room.case.told) else ""
    if _begun(lesson, room):
        return BEGUN
    return "" if until.entry == "correction" else _elsewhere(lesson, canals, prompt, room)


def _elsewhere(lesson: Lesson, canals: Collection[int], prompt: Prompt, room: Room) -> str:
    """Say how to come to the step and canal of a lesson."""
    at, protocol, until = room.cursor, room.protocol, lesson.until
    named = (until.question or "").partition(".")[0] or until.step
    if named is None or (until.entry == "go" and not canals and prompt.offer.startswith(protocol.by_step[named].title)):
        return ""
    if named != at.step:
        return f"You are at another step. This one: `{protocol.number_of(named)}/`"
    if until.entry == "answer" and len(canals) == 1 and at.canal not in canals:
        return f"You are at another canal. This one: `{min(canals)}*`"
    asked = _asked(protocol, until)
    held = any(isinstance(one, Held) and one.step == named and one.canal in canals for one in room.case.entries)
    if asked is not None and asked.act and held:
        return HELD
    return _for_one(lesson.say) if 0 < len(canals) < len(until.canals) else ""


def _for_one(say: str) -> str:
    """Give the lines of a lesson for several canals as they are keyed for the one at hand."""
    lines = [line.partition("*")[2] if _FOR_CANALS.match(line) else line for line in lines_to_key(say)]
    return f"One canal is left, the one you are at: {' '.join(f'`{line or ENTER}`' for line in lines)}"


def _begun(lesson: Lesson, room: Room) -> bool:
    """Tell whether a row is being keyed in more lines than one: then a line of a lesson no longer fits it."""
    here = slot(room.case, room.cursor)
    if here is None:
        return False
    if here.step.many:
        return any(row.number == here.row for row in room.case.told.rows_of(here.step.id, room.cursor.canal))
    asked = next_question(room.case, here, {})
    last_of_several = asked is not None and f"{here.step.id}.{asked.id}" == lesson.until.question
    return last_of_several and any("**" in line for line in lines_to_key(lesson.say))


def _asked(protocol: Protocol, until: Until) -> AnyQuestion | None:
    step, _, name = (until.question or "").partition(".")
    return protocol.by_step[step].asked(name) if step else None


def _leads_through(lesson: Lesson, prompt: Prompt, protocol: Protocol) -> bool:
    """Tell whether it is the lesson itself that opens a list, or has a line that leaves it."""
    asked = _asked(protocol, lesson.until)
    titles = _TITLES.get("act" if asked is not None and asked.act else lesson.until.entry, ())
    looks = "`-`" in lesson.say and prompt.title == "Look back"
    return looks or prompt.title.startswith(titles)


def way_back(prompt: Prompt) -> str:
    """Give the line that leaves a list without doing anything, as it is marked; nothing where there is none."""
    if prompt.offer:
        return ENTER
    if prompt.then.startswith("0 ") or " 0 " in prompt.then or any(one.number == "0" for one in prompt.choices):
        return "0"
    return next((one.number for one in prompt.choices if one.text.startswith(_BACK)), "")
