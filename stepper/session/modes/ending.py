"""Finishing a step, closing or voiding the visit, leaving: never done by a single line."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.case.alarms import NAMES
from stepper.case.judge import Standing, judge
from stepper.case.walk import Cursor, next_question, passed, slot
from stepper.facts.remarks import Weight
from stepper.facts.values import Absent, Why
from stepper.kinds.outcome import without_outcome
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


@dataclass(slots=True)
class CloseVisit:
    """Lists what is owed and what still holds the close back; a second line closes.

    The alarms hold the fill back, not the closing: a visit can end with one standing, and the note says so.
    """

    def prompt(self, room: Room) -> Prompt:
        """List it once."""
        stops, left = self._left(room)
        if stops:
            return listed("Close the visit", "Held back: " + " ".join(stops), ["not yet: go on"])
        text = "Owed or unanswered: " + " ".join(left) if left else "Nothing is owed."
        return listed("Close the visit", text, ["not yet: go on", "close the visit"])

    def take(self, room: Room, line: Line) -> Mode | None:
        """Close, unless a stop stands."""
        stops, _ = self._left(room)
        number = number_in(room, line, [1] if stops else [1, 2])
        if number is None:
            return self
        if number == 2:
            room.log("close")
            room.say("Visit closed.", Tone.GOOD)
            room.over = True
        return None

    def _left(self, room: Room) -> tuple[list[str], list[str]]:
        judged = [one for one in judge(room.case) if one.standing in (Standing.OPEN, Standing.OWED)]
        stops = [f"{canal.name}: nobody has said how it ended." for canal in without_outcome(room.case.told)]
        found = [one.remark for one in judged if one.remark.weight is Weight.STOP and one.remark.rule not in NAMES]
        stops += [remark.text for remark in found if remark.text not in stops]
        asks = [one.remark.text for one in judged if one.remark.weight is Weight.ASK]
        asks += [f"{text} is owed." for text in owed_answers(room)]
        waiting = [f"Entry {seq} waits for the clinician's yes." for seq in room.case.unconfirmed]
        return stops, asks + waiting


def owed_answers(room: Room) -> list[str]:
    """Name the questions whose answers are owed, with their step."""
    owed = []
    for (name, canal), fact in room.case.told.latest.items():
        step, _, question = name.partition(".")
        if isinstance(fact.value, Absent) and fact.value.why is Why.OWED:
            asked = room.protocol.by_step[step].asked(question)
            owed.append(
                f"{title(room.protocol, step)} {canal_name(room.case, canal)}".strip()
                + f", {asked.prompt if asked else question}"
            )
    return owed


@dataclass(slots=True)
class VoidVisit:
    """Asks for the reason by number, then once more."""

    reason: str = ""

    def prompt(self, room: Room) -> Prompt:
        """Ask for the reason, then for the second line."""
        if not self.reason:
            return listed("Void the visit", "Why?", [one.text for one in room.protocol.reason], then="0 for not")
        return listed("Void the visit", f"{self.reason} Void it? Nothing is deleted.", ["no", "yes, void it"])

    def take(self, room: Room, line: Line) -> Mode | None:
        """Void on the second line."""
        if not self.reason:
            reasons = room.protocol.reason
            number = number_in(room, line, list(range(len(reasons) + 1)))
            if number is None:
                return self
            return VoidVisit(reasons[number - 1].text) if number else None
        number = number_in(room, line, [1, 2])
        if number is None:
            return self
        if number == 2:
            room.log("void", reason=self.reason)
            room.say("The visit is void; nothing was deleted.", Tone.WARN)
            room.over = True
        return None


@dataclass(slots=True)
class Leave:
    """Leaves the chair; the session stays open and is resumed from the start screen."""

    def prompt(self, room: Room) -> Prompt:  # noqa: ARG002 - it asks the same of every session
        """Ask for the second line."""
        return listed("Leave", "Everything is saved. Leave the session open and go?", ["stay", "leave"])

    def take(self, room: Room, line: Line) -> Mode | None:
        """Leave on 2."""
        number = number_in(room, line, [1, 2])
        if number is None:
            return self
        room.over = number == 2
        room.say("")
        return None
