"""Reading answers to questions: one, or several of a line; what is wrong with one is said."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from stepper.facts.values import Absent, Value
from stepper.kinds.union import AnyQuestion
from stepper.lines.grammar import Command, Line, Scan
from stepper.lines.refusal import Refusal
from stepper.lines.scans.reading import read
from stepper.lines.scans.scanned import not_taken
from stepper.session.modes.listing import ABSENCES, one_field
from stepper.session.room import Room
from stepper.session.view import Tone


def one_answer(room: Room, question: AnyQuestion | None, line: Line, otherwise: str) -> Value | None:
    """Read the one answer of a line, or say what is wrong and give None; `otherwise` is said of what is no answer."""
    if isinstance(line, Command) and line.name in ABSENCES:
        return Absent(why=ABSENCES[line.name])
    if isinstance(line, Scan):
        return _scanned_lot(room, question, line.raw, otherwise)
    typed = one_field(line)
    if question is None or typed is None:
        room.say(otherwise, Tone.WARN)
        return None
    value = question.parse(typed, room.protocol)
    if isinstance(value, Refusal):
        room.say(value.sentence, Tone.WARN)
        return None
    return value


def _scanned_lot(room: Room, question: AnyQuestion | None, raw: str, otherwise: str) -> Value | None:
    """Read a scan for its lot, which keeps the scan as it came; what does not keep it is typed."""
    if question is None or question.kind != "lot":
        room.say(otherwise, Tone.WARN)
        return None
    scanned = read(raw, room.case.today)
    value = scanned if isinstance(scanned, Refusal) else question.from_scan(scanned, room.protocol)
    if value is None or isinstance(value, Refusal):
        refused = value or not_taken("the code holds no lot. Key it.")
        room.say(refused.sentence, Tone.WARN)
        return None
    return value


def several_answers(
    room: Room, fields: tuple[str, ...], following: Callable[[Mapping[str, Value]], AnyQuestion | None], what: str
) -> dict[str, Value] | None:
    """Read fields into one question after the other, or say what is wrong and give None.

    `following` gives the next question after some answers; `what` is named where there is one field too many.
    """
    values: dict[str, Value] = {}
    for field in fields:
        question = following(values)
        if question is None:
            asked = following({})
            here = f": asked here is {asked.prompt}" if asked is not None and not asked.blind else ""
            room.say(f"{field}: one answer too many for {what}{here}.", Tone.WARN)
            return None
        if field in ABSENCES:
            room.say(f"{question.prompt}: {field} stands alone; type it on a line of its own.", Tone.WARN)
            return None
        value = question.parse(field, room.protocol)
        if isinstance(value, Refusal):
            room.say(f"{question.prompt}: {value.sentence}" if len(fields) > 1 else value.sentence, Tone.WARN)
            return None
        values[question.id] = value
    return values
