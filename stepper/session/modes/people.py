"""Who is at the keyboard."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.lines.grammar import Line
from stepper.note.words import person
from stepper.session.modes.listing import number_in, numbered
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone


@dataclass(slots=True)
class Relieve:
    """Another person takes the keyboard."""

    def prompt(self, room: Room) -> Prompt:
        """List the people."""
        people = [(one.number, one.name) for one in room.protocol.person]
        return numbered("Keyboard", "Who keys from now on?", people, then="0 for nobody else")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the change."""
        number = number_in(room, line, [0, *(one.number for one in room.protocol.person)])
        if not number:
            return self if number is None else None
        room.log("relief", person=number)
        room.say(f"{person(room.protocol, number)} keys from now on.", Tone.GOOD)
        return None
