"""The drawing of the canals, two pages for each; read only."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from stepper.lines.grammar import Answer, Command, CommandName, Empty, Line
from stepper.note.drawing import LEAST_HEIGHT
from stepper.note.drawn import drawn
from stepper.session.room import Mode, Room
from stepper.session.view import Page, Prompt, Tone

LEGEND = "+ next  - before  2 canal 2   Enter back to the question"

TITLE = "Canal drawing"

APICAL_MM = Decimal(4)
"""The part next to length that is drawn by itself, close to: one row is half a millimetre on the smallest screen."""


@dataclass(slots=True)
class Drawing:
    """Shows a canal close to length, then the whole of it, then the next one; Enter goes back. `at` counts pages."""

    at: int

    def prompt(self, room: Room) -> Prompt:
        """Show the drawing in the place of everything but what is being typed."""
        known = list(room.case.told.canals.values())
        canal, whole = known[self.at // 2], self.at % 2
        span_mm = room.protocol.limits.reckoned_mm if whole else APICAL_MM
        rows = drawn(room.case, canal, span_mm, max(room.page_rows, LEAST_HEIGHT))
        part = "whole" if whole else f"the last {APICAL_MM} mm"
        page = Page(f"{TITLE}: {canal.number} {canal.name}, {part}", rows, self.at + 1, 2 * len(known))
        return Prompt(TITLE, "", "", "", (), "", "", "", LEGEND, page=page)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Turn to another page or go back."""
        known = list(room.case.told.canals)
        match line:
            case Empty() | Answer(None, ("0",)):
                return None
            case Command(CommandName.FINISH):
                return Drawing((self.at + 1) % (2 * len(known)))
            case Command(CommandName.LOOK_BACK):
                return Drawing((self.at - 1) % (2 * len(known)))
            case Answer(None, (typed,)) if typed in map(str, known):
                return Drawing(2 * known.index(int(typed)))
        room.say("+ next page, - page before, a number that canal, Enter or 0 back to the question.", Tone.WARN)
        return self


def drawing(room: Room) -> Mode:
    """Open the drawing of the canal that is being worked in, or of the first."""
    known = list(room.case.told.canals)
    return Drawing(2 * known.index(room.cursor.canal) if room.cursor.canal in known else 0)
