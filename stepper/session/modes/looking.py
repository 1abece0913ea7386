"""Looking back through the log, read only."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.lines.grammar import Answer, Command, CommandName, Empty, Line
from stepper.note.words import clock, say
from stepper.session.modes.correcting import where
from stepper.session.room import Mode, Room
from stepper.session.view import Choice, Prompt, Tone

PAGE = 9


@dataclass(slots=True)
class LookBack:
    """Shows nine entries, newest first; `-` goes further back; anything else returns, and is not taken."""

    page: int = 0

    def prompt(self, room: Room) -> Prompt:
        """List them by their numbers."""
        entries = [one for one in reversed(room.case.entries) if one.kind not in ("sound", "go")]
        shown = entries[self.page * PAGE : (self.page + 1) * PAGE]
        lines = tuple(Choice(str(one.seq), f"{clock(one)} {where(room, one)}: {say(room.case, one)}") for one in shown)
        return Prompt(
            "Look back",
            "",
            "Read only",
            "",
            lines,
            "- older",
            "back to the question",
            "",
            "- older   Enter back",
            wide=True,
        )

    def take(self, room: Room, line: Line) -> Mode | None:
        """Turn the page or go back."""
        if isinstance(line, Command) and line.name is CommandName.LOOK_BACK:
            last = (len(room.case.entries) - 1) // PAGE
            return LookBack(min(self.page + 1, last))
        if line not in (Empty(), Answer(None, ("0",))):
            room.say("That was typed while looking back, and was not taken: type it now.", Tone.WARN)
        return None
