"""Finishing a step: never done by a single line."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.case.slots import Cursor, next_question, slot
from stepper.case.walk import passed
from stepper.lines.grammar import Command, CommandName, Line
from stepper.note.words import canal_name, title
from stepper.session.modes.listing import listed, number_in
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone


@dataclass(slots=True)
class Finish:
    """Shows what is open in a step; a second line finishes it all the same."""

    at: Cursor

    def prompt(self, room: Room) -> Prompt:
        """List what is open here."""
        here = slot(room.case, self.at)
        begun = here is not None and (not here.fresh or here.row == 1)
        asked = next_question(room.case, here, {}) if here is not None and begun else None
        left = [one.prompt for one in here.questions if one.needed] if here is not None and asked is not None else []
        text = "Open here: " + "; ".join(left[:6]) if left else "Nothing is open here."
        where = f"{title(room.protocol, self.at.step)} {canal_name(room.case, self.at.canal)}".strip()
        return listed(f"Finish {where}", text, ["finish the step", "go on with it"])

    def take(self, room: Room, line: Line) -> Mode | None:
        """Finish, by 1 or by + once more."""
        again = isinstance(line, Command) and line.name is CommandName.FINISH
        number = 1 if again else number_in(room, line, [1, 2])
        if number is None:
            return self
        if number == 1:
            room.log("step", step=self.at.step, canal=self.at.canal, how="finished")
            room.cursor = passed(room.case, self.at)
            room.say("Step finished.", Tone.GOOD)
        return None
