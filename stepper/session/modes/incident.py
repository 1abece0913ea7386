"""Incidents: stamped at once from anywhere, named and told afterwards, under the practice's own card."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from stepper.case.incidents import canal_of, open_details
from stepper.facts.values import Absent, Value, Why
from stepper.kinds.asking import holds
from stepper.kinds.union import AnyQuestion
from stepper.lines.grammar import Answer, Command, Empty, Line
from stepper.note.words import canal_name, incident_label, show
from stepper.session.modes.answering import several_answers
from stepper.session.modes.listing import ABSENCES, LEGEND, number_in, numbered
from stepper.session.room import Mode, Room, dump
from stepper.session.view import Choice, Prompt, Tone

WHERE = "before the number, 2* where it was canal 2"


def _canal(room: Room, line: Line) -> tuple[dict[str, int], Line]:
    """Take the one canal that a line names off it, as a member of the entry."""
    named = line.canals if isinstance(line, Answer) and isinstance(line.canals, tuple) else ()
    if not isinstance(line, Answer) or len(named) != 1 or named[0] not in room.case.told.canals:
        return {}, line
    return {"canal": named[0]}, Answer(None, line.fields)


def stamp(room: Room) -> Mode:
    """Log that something went wrong, now, and ask what."""
    entry = room.log("incident", step=room.cursor.step, canal=room.cursor.canal)
    room.say("Incident logged with its time.", Tone.WARN)
    return What(entry.seq)


@dataclass(slots=True)
class What:
    """Asks what an incident was; 0 for a slip of the keys, Enter for later."""

    seq: int

    def prompt(self, room: Room) -> Prompt:
        """List the protocol's kinds of incident."""
        ways = [(0, "nothing: a slip of the keys"), *((one.number, one.label) for one in room.protocol.incident)]
        several = len(room.case.told.canals) > 1
        return numbered("INCIDENT", "What happened?", ways, offer="name it later", then=WHERE if several else "")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the name."""
        if isinstance(line, Empty):
            room.say("The incident is named later: / lists it.", Tone.WARN)
            return None
        known = {one.number: one.id for one in room.protocol.incident}
        canal, line = _canal(room, line)
        number = number_in(room, line, [0, *known])
        if number is None:
            return self
        what = known.get(number, "slip")
        room.log("incident_detail", of=self.seq, what=what, **canal)
        room.say(f"Logged{_where(room, self.seq)}: {incident_label(room.protocol, what)}.", Tone.WARN)
        kind = room.protocol.incident_of(what)
        return Details(self.seq) if kind is not None and (kind.card or kind.question) else None


@dataclass(slots=True)
class Details:
    """Shows the practice's card for an incident, and asks what is open about it; Enter leaves that for later.

    `put_off`: what was said to be owed just now, and is not asked again before another time.
    """

    seq: int
    put_off: frozenset[str] = frozenset()

    def prompt(self, room: Room) -> Prompt:
        """Show the card and ask the next question."""
        kind = room.protocol.incident_of(room.case.incidents[self.seq] or "")
        question = self._next(room, {})
        title, card = (
            f"INCIDENT: {kind.label}" if kind is not None else "INCIDENT",
            kind.card if kind is not None else (),
        )
        if question is None:
            return Prompt(title, "", "Nothing more is asked about it.", "", (), "", "go on", "", LEGEND, card)
        choices = tuple(Choice(str(one.number), one.label) for one in question.options_of(room.protocol))
        then = [one.id.replace("_", " ") for one in self._left(room) if one.when is None]
        rest = ", ".join(name for name in then if name != question.id.replace("_", " "))
        told = f"** {rest}" if rest else ""
        return Prompt(title, "", question.prompt, question.hint(), choices, told, "later", "", LEGEND, card)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the answers."""
        if isinstance(line, Empty):
            left = open_details(room.case, self.seq)
            room.say("What is open about it is told later: / lists it." if left else "Back to the treatment.")
            return None
        canal, line = _canal(room, line)
        values = self._read(room, line)
        if values is None:
            return self
        what = room.case.incidents[self.seq]
        room.log("incident_detail", of=self.seq, what=what, values=dump(values), **canal)
        room.say(f"Logged{_where(room, self.seq)}: {told_in_words(room, self.seq, values)}.", Tone.GOOD)
        owed = {name for name, value in values.items() if value == Absent(why=Why.OWED)}
        goes_on = Details(self.seq, self.put_off | owed)
        return goes_on if goes_on._next(room, {}) is not None else None

    def _read(self, room: Room, line: Line) -> dict[str, Value] | None:
        """Read one answer or several, or say what is wrong and give None."""
        question = self._next(room, {})
        if question is None:
            room.say("Nothing more is asked about it; Enter goes on.", Tone.WARN)
            return None
        if isinstance(line, Command) and line.name in ABSENCES:
            return {question.id: Absent(why=ABSENCES[line.name])}
        if not isinstance(line, Answer) or line.canals is not None:
            room.say("Type the answer, without a canal; Enter leaves it for later.", Tone.WARN)
            return None
        return several_answers(room, line.fields, partial(self._next, room), "this incident")

    def _next(self, room: Room, values: Mapping[str, Value]) -> AnyQuestion | None:
        """Give the next question whose condition holds, with these answers about to join the others."""
        known = {name: fact.value for name, fact in room.case.details.get(self.seq, {}).items()} | dict(values)
        return next((one for one in self._left(room) if one.id not in values and holds(one, known)), None)

    def _left(self, room: Room) -> list[AnyQuestion]:
        return [one for one in open_details(room.case, self.seq) if one.id not in self.put_off]


def _where(room: Room, seq: int) -> str:
    """Name the canal of an incident where there are several."""
    name = canal_name(room.case, canal_of(room.case, seq)) if len(room.case.told.canals) > 1 else ""
    return f" for {name}" if name else ""


def told_in_words(room: Room, seq: int, values: Mapping[str, Value]) -> str:
    """Say answers about an incident, each behind its question."""
    kind = room.protocol.incident_of(room.case.incidents[seq] or "")
    asked = {name: kind.asked(name) if kind is not None else None for name in values}
    return ", ".join(
        f"{one.prompt if one is not None else name}: {show(room.protocol, one, values[name])}"
        for name, one in asked.items()
    )
