"""Signing: the note read to its end, what it lacks and what is confirmed by it; then whose key, then the passphrase."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from stepper.lines.grammar import Answer, Command, CommandName, Empty, Line
from stepper.lines.refusal import visible
from stepper.note.compose import compose
from stepper.note.text import render
from stepper.record.keys import Key, KeyList
from stepper.session.modes.listing import number_in, numbered
from stepper.session.pages import PagedText
from stepper.session.room import Mode, Room
from stepper.session.signing import MEANING, Confirmed
from stepper.session.view import Prompt, Tone

ROW = 80
LEGEND = "Enter next page  - page back  on the last page 1 signs  0 leaves"


@dataclass(slots=True)
class ReadThrough:
    """Shows all that a signature is about, by pages; only on the last of them it goes on to signing."""

    confirmed: Confirmed
    keys: KeyList
    complete: tuple[str, ...]
    turned: int = field(default=0)

    def prompt(self, room: Room) -> Prompt:
        """Show a page."""
        text = self._text(room)
        for _ in range(self.turned):
            text.turn(1)
        return Prompt("Sign", "", "", "", (), "", "", "", LEGEND, page=text.page())

    def take(self, room: Room, line: Line) -> Mode | None:
        """Turn the page; on the last one go on."""
        last = self._pages(room) - 1
        match line:
            case Answer(None, ("0",)):
                room.say("Nothing was signed.")
                return None
            case Empty() if self.turned < last:
                return ReadThrough(self.confirmed, self.keys, self.complete, self.turned + 1)
            case Command(CommandName.LOOK_BACK) if self.turned:
                return ReadThrough(self.confirmed, self.keys, self.complete, self.turned - 1)
            case Answer(None, ("1",)) if self.turned == last:
                return WhoSigns(self.keys)
            case Answer(None, ("1",)):
                room.say(f"Read to the last page first: this is {self.turned + 1} of {last + 1}.", Tone.WARN)
            case _:
                room.say(f"{LEGEND}.", Tone.WARN)
        return self

    def _pages(self, room: Room) -> int:
        return self._text(room).page().of

    def _text(self, room: Room) -> PagedText:
        note = render(compose(room.case)).rstrip("\n").split("\n")
        title = "To be signed: the note, what it lacks, what is confirmed"
        return PagedText(title, (*note, *self._about()), room.page_rows)

    def _about(self) -> Iterator[str]:
        yield from ("", *self.complete)
        yield from _listed("STOPS THAT STAND, AND ARE SIGNED AS THEY STAND", self.confirmed.stops)
        yield from _listed("LATE ENTRIES AND CORRECTIONS THAT YOU CONFIRM", self.confirmed.unconfirmed)
        yield from _listed("DEPARTURES THAT YOU CONFIRM", self.confirmed.departures)
        yield from ("", *(f" {row}" for row in textwrap.wrap(f"1 and Enter signs: {MEANING}", ROW - 1)))


@dataclass(slots=True)
class WhoSigns:
    """Asks with whose key."""

    keys: KeyList

    def prompt(self, room: Room) -> Prompt:  # noqa: ARG002 - the keys are the practice's
        """List those who have one."""
        ways = [(one.person, f"{one.name} ({one.initials})") for one in self._newest()]
        return numbered("Sign", "Who signs?", ways, then="0 for nobody")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Choose."""
        known = {one.person: one for one in self._newest()}
        if not known:
            room.say("Nobody has a key yet: stepper key makes one.", Tone.WARN)
            return None
        number = number_in(room, line, [0, *sorted(known)])
        if not number:
            return self if number is None else None
        return Passphrase(known[number])

    def _newest(self) -> list[Key]:
        people = sorted({one.person for one in self.keys.key})
        return [key for key in map(self.keys.of, people) if key is not None]


@dataclass(slots=True)
class Passphrase:
    """Asks for the passphrase of a key; what is typed is masked, and read by who signs."""

    key: Key

    def prompt(self, room: Room) -> Prompt:  # noqa: ARG002 - it asks the same of every session
        """Ask."""
        asked = f"Passphrase of {self.key.name} ({self.key.initials})?"
        return Prompt("Sign", "", asked, MEANING, (), "", "sign nothing", "", "passphrase Enter: sign   Enter: leave")

    def take(self, room: Room, line: Line) -> Mode | None:  # noqa: ARG002 - the passphrase is no line of the keypad
        """Read no line."""
        return self


def _listed(title: str, told: Iterable[str]) -> Iterator[str]:
    found = list(told)
    if found:
        yield from ("", f" {title}")
    for one in found:
        yield from textwrap.wrap(visible(one), ROW - 2, initial_indent=" - ", subsequent_indent="   ")
