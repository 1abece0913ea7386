"""The menu: what can be done now. A number once learnt never does another thing; what waits is numbered from 11."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from stepper.lines.grammar import Command, CommandName, Empty, Line
from stepper.session.modes.canals import FoundLate, Joining, can_join
from stepper.session.modes.closing import CloseVisit, Leave, VoidVisit, end_early
from stepper.session.modes.correcting import Which
from stepper.session.modes.drawing import drawing
from stepper.session.modes.listing import number_in, numbered
from stepper.session.modes.looking import LookBack
from stepper.session.modes.people import Relieve
from stepper.session.modes.waiting import Way, next_page, page_of, waiting
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone


def always(room: Room) -> list[Way]:
    """Give what can be done whatever waits."""
    found: list[Way] = [(1, "correct an entry", Which), (2, "look back", LookBack)]
    if room.case.told.canals:
        found.append((3, "a canal was found late", FoundLate))
    if can_join(room):
        found.append((4, "canals join", Joining))
    if room.case.ending is None:
        found.append((5, "end early: make safe", end_early))
    found += [(6, "close the visit", CloseVisit), (7, "someone else takes the keyboard", Relieve)]
    found += [(8, "leave, and go on later", Leave), (9, "void the visit", VoidVisit)]
    return [*found, (10, "draw the canals", partial(drawing, room))] if room.case.told.canals else found


@dataclass(slots=True)
class Menu:
    """Lists the ways, what waits first; Enter or 0 goes back, + shows more of what waits."""

    page: int = 0

    def prompt(self, room: Room) -> Prompt:
        """List them."""
        shown, then = page_of(waiting(room), self.page)
        listed = [*shown, *((number, text) for number, text, _ in always(room))]
        return numbered("Menu", "What can be done now", listed, offer="back to the question", then=then)

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
