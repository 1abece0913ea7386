"""Incidents: stamped at once from anywhere, named afterwards."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.lines.grammar import Empty, Line
from stepper.note.words import incident_label
from stepper.session.modes.listing import number_in, numbered
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone


def stamp(room: Room) -> Mode:
    """Log that something went wrong, now, and ask what."""
    entry = room.log("incident", step=room.cursor.step, canal=room.cursor.canal)
    room.say("Incident logged with its time.", Tone.WARN)
    return What(entry.seq)


def unnamed(room: Room) -> list[int]:
    """Give the incidents that nobody has named yet."""
    return [seq for seq, what in room.case.incidents.items() if what is None]


@dataclass(slots=True)
class What:
    """Asks what an incident was; 0 for a slip of the keys, Enter for later."""

    seq: int

    def prompt(self, room: Room) -> Prompt:
        """List the protocol's kinds of incident."""
        ways = [(0, "nothing: a slip of the keys"), *((one.number, one.label) for one in room.protocol.incident)]
        return numbered("INCIDENT", "What happened?", ways, offer="name it later")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the name."""
        if isinstance(line, Empty):
            room.say("The incident is named later: / lists it.", Tone.WARN)
            return None
        known = {one.number: one.id for one in room.protocol.incident}
        number = number_in(room, line, [0, *known])
        if number is None:
            return self
        what = known.get(number, "slip")
        room.log("incident_detail", of=self.seq, what=what)
        room.say(f"Logged: {incident_label(room.protocol, what)}.", Tone.WARN)
        return None
