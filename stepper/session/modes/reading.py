"""Pages that are only read: a canal's record, all remarks, what is owed. One command away, and Enter leads back."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from stepper.lines.grammar import Answer, Command, CommandName, Empty, Line
from stepper.session.looks import canal_rows, owed_rows, remark_rows
from stepper.session.modes.waiting import waiting
from stepper.session.pages import PagedText
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone


class Look(StrEnum):
    """What is looked at."""

    CANAL = "Record of the canal"
    REMARKS = "Remarks"
    OWED = "Open and owed"


LEGENDS = {
    Look.CANAL: "+ next  - before  2 canal 2   Enter back to the question",
    Look.REMARKS: "+ next  - before   Enter back to the question",
    Look.OWED: "number: answer it   + next  - before   Enter back to the question",
}


@dataclass(slots=True)
class Reading:
    """Shows a text by pages; only a number that waits leads on from it. `canal` is the one whose record it is."""

    look: Look
    canal: int = 0
    turned: int = field(default=0)

    def prompt(self, room: Room) -> Prompt:
        """Show the page in the place of everything but what is being typed."""
        text = self._text(room)
        for _ in range(self.turned):
            text.turn(1)
        page = text.page()
        self.turned = page.number - 1
        return Prompt(self.look.value, "", "", "", (), "", "", "", LEGENDS[self.look], page=page)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Turn the page, go to another canal, open what waits, or go back."""
        match line:
            case Empty() | Answer(None, ("0",)):
                return None
            case Command(CommandName.FINISH):
                return Reading(self.look, self.canal, self.turned + 1)
            case Command(CommandName.LOOK_BACK):
                return Reading(self.look, self.canal, max(self.turned - 1, 0))
            case Answer(None, (typed,)) if self.look is Look.CANAL and typed in map(str, room.case.told.canals):
                return Reading(self.look, int(typed))
            case Answer(None, (typed,)) if self.look is Look.OWED:
                opens = next((opens for number, _, opens in waiting(room) if str(number) == typed), None)
                if opens is not None:
                    room.opened_from = self
                    return opens()
        room.say(f"Only to be read: {LEGENDS[self.look]}.", Tone.WARN)
        return self

    def _text(self, room: Room) -> PagedText:
        heading, rows = self.look.value, tuple[str, ...]()
        match self.look:
            case Look.CANAL:
                heading = f"Record of canal {self.canal} {room.case.told.canals[self.canal].name}"
                rows = canal_rows(room.case, self.canal)
            case Look.REMARKS:
                rows = remark_rows(room.case)
            case Look.OWED:
                rows = owed_rows(room.case, [(number, text) for number, text, _ in waiting(room)])
        return PagedText(heading, tuple(f" {row}" for row in rows), room.page_rows)


def canal_record(room: Room) -> Mode:
    """Open the record of the canal that is being worked in, or of the first."""
    known = list(room.case.told.canals)
    return Reading(Look.CANAL, room.cursor.canal if room.cursor.canal in known else known[0])
