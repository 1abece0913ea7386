"""Lists of sessions on the start screen, by pages; a session keeps its number from page to page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from stepper.note.words import local
from stepper.session.store import Listed
from stepper.session.view import Choice

SHOWN = 8
"""How many are shown at once."""


@dataclass(slots=True)
class Pages:
    """Sessions numbered from `first` on."""

    listed: Sequence[Listed]
    first: int
    page: int = 0

    def choices(self) -> tuple[Choice, ...]:
        """Give the page that is shown."""
        begin = self.page * SHOWN
        shown = self.listed[begin : begin + SHOWN]
        return tuple(Choice(str(number), label(one)) for number, one in enumerate(shown, start=self.first + begin))

    def hint(self) -> str:
        """Say what to type."""
        return "a number; Enter shows more of them" if len(self.listed) > SHOWN else "a number"

    def turn(self) -> bool:
        """Go to the next page, from the last to the first; tell whether there is another."""
        self.page = (self.page + 1) % max(-(-len(self.listed) // SHOWN), 1)
        return len(self.listed) > SHOWN

    def of(self, number: int) -> Listed | None:
        """Give the session of a number, whether its page is shown or not."""
        place = number - self.first
        return self.listed[place] if 0 <= place < len(self.listed) else None

    @property
    def last(self) -> int:
        """The highest number."""
        return self.first + len(self.listed) - 1


def label(one: Listed) -> str:
    """Name a session: whose tooth, when it was opened, how it stands."""
    if one.header is None:
        return one.fault
    when = local(one.header).strftime("%Y-%m-%d %H:%M")
    state = "void" if one.void else "closed" if one.closed else "open"
    said = f"patient {one.header.patient}, tooth {one.header.tooth}, {when}, {one.entries} entries, {state}"
    said = f"{said}, practice" if one.header.practice else said
    return f"{said}, damaged" if one.fault else said
