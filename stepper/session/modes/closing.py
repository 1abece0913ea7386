"""Ending a visit early, closing, voiding or leaving it: never done by a single line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from stepper.case.alarms import NAMES
from stepper.case.judge import Standing, judge
from stepper.case.walk import first_open, open_steps
from stepper.facts.remarks import Weight
from stepper.kinds.outcome import outcome_of, without_outcome
from stepper.lines.grammar import Command, CommandName, Line
from stepper.note.words import person
from stepper.session.modes.listing import listed, number_in, numbered
from stepper.session.modes.reasons import Reason
from stepper.session.modes.waiting import next_page, page_of, waiting
from stepper.session.room import Mode, Room
from stepper.session.view import Prompt, Tone


def end_early() -> Mode:
    """Ask why the visit ends early and who says so: never done by a single line."""
    text = "The visit ends early: from here on only what makes the tooth safe is asked. Why?"
    return Reason("End early", text, _end)


def _end(room: Room, reason: str, said_by: int) -> None:
    room.log("ending", reason=reason, said_by=said_by)
    room.cursor, room.anew = first_open(room.case) or room.cursor, True
    why = f"{reason.rstrip('.')} ({person(room.protocol, said_by)})"
    room.say(f"The visit ends early: {why}. What is asked now makes the tooth safe.", Tone.WARN)


@dataclass(slots=True)
class CloseVisit:
    """Lists everything once: how each canal ended, what is open, what is owed or waits; a second line closes.

    The alarms hold the fill back, not the closing: a visit can end with one standing, and the note says so.
    """

    page: int = 0

    def prompt(self, room: Room) -> Prompt:
        """List it."""
        stops, (shown, then) = self._stops(room), page_of(waiting(room), self.page)
        ways = [(1, "not yet: go on")] + ([] if stops else [(2, "close the visit")])
        question = "Held back: " + " ".join(stops) if stops else "Close it?" if shown else "Nothing is owed. Close it?"
        prompt = numbered("Close the visit", question, [*ways, *shown], then=then, wide=True)
        return replace(prompt, card=tuple(review(room)))

    def take(self, room: Room, line: Line) -> Mode | None:
        """Close, unless a stop stands; or take up what waits."""
        waits = waiting(room)
        if isinstance(line, Command) and line.name is CommandName.FINISH:
            return CloseVisit(next_page(waits, self.page))
        opens = {number: open_ for number, _, open_ in waits}
        number = number_in(room, line, [1, *([] if self._stops(room) else [2]), *opens])
        if number is None:
            return self
        if number in opens:
            room.opened_from = CloseVisit()
            return opens[number]()
        if number == 2:
            room.log("close")
            room.say("Visit closed.", Tone.GOOD)
            room.over = True
        return None

    def _stops(self, room: Room) -> list[str]:
        judged = [one.remark for one in judge(room.case) if one.standing in (Standing.OPEN, Standing.OWED)]
        stops = [f"{canal.name}: nobody has said how it ended." for canal in without_outcome(room.case.told)]
        found = [remark for remark in judged if remark.weight is Weight.STOP and remark.rule not in NAMES]
        return stops + [remark.text for remark in found if remark.text not in stops]


def review(room: Room) -> Iterator[str]:
    """Say in a few lines how each canal ended, what is open, and what was passed with a reason or keyed late."""
    case = room.case
    ends = {canal.name: outcome_of(case.told, canal.number) for canal in case.told.canals.values()}
    if ends:
        yield "; ".join(f"{name} {(end or 'open').replace('_', ' ')}" for name, end in ends.items()) + "."
    if case.ending is not None:
        yield f"Ended early: {case.ending.reason}"
    left = list(open_steps(case))
    if left:
        more = f" and {len(left) - 6} more" if len(left) > 6 else ""
        yield f"Open: {', '.join(left[:6])}{more}."
    counts = [(len(case.departures), "passed with a reason"), (len(case.late), "keyed late"), (len(case.held), "held")]
    counts.append((len(case.overruled), "done all the same"))
    said = ", ".join(f"{count} {words}" for count, words in counts if count)
    if said:
        yield f"In the note: {said}."


@dataclass(slots=True)
class VoidVisit:
    """Asks for the reason by number, then once more."""

    reason: str = ""

    def prompt(self, room: Room) -> Prompt:
        """Ask for the reason, then for the second line."""
        if not self.reason:
            ways = [(one.number, one.text) for one in room.protocol.void_reason]
            return numbered("Void the visit", "Why?", ways, then="0 for not")
        return listed("Void the visit", f"{self.reason} Void it? Nothing is deleted.", ["no", "yes, void it"])

    def take(self, room: Room, line: Line) -> Mode | None:
        """Void on the second line."""
        if not self.reason:
            reasons = {one.number: one.text for one in room.protocol.void_reason}
            number = number_in(room, line, [0, *sorted(reasons)])
            if number is None:
                return self
            return VoidVisit(reasons[number]) if number else None
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
