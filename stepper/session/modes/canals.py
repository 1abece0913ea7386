"""A canal found late, and canals that join."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.facts.entries import TOOTH
from stepper.kinds.asking import Option
from stepper.lines.fields import number as read_number
from stepper.lines.grammar import Answer, Line
from stepper.lines.refusal import Refusal
from stepper.session.modes.listing import number_in, numbered, one_field
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone


@dataclass(slots=True)
class FoundLate:
    """Names a canal that was found after the others: it gets the next number and its own steps."""

    def prompt(self, room: Room) -> Prompt:
        """List the names that are not taken."""
        return numbered(
            "Canal found late", "Which?", [(one.number, one.label) for one in _free(room)], then="0 for none"
        )

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log it."""
        free = {one.number: one.label for one in _free(room)}
        number = number_in(room, line, [0, *free])
        if number is None:
            return self
        if number:
            canal = max(room.case.told.canals, default=TOOTH) + 1
            room.log("canal", canal=canal, name=free[number])
            room.say(f"Canal {canal} is {free[number]}.", Tone.GOOD)
        return None


@dataclass(slots=True)
class Joining:
    """Asks which canal joins which, `1**2`, and where in mm, `1**2**17.5`, if that is known."""

    def prompt(self, room: Room) -> Prompt:
        """Ask for both."""
        ways = [(one.number, one.name) for one in room.case.told.canals.values()]
        return numbered(
            "Canals join",
            "Canal ** canal it joins ** mm from its reference",
            ways,
            then="mm may be left out; 0 for none",
        )

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log it."""
        if one_field(line) == "0":
            return None
        numbers = _numbers(line)
        known = room.case.told.canals
        if numbers is None or not {int(one) for one in numbers[:2]} <= set(known) or numbers[0] == numbers[1]:
            room.say("Type two different canals, as 1**2, or with the mm, as 1**2**17.5.", Tone.WARN)
            return self
        members: dict[str, object] = {"canal": int(numbers[0]), "into": int(numbers[1])}
        if len(numbers) == 3:
            at = read_number(numbers[2])
            if isinstance(at, Refusal):
                room.say(at.sentence, Tone.WARN)
                return self
            members["at_mm"] = str(at.value)
        room.log("join", **members)
        first, into = (known[int(one)].name for one in numbers[:2])
        where = f" at {members['at_mm']} mm" if "at_mm" in members else ""
        room.say(f"Logged: {first} joins {into}{where}. What happens in the shared part counts for both.", Tone.GOOD)
        return None


def can_join(room: Room) -> bool:
    """Tell whether there are two canals."""
    return len(room.case.told.canals) > 1


def _numbers(line: Line) -> tuple[str, ...] | None:
    if not isinstance(line, Answer) or line.canals is not None or len(line.fields) not in (2, 3):
        return None
    return line.fields if all(one.isdecimal() and len(one) < 3 for one in line.fields[:2]) else None


def _free(room: Room) -> list[Option]:
    taken = {canal.name for canal in room.case.told.canals.values()}
    asked = next(one for step in room.protocol.step for one in step.question if one.role == "canals")
    return [one for one in asked.options_of(room.protocol) if one.label not in taken and not one.alone]
