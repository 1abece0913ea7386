"""Words of a person's own for a section of the note: which section, the words, and once more before they are logged."""

from __future__ import annotations

from dataclasses import dataclass, replace

from stepper.lines.grammar import Line
from stepper.note.compose import compose
from stepper.note.words import person
from stepper.note.written import sections_for_words
from stepper.session.modes.listing import LEGEND, number_in, numbered
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone

LEAST = 2
"""Signs of what can be meant as words."""


@dataclass(slots=True)
class InSection:
    """Asks for the section."""

    def prompt(self, room: Room) -> Prompt:
        """List them."""
        return numbered("Write", "Into which section of the note?", _sections(room), then="0 for none", wide=True)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Choose."""
        known = dict(_sections(room))
        number = number_in(room, line, [0, *known])
        if not number:
            return self if number is None else None
        return Wording(known[number])


@dataclass(slots=True)
class Wording:
    """Asks for the words, as they are to stand in the note."""

    section: str

    def prompt(self, room: Room) -> Prompt:  # noqa: ARG002 - it asks the same of every session
        """Ask."""
        hint = "letters are welcome; Enter ends it, Enter alone leaves"
        return Prompt(f"Write: {self.section}", "", "Which words?", hint, (), "", "nothing: leave it", "", LEGEND)

    def take(self, room: Room, line: Line) -> Mode | None:  # noqa: ARG002 - see `take_text`
        """Read no line: words are taken as they were typed."""
        return self

    def take_text(self, room: Room, typed: str) -> Mode | None:
        """Take the words."""
        text = typed.strip()
        if not text:
            room.say("Nothing was written.")
            return None
        if len(text) < LEAST or not text.isprintable():
            room.say("That is no text; letters, figures and signs that can be printed are allowed.", Tone.WARN)
            return self
        return ReadOver(self.section, text)


@dataclass(slots=True)
class ReadOver:
    """Shows the words once more, and asks whose they are; that logs them."""

    section: str
    text: str

    def prompt(self, room: Room) -> Prompt:
        """Show them."""
        people = [(one.number, one.name) for one in room.protocol.person]
        asked = numbered(f"Write: {self.section}", "Whose words are they? That adds them.", people, then="0 for not")
        return replace(asked, card=(self.text,))

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log them."""
        number = number_in(room, line, [0, *(one.number for one in room.protocol.person)])
        if not number:
            return self if number is None else Wording(self.section)
        room.log("free_text", section=self.section, text=self.text, said_by=number)
        room.say(f"Added to {self.section}, as the words of {person(room.protocol, number)}.", Tone.GOOD)
        return None


def _sections(room: Room) -> list[tuple[int, str]]:
    shown = [one.title for one in compose(room.case).sections]
    return list(enumerate(sections_for_words(room.case, shown), start=1))
