"""Correcting what was said about an incident: what it was, or the answer to one of its questions."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.kinds.union import AnyQuestion
from stepper.lines.grammar import Empty, Line
from stepper.note.words import clock, incident_label, show
from stepper.session.modes.answering import one_answer
from stepper.session.modes.incident import What, told_in_words
from stepper.session.modes.listing import LEGEND, listed, number_in
from stepper.session.room import Mode, Room, dump
from stepper.session.view import Choice, Prompt, Tone


@dataclass(slots=True)
class Retold:
    """Lists what was said about an incident; the later word counts, the earlier one is kept."""

    seq: int

    def prompt(self, room: Room) -> Prompt:
        """List it."""
        told = room.case.details.get(self.seq, {})
        words = {name: _asked(room, self.seq, name) for name in told}
        ways = [f"what it was: {incident_label(room.protocol, room.case.incidents[self.seq] or '')}"]
        for name, asked in words.items():
            ways.append(f"{asked.prompt if asked else name}: {show(room.protocol, asked, told[name].value)}")
        return listed("Correct", f"Incident of {clock(room.case.entries[self.seq])}", ways, then="0 for none")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Name it anew, or ask again."""
        names = list(room.case.details.get(self.seq, {}))
        number = number_in(room, line, list(range(len(names) + 2)))
        if not number:
            return self if number is None else None
        return What(self.seq) if number == 1 else AnsweredAnew(self.seq, names[number - 2])


@dataclass(slots=True)
class AnsweredAnew:
    """Asks one question about an incident again; Enter leaves the answer as it is."""

    seq: int
    name: str

    def prompt(self, room: Room) -> Prompt:
        """Ask as the question itself asks."""
        asked, then = _asked(room, self.seq, self.name), "-- not done  -/ not measured"
        choices = tuple(Choice(str(one.number), one.label) for one in asked.options_of(room.protocol)) if asked else ()
        text, hint = (asked.prompt, asked.hint()) if asked else (self.name, "")
        return Prompt("Correct: INCIDENT", "", text, hint, choices, then, "nothing: leave it as it is", "", LEGEND)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the new answer."""
        if isinstance(line, Empty):
            room.say("Nothing was corrected.")
            return None
        asked = _asked(room, self.seq, self.name)
        value = one_answer(room, asked, line, "Type the one new answer, without a canal.")
        if value is None:
            return self
        what = room.case.incidents[self.seq]
        room.log("incident_detail", of=self.seq, what=what, values=dump({self.name: value}))
        room.say(f"Logged: {told_in_words(room, self.seq, {self.name: value})}. The later word counts.", Tone.GOOD)
        return None


def _asked(room: Room, seq: int, name: str) -> AnyQuestion | None:
    kind = room.protocol.incident_of(room.case.incidents[seq] or "")
    return kind.asked(name) if kind is not None else None
