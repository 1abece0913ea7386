"""Answers that are owed, or that are still open when the visit is about to be closed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stepper.facts.values import Absent, Value, Why
from stepper.lines.grammar import Empty, Line
from stepper.note.words import canal_name, title
from stepper.session.modes.answering import one_answer
from stepper.session.modes.listing import LEGEND
from stepper.session.modes.logging import holds, log
from stepper.session.room import Draft, Mode, Room
from stepper.session.view import Choice, Prompt


@dataclass(slots=True)
class Owed:
    """Asks for an answer that was left owed, or was not asked yet; Enter leaves it so."""

    step: str
    canal: int
    row: int
    name: str
    how: str = "owed"

    def words(self, room: Room) -> str:
        """Name the question and where it belongs."""
        question = room.protocol.by_step[self.step].asked(self.name)
        where = f"{title(room.protocol, self.step)} {canal_name(room.case, self.canal)}".strip()
        return f"{where}, {question.prompt if question is not None else self.name}"

    def prompt(self, room: Room) -> Prompt:
        """Ask as the question itself asks."""
        question = room.protocol.by_step[self.step].asked(self.name)
        assert question is not None
        choices = tuple(Choice(str(one.number), one.label) for one in question.options_of(room.protocol))
        name, asked = canal_name(room.case, self.canal), question.prompt
        heading = f"{self.how.capitalize()}: {title(room.protocol, self.step)}"
        then, still = "-- not done  -/ not measured", f"still {self.how}"
        return Prompt(heading, name, asked, question.hint(), choices, then, still, question.blind or "", LEGEND)

    def take(self, room: Room, line: Line) -> Mode | None:
        """Log the answer."""
        question = room.protocol.by_step[self.step].asked(self.name)
        if isinstance(line, Empty) or question is None:
            return None
        otherwise = f"Type the one answer, without a canal; Enter leaves it {self.how}."
        value = one_answer(room, question, line, otherwise)
        return self if value is None else self._log(room, value)

    def _log(self, room: Room, value: Value) -> Mode | None:
        draft = Draft(self.step, self.canal, self.row, {self.name: value})
        held = holds(room, draft)
        if held is None:
            log(room, draft)
        return held


def owed_answers(room: Room) -> Iterator[Owed]:
    """Give the questions whose answers are owed, in the protocol's order."""
    order = [step.id for step in room.protocol.step]
    for (step, canal), rows in sorted(
        room.case.told.rows.items(), key=lambda pair: (order.index(pair[0][0]), pair[0][1])
    ):
        for row in rows:
            for name, fact in row.facts.items():
                if fact.value == Absent(why=Why.OWED) and room.protocol.by_step[step].asked(name) is not None:
                    yield Owed(step, canal, row.number, name)
