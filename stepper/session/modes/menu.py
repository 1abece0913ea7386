"""The menu: what can be done now. A number once learnt never does another thing; what waits is numbered from 21."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

from stepper.lines.grammar import Command, CommandName, Empty, Line, MenuWay
from stepper.session import latch
from stepper.session.modes.canals import FoundLate, Joining, can_join
from stepper.session.modes.closing import CloseVisit, Leave, VoidVisit, end_early
from stepper.session.modes.correcting import Which
from stepper.session.modes.drawing import drawing
from stepper.session.modes.listing import number_in, numbered
from stepper.session.modes.looking import LookBack
from stepper.session.modes.people import Relieve
from stepper.session.modes.reading import Look, Reading, canal_record
from stepper.session.modes.waiting import Way, next_page, page_of, waiting
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone


def always(room: Room) -> list[Way]:
    """Give what can be done whatever waits."""
    found: list[Way] = [(1, "correct an entry", Which), (2, "look back", LookBack)]
    if room.case.told.canals:
        found.append((3, "a canal found late", FoundLate))
    if can_join(room):
        found.append((4, "canals join", Joining))
    if room.case.ending is None:
        found.append((5, "end early: make safe", end_early))
    found += [(6, "close the visit", CloseVisit), (7, "someone else takes the keyboard", Relieve)]
    found += [(8, "leave, and go on later", Leave), (9, "void the visit", VoidVisit)]
    if room.case.told.canals:
        found += [
            (10, "draw the canals", partial(drawing, room)),
            (11, "record of the canal", partial(canal_record, room)),
        ]
    found += [
        (12, "all remarks", partial(Reading, Look.REMARKS)),
        (13, "open and owed", partial(Reading, Look.OWED)),
    ]
    if room.latch.lockable:
        found.append((latch.NUMBER, latch.WORDS, room.latch.lock))
    return found


READ_ONLY = (2, 10, 11, 12, 13)
"""What only shows something, so that one line may open it: `/11`."""


def at_once(room: Room, line: MenuWay) -> Mode | None:
    """Open what a menu number shows, or say why one line does not; the rest of the menu takes two."""
    if line.number == latch.NUMBER:  # where it can be locked, it is by now
        room.say(latch.NONE, Tone.WARN)
        return None
    if line.number not in READ_ONLY:
        listed = " ".join(f"/{number}" for number in READ_ONLY)
        room.say(
            f"/{line.number}: one line opens only what changes nothing, {listed}; else / and then the number.",
            Tone.WARN,
        )
        return None
    opens = next((opens for number, _, opens in always(room) if number == line.number), None)
    if opens is None:
        room.say("No canal is found yet.", Tone.WARN)
    return opens() if opens is not None else None


KEYS = (
    "Or typed at the question: 2* canal 2, 7/ step 7, + finish it, - look back, ++ clocks, * read aloud again, "
    "5-- five minutes ago, -. owed."
)
"""What is not in the list because it is typed at the question itself."""


@dataclass(slots=True)
class Menu:
    """Lists the ways, what waits first; Enter or 0 goes back, + shows more of what waits."""

    page: int = 0

    def prompt(self, room: Room) -> Prompt:
        """List them."""
        shown, then = page_of(waiting(room), self.page)
        listed = [*shown, *((number, text) for number, text, _ in always(room))]
        offer = "back to the question"
        return replace(numbered("Menu", "What can be done now", listed, offer=offer, then=then, wide=True), hint=KEYS)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Go there."""
        if isinstance(line, Empty):
            return None
        if isinstance(line, Command) and line.name is CommandName.FINISH:
            return Menu(next_page(waiting(room), self.page))
        found = {number: opens for number, _, opens in (*waiting(room), *always(room))}
        number = number_in(room, line, [0, *sorted(found)])
        if number is None:
            room.say("Type one of the numbers that are listed, then Enter; 0 goes back.", Tone.WARN)
            return self
        return found[number]() if number else None
