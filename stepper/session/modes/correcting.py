"""Correcting an entry: which, how, the new answer, its read-back, and for a slip the clinician's spoken yes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from stepper.case.fold import answered
from stepper.facts.entries import Answer as Answered
from stepper.facts.entries import AnyEntry, Correction, IncidentDetail
from stepper.kinds.union import AnyQuestion
from stepper.lines.grammar import Answer, Command, CommandName, Empty, Line
from stepper.note.corrections import changes
from stepper.note.words import canal_name, clock, place, say, show, title
from stepper.session.modes.answering import one_answer
from stepper.session.modes.incident import What
from stepper.session.modes.listing import ABSENCES, LEGEND, listed, number_in
from stepper.session.modes.retelling import AnsweredAnew, Retold
from stepper.session.room import Mode, Room, dump
from stepper.session.view import Choice, Prompt, Tone

PAGE = 9


def correctable(room: Room) -> list[Answered | Correction | IncidentDetail]:
    """Give the entries that can be corrected, newest first; of each incident the last that was said about it."""
    told = {one.of: one.seq for one in room.case.entries if isinstance(one, IncidentDetail)}
    return [
        one
        for one in reversed(room.case.entries)
        if isinstance(one, Answered)
        or (isinstance(one, Correction) and one.of)
        or (isinstance(one, IncidentDetail) and told[one.of] == one.seq)
    ]


@dataclass(slots=True)
class Which:
    """Lists nine entries, newest 1; `.` lists older ones."""

    page: int = 0

    def prompt(self, room: Room) -> Prompt:
        """List them."""
        entries = self._shown(room)
        ways = [f"{clock(one)} {where(room, one)} {say(room.case, one)}" for one in entries]
        return listed("Correct", "Which entry?", ways, then=". for older ones, 0 for none", wide=True)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Choose one, or turn the page."""
        if isinstance(line, Command) and line.name is CommandName.CORRECT:
            more = len(correctable(room)) > (self.page + 1) * PAGE
            return Which(self.page + 1 if more else 0)
        if isinstance(line, Answer) and line.canals is None and len(line.fields) > 1:
            return self._at_once(room, line.fields)
        entries = self._shown(room)
        number = number_in(room, line, list(range(len(entries) + 1)))
        if number is None:
            return self
        chosen = entries[number - 1] if number else None
        if isinstance(chosen, IncidentDetail):
            return Retold(chosen.of)
        return How(chosen.seq) if chosen is not None else None

    def _at_once(self, room: Room, fields: tuple[str, ...]) -> Mode | None:
        """Take a whole correction in one line, as `3**1**2**6.2027`; nothing is logged unless all of it fits.

        What was keyed and never happened is taken back as `1**1**1**--`, an incident's name as
        `1**1**4`. The clinician's yes is never part of it.
        """
        mode: Mode | None = self
        for count, field in enumerate(fields, start=1):
            if isinstance(mode, _LAST) and count < len(fields):
                shape = "which entry, 1 or 2, which fact, the new answer"
                room.say(f"{fields[count]}: one answer too many; {shape}.", Tone.WARN)
                return self
            if not isinstance(mode, Which | How | Question | Retold | _LAST):
                room.say(f"{field}: this entry is corrected step by step; type {fields[0]} alone.", Tone.WARN)
                return self
            absent = field in ABSENCES
            before, mode = mode, mode.take(room, Command(CommandName(field)) if absent else Answer(None, (field,)))
            if mode is before:
                return self
        return mode

    def _shown(self, room: Room) -> list[Answered | Correction | IncidentDetail]:
        return correctable(room)[self.page * PAGE : (self.page + 1) * PAGE]


@dataclass(slots=True)
class How:
    """Asks whether it was keyed wrong or measured anew; once the visit is over nothing is measured any more."""

    seq: int

    def prompt(self, room: Room) -> Prompt:
        """Show the entry and the ways."""
        entry = room.case.entries[self.seq]
        ways = ["keyed wrong: the fact was otherwise", "measured anew: it has changed since"][: _hows(room)]
        return listed("Correct", f"{where(room, entry)} {say(room.case, entry)}", ways, then="0 for neither")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Choose."""
        number = number_in(room, line, list(range(_hows(room) + 1)))
        if number is None:
            return self
        if number == 0:
            return None
        return which_fact(room, self.seq, "keyed_wrong" if number == 1 else "measured_anew")


def _hows(room: Room) -> int:
    return 1 if room.case.closed or room.case.void is not None else 2


def which_fact(room: Room, seq: int, how: Literal["keyed_wrong", "measured_anew"]) -> Mode:
    """Ask for the new answer, and before that which of an entry's facts it is, where there are several."""
    names = _names(room, seq)
    return NewValue(seq, how, names[0]) if len(names) == 1 else Question(seq, how)


@dataclass(slots=True)
class Question:
    """Asks which of an entry's facts it is."""

    seq: int
    how: Literal["keyed_wrong", "measured_anew"]

    def prompt(self, room: Room) -> Prompt:
        """List the facts."""
        entry = room.case.entries[self.seq]
        assert isinstance(entry, Answered | Correction)
        asked = {name: _asked(room, self.seq, name) for name in entry.values}
        said = {name: show(room.protocol, asked[name], entry.values[name]) for name in asked}
        ways = [f"{name.replace('_', ' ')}: {said[name]}{_now(room, self.seq, name, said[name])}" for name in asked]
        return listed("Correct", "Which fact?", ways, then="0 for none")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Choose one."""
        names = _names(room, self.seq)
        number = number_in(room, line, list(range(len(names) + 1)))
        if not number:
            return self if number is None else None
        return NewValue(self.seq, self.how, names[number - 1])


@dataclass(slots=True)
class NewValue:
    """Asks for the new answer; `--`, `-/` and `-.` say that there is none."""

    seq: int
    how: Literal["keyed_wrong", "measured_anew"]
    name: str

    def prompt(self, room: Room) -> Prompt:
        """Ask as the question itself asks."""
        question = _asked(room, self.seq, self.name)
        entry = room.case.entries[self.seq]
        text = question.prompt if question is not None else self.name
        if isinstance(entry, Answered | Correction):
            text += _now(room, self.seq, self.name, show(room.protocol, question, entry.values[self.name]))
        return Prompt(
            f"Correct: {where(room, entry)}",
            "",
            text,
            question.hint() if question is not None else "",
            _choices(room, question) if question is not None else (),
            "-- not done  -/ not measured",
            "nothing: leave it as it is",
            "",
            LEGEND,
        )

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the correction and read it back."""
        if isinstance(line, Empty):
            room.say("Nothing was corrected.")
            return None
        asked = _asked(room, self.seq, self.name)
        value = one_answer(room, asked, line, "Type the one new answer, without a canal.")
        if value is None:
            return self
        entry = room.log("correction", of=self.seq, how=self.how, values=dump({self.name: value}))
        question = _asked(room, self.seq, self.name)
        named = f"{question.prompt}, " if question is not None else ""
        room.read_aloud(f"{where(room, entry)}: {named}{show(room.protocol, question, value)}")
        room.say("Correction logged.", Tone.GOOD)
        return SpokenYes((entry.seq,)) if self.how == "keyed_wrong" else None


@dataclass(slots=True)
class SpokenYes:
    """Asks whether the clinician said yes to what was keyed late or corrected."""

    seqs: tuple[int, ...]

    def prompt(self, room: Room) -> Prompt:
        """Read it out."""
        return listed(
            "Read aloud",
            "; ".join(_aloud(room, seq) for seq in self.seqs),
            ["the clinician says yes", "not yet: it opens no gate"],
        )

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the yes."""
        number = number_in(room, line, [1, 2])
        if number is None:
            return self
        if number == 1:
            room.log("confirm", of=list(self.seqs), said_by=room.clinician)
            room.say("Confirmed.", Tone.GOOD)
        return None


_LAST = NewValue | What | AnsweredAnew
"""What logs the last answer of a correction."""


def _aloud(room: Room, seq: int) -> str:
    """Say an entry so that the clinician can answer it: of a correction, what was and what is."""
    entry = room.case.entries[seq]
    if not isinstance(entry, Correction):
        return f"{where(room, entry)}: {say(room.case, entry)}"
    place = f"{where(room, entry)}: " if entry.of else ""
    root = room.case.root(entry.of)
    later = [
        one.seq
        for one in room.case.entries[seq + 1 :]
        if isinstance(one, Correction) and room.case.root(one.of) == root and one.values.keys() & entry.values.keys()
    ]
    said = changes(room.case, entry) + (f" (corrected again by entry {later[-1]})" if later else "")
    return f"{place}{said[:1].upper()}{said[1:]}" if not place else f"{place}{said}"


def where(room: Room, entry: AnyEntry) -> str:
    """Say the step and canal of an entry."""
    step, canal = place(room.case, entry)
    return f"{title(room.protocol, step)} {canal_name(room.case, canal)}".strip() if step else "session"


def _names(room: Room, seq: int) -> list[str]:
    entry = room.case.entries[seq]
    return list(entry.values) if isinstance(entry, Answered | Correction) else []


def _now(room: Room, seq: int, name: str, said: str) -> str:
    """Say what is in force now, where that is not what the entry `said`."""
    entry = room.case.entries[seq]
    target = answered(room.case, entry) if isinstance(entry, Answered | Correction) else None
    row = room.case.told.row(target.step, target.canal, target.row) if target is not None else None
    fact = row.facts.get(name) if row is not None else None
    stands = show(room.protocol, _asked(room, seq, name), fact.value) if fact is not None else said
    return f" (now {stands})" if stands != said else ""


def _asked(room: Room, seq: int, name: str) -> AnyQuestion | None:
    entry = room.case.entries[seq]
    target = answered(room.case, entry) if isinstance(entry, Answered | Correction) else None
    step = room.protocol.by_step.get(target.step) if target is not None else None
    return step.asked(name) if step is not None else None


def _choices(room: Room, question: AnyQuestion) -> tuple[Choice, ...]:
    return tuple(Choice(str(one.number), one.label) for one in question.options_of(room.protocol))
