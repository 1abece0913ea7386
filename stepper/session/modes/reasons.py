"""A reason and who said it, for asks that are passed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from stepper.facts.remarks import Remark
from stepper.lines.grammar import Answer, Empty, Line
from stepper.session.modes.listing import number_in, numbered
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone


@dataclass(slots=True)
class Reason:
    """Asks for the reason by number; `reason**person` says both in one line.

    `first` logs what has to stand before the departures, such as the act that was done, and gives their remarks.
    """

    texts: tuple[str, ...]
    first: Callable[[Room], list[Remark]]

    def prompt(self, room: Room) -> Prompt:
        """List the protocol's reasons."""
        ways = [(one.number, one.text) for one in room.protocol.reason]
        return numbered("Reason", " ".join(self.texts), ways, then="** who said it")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Read the reason, and the person where typed."""
        known = {one.number: one.text for one in room.protocol.reason}
        if isinstance(line, Answer) and len(line.fields) == 2:
            person = Answer(None, line.fields[1:])
            line = Answer(line.canals, line.fields[:1])
        else:
            person = None
        number = number_in(room, line, sorted(known))
        if number is None:
            return self
        said = WhoSaid(known[number], self.first)
        return said if person is None else said.take(room, person)


@dataclass(slots=True)
class WhoSaid:
    """Asks who said it; Enter takes the session's clinician."""

    reason: str
    first: Callable[[Room], list[Remark]]

    def prompt(self, room: Room) -> Prompt:
        """List the clinicians."""
        ways = [(one.number, one.name) for one in room.protocol.person if one.role == "clinician"]
        name = next((text for number, text in ways if number == room.case.header.clinician), "")
        return numbered("Who said it", self.reason, ways, offer=name)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log what comes first, then a departure for each remark."""
        people = [one.number for one in room.protocol.person if one.role == "clinician"]
        number = room.case.header.clinician if isinstance(line, Empty) else number_in(room, line, people)
        if number is None:
            return self
        for remark in self.first(room):
            room.log("departure", remark=remark.key, text=remark.text, reason=self.reason, said_by=number)
            room.queue = [one for one in room.queue if one.key != remark.key]
        room.say("Logged with the reason.", Tone.GOOD)
        return None
