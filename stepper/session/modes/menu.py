"""The menu: what can be done now, numbered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from stepper.case.judge import Standing, judge
from stepper.facts.remarks import Weight
from stepper.lines.grammar import Empty, Line
from stepper.session.modes.canals import FoundLate, Joining, can_join
from stepper.session.modes.correcting import SpokenYes, Which
from stepper.session.modes.ending import CloseVisit, Leave, VoidVisit
from stepper.session.modes.incident import What, unnamed
from stepper.session.modes.listing import listed, number_in
from stepper.session.modes.looking import LookBack
from stepper.session.modes.people import Relieve
from stepper.session.modes.remarking import Asked, mode_for
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt

Way = tuple[str, Callable[[], Mode | None]]


def ways(room: Room) -> list[Way]:
    """Give what can be done now, what waits first."""
    found: list[Way] = []
    for one in judge(room.case):
        remark = one.remark
        if one.standing is Standing.OPEN and remark.weight is not Weight.TELL:
            found.append((f"{remark.weight.value}: {remark.text}", partial(mode_for, room, remark)))
        elif one.standing is Standing.OWED:
            found.append((f"owed: {remark.text}", partial(Asked, remark)))
    found += [("name the incident", partial(What, seq)) for seq in unnamed(room)]
    if room.case.unconfirmed:
        text = f"clinician's yes to entry {', '.join(str(seq) for seq in room.case.unconfirmed)}"
        found.append((text, partial(SpokenYes, room.case.unconfirmed)))
    found += [("correct an entry", Which), ("look back", LookBack)]
    if room.case.told.canals:
        found.append(("a canal was found late", FoundLate))
    if can_join(room):
        found.append(("canals join", Joining))
    found += [("someone else takes the keyboard", Relieve), ("close the visit", CloseVisit)]
    return [*found, ("leave, and go on later", Leave), ("void the visit", VoidVisit)]


@dataclass(slots=True)
class Menu:
    """Lists the ways; Enter or 0 goes back."""

    def prompt(self, room: Room) -> Prompt:
        """List them."""
        return listed("Menu", "What can be done now", [text for text, _ in ways(room)], offer="back to the question")

    def take(self, room: Room, line: Line) -> Mode | None:
        """Go there."""
        if isinstance(line, Empty):
            return None
        found = ways(room)
        number = number_in(room, line, list(range(len(found) + 1)))
        if number is None:
            return self
        return found[number - 1][1]() if number else None
