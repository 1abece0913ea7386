"""The drawing of a canal, a page for each; read only."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.lines.grammar import Answer, Command, CommandName, Empty, Line
from stepper.note.drawing import LEAST_HEIGHT, draw
from stepper.note.drawn import scene_of
from stepper.session.room import Mode, Room
from stepper.session.view import Page, Prompt, Tone

LEGEND = "+ next canal  - canal before  2 canal 2   Enter back to the question"


TITLE = "Canal drawing"


@dataclass(slots=True)
class Drawing:
    """Shows one canal at a time, at first the one that is being worked in; Enter goes back."""

    canal: int

    def prompt(self, room: Room) -> Prompt:
        """Show the drawing in the place of everything but what is being typed."""
        known = sorted(room.case.told.canals)
        rows = draw(scene_of(room.case, room.case.told.canals[self.canal]), height=max(room.page_rows, LEAST_HEIGHT))
        page = Page(TITLE, rows, known.index(self.canal) + 1, len(known))
        return Prompt(TITLE, "", "", "", (), "", "", "", LEGEND, page=page)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Turn to another canal or go back."""
        known = sorted(room.case.told.canals)
        at = known.index(self.canal)
        match line:
            case Empty() | Answer(None, ("0",)):
                return None
            case Command(CommandName.FINISH):
                return Drawing(known[(at + 1) % len(known)])
            case Command(CommandName.LOOK_BACK):
                return Drawing(known[at - 1])
            case Answer(None, (typed,)) if typed in map(str, known):
                return Drawing(int(typed))
        room.say("+ next canal, - canal before, a number that canal, Enter or 0 goes back to the question.", Tone.WARN)
        return self


def drawing(room: Room) -> Mode:
    """Open the drawing of the canal that is being worked in, or of the first."""
    known = room.case.told.canals
    return Drawing(room.cursor.canal if room.cursor.canal in known else min(known))
