"""Coming back after a pause: an answer that names no canal waits until somebody says which canal it is for.

Nobody remembers after two minutes which canal was at hand, nor notices a measurement kept for the wrong one.
"""

from __future__ import annotations

from dataclasses import dataclass

from stepper.case.slots import next_question, slot
from stepper.case.walk import open_canals
from stepper.facts.entries import TOOTH
from stepper.lines.grammar import Answer, Command, Empty, Line, Scan
from stepper.lines.refusal import shown
from stepper.note.words import canal_name, title
from stepper.record.clock import Moment
from stepper.session.addressing import go_canal
from stepper.session.modes.asking import Asking
from stepper.session.modes.listing import ABSENCES, numbered, one_field
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone

IDLE_S = 120
"""Seconds without a line after which one is taken to have been away."""


@dataclass(frozen=True, slots=True)
class Pause:
    """How long nothing was entered: whole minutes, None across a restart of the machine."""

    minutes: int | None

    def words(self) -> str:
        """Say it."""
        return "a restart" if self.minutes is None else f"{self.minutes} min"


def pause(last: Moment, now: Moment) -> Pause | None:
    """Give the pause between two moments, or None where it was none to speak of."""
    if last.boot != now.boot:
        return Pause(None)
    seconds = (now.mono_us - last.mono_us) // 1_000_000
    return Pause(seconds // 60) if seconds >= IDLE_S else None


def where(room: Room) -> str:
    """Say the step and canal that one is at."""
    at = room.cursor
    step = f"{room.protocol.number_of(at.step)} {title(room.protocol, at.step)}"
    name = canal_name(room.case, at.canal)
    return f"{step}, {at.canal} {name}" if name else step


def wants_canal(room: Room, line: Line) -> bool:
    """Tell whether a line answers without naming a canal, though it could be for another than the one at hand."""
    step = room.protocol.by_step[room.cursor.step]
    unnamed = isinstance(line, Scan) or (isinstance(line, Answer) and line.canals is None)
    absent = isinstance(line, Command) and line.name in ABSENCES
    if step.scope == "T" or room.cursor.canal == TOOTH or not (unnamed or absent):
        return False
    return bool({*open_canals(room.case, step)} - {room.cursor.canal})


@dataclass(slots=True)
class Returned:
    """Asks once which canal a line is for that was entered after a pause; `text` is the line as it was keyed."""

    line: Line
    text: str
    away: Pause

    def prompt(self, room: Room) -> Prompt:
        """List the canals; nothing is taken by Enter alone."""
        ways = [(one.number, one.name) for one in room.case.told.canals.values()]
        asked = f"After {self.away.words()}: which canal is {self._named(room)} for? You were at {where(room)}."
        return numbered("Which canal", asked, ways, then="0 for none: forget the line")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Go to the canal that is named and take the line there."""
        typed = one_field(line) or ""
        if typed == "0":
            room.say("Forgotten; nothing was logged.")
            return None
        if isinstance(line, Empty) or typed not in map(str, room.case.told.canals):
            canals = ", ".join(str(number) for number in room.case.told.canals)
            room.say(
                f"{self._named(room)} is not logged yet: type its canal, one of {canals}, or 0 for none.", Tone.WARN
            )
            return self
        if int(typed) != room.cursor.canal and not go_canal(room, int(typed)):
            return None
        return Asking().take(room, self.line)

    def _named(self, room: Room) -> str:
        """Name the line; where a blind question stands it is not repeated."""
        here = slot(room.case, room.cursor)
        question = next_question(room.case, here, {}) if here is not None else None
        return "that" if question is not None and question.blind else shown(self.text)
