"""Words of a person's own for a section of the note: which section, the words, and once more before they are logged."""

from __future__ import annotations

from dataclasses import dataclass, replace

from stepper.facts.free_text import FreeText
from stepper.lines.grammar import Line
from stepper.note.compose import compose
from stepper.note.words import person
from stepper.note.written import sections_for_words
from stepper.session.modes.listing import number_in, numbered
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone

WITHDRAW = "--"
"""Instead of new words: there are to be none."""

LEGEND = "Enter: ends the words   Enter alone: leaves   Esc: wipes the line"


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
    """Asks for the words, as they are to stand in the note; `instead` of those of an entry, if they are."""

    section: str
    instead: int | None = None

    def prompt(self, room: Room) -> Prompt:
        """Ask."""
        new = self.instead is None
        hint = "letters are welcome" if new else "letters are welcome; -- withdraws what stands there"
        offer = "nothing: leave it" if new else "leave it as it is"
        card = () if new else (f"Now: {_words_of(room, self.instead)}",)
        return Prompt(f"Write: {self.section}", "", "Which words?", hint, (), "", offer, "", LEGEND, card=card)

    def take(self, room: Room, line: Line) -> Mode | None:  # noqa: ARG002 - see `take_text`
        """Read no line: words are taken as they were typed."""
        return self

    def take_text(self, room: Room, typed: str) -> Mode | None:
        """Take the words."""
        text = typed.strip()
        if not text:
            room.say("Nothing was written.")
            return None
        if text == WITHDRAW and self.instead is not None:
            return ReadOver(self.section, "", self.instead)
        unseen = next((sign for sign in text if not sign.isprintable()), "")
        if unseen:
            room.say(f"A sign in it cannot be seen (U+{ord(unseen):04X}): wipe it, and type the words anew.", Tone.WARN)
            return self
        if not any(sign.isalpha() for sign in text):
            room.say("Words have letters; Enter alone leaves.", Tone.WARN)
            return self
        return ReadOver(self.section, text, self.instead)


@dataclass(slots=True)
class ReadOver:
    """Shows the words once more, and asks whose they are; that logs them."""

    section: str
    text: str
    instead: int | None = None

    def prompt(self, room: Room) -> Prompt:
        """Show them."""
        people = [(one.number, one.name) for one in room.protocol.person]
        question = "Whose words are they? That adds them." if self.text else "Who withdraws these words?"
        asked = numbered(f"Write: {self.section}", question, people, then="0 for not")
        return replace(asked, card=(self.text or _words_of(room, self.instead),))

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log them."""
        number = number_in(room, line, [0, *(one.number for one in room.protocol.person)])
        if not number:
            return self if number is None else Wording(self.section, self.instead)
        instead = {"instead": self.instead} if self.instead is not None else {}
        room.log("free_text", section=self.section, text=self.text, said_by=number, **instead)
        whose = person(room.protocol, number)
        said = f"Added to {self.section}, as the words of {whose}." if self.text else f"Withdrawn by {whose}."
        room.say(said, Tone.GOOD)
        return None


def _words_of(room: Room, seq: int | None) -> str:
    entry = room.case.entries[seq] if seq is not None else None
    return entry.text if isinstance(entry, FreeText) else ""


def _sections(room: Room) -> list[tuple[int, str]]:
    shown = [one.title for one in compose(room.case).sections]
    return list(enumerate(sections_for_words(room.case, shown), start=1))
