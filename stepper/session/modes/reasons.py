"""A reason and who said it: for asks that are passed, and for a visit that ends early."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from stepper.facts.remarks import Remark
from stepper.lines.grammar import Answer, Empty, Line
from stepper.note.words import person
from stepper.session.modes.listing import number_in, numbered
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone

Done = Callable[[Room, str, int], None]
"""What is done with the reason and the number of the person who said it."""


@dataclass(slots=True)
class Reason:
    """Asks for the reason by number; `reason**person` says both in one line, 0 goes back."""

    title: str
    text: str
    done: Done
    back: Mode | None = None

    def prompt(self, room: Room) -> Prompt:
        """List the protocol's reasons."""
        ways = [(one.number, one.text) for one in room.protocol.reason]
        return numbered(self.title, self.text, ways, then="** who said it; 0 goes back")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Read the reason, and the person where typed."""
        known = {one.number: one.text for one in room.protocol.reason}
        if isinstance(line, Answer) and len(line.fields) == 2:
            person = Answer(None, line.fields[1:])
            line = Answer(line.canals, line.fields[:1])
        else:
            person = None
        number = number_in(room, line, [0, *sorted(known)])
        if not number:
            return self if number is None else self.back
        said = WhoSaid(known[number], self.done, self)
        return said if person is None else said.take(room, person)


@dataclass(slots=True)
class WhoSaid:
    """Asks who said it; Enter takes the session's clinician, 0 goes back to the reason."""

    reason: str
    done: Done
    back: Mode

    def prompt(self, room: Room) -> Prompt:
        """List the clinicians."""
        ways = [(one.number, one.name) for one in room.protocol.person if one.role == "clinician"]
        name = next((text for number, text in ways if number == room.case.header.clinician), "")
        return numbered("Who said it", self.reason, ways, offer=name, then="0 goes back")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Take the person and do what the reason is for."""
        people = [one.number for one in room.protocol.person if one.role == "clinician"]
        number = room.case.header.clinician if isinstance(line, Empty) else number_in(room, line, [0, *people])
        if not number:
            return self if number is None else self.back
        self.done(room, self.reason, number)
        return None


def depart(room: Room, remarks: list[Remark], reason: str, said_by: int) -> None:
    """Log a departure for each remark."""
    for remark in remarks:
        room.log("departure", remark=remark.key, text=remark.text, reason=reason, said_by=said_by)
        room.queue = [one for one in room.queue if one.key != remark.key]
    room.say(f"Logged with the reason: {reason.rstrip('.')} ({person(room.protocol, said_by)}).", Tone.GOOD)
