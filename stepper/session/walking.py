"""Going from entry to entry of a session that is past, by the keys of the chair."""

from __future__ import annotations

from stepper.lines.grammar import Answer, Command, CommandName, Empty, GoCanal, GoStep, Line
from stepper.note.words import title
from stepper.session.past import Past
from stepper.session.view import Tone

KEYS = (
    "Enter next, - back, + next remark, 17 entry 17, 2* canal 2, 7/ step 7, * note, . correct this one, "
    "// what rang, / menu."
)
_Said = tuple[str, Tone]
_NOTHING: _Said = ("", Tone.PLAIN)


def walked(past: Past, line: Line) -> _Said:
    """Go where a line says, and give what is to be said about it."""
    match line:
        case Empty() if past.at == past.last:
            return "This is the last entry; / then 5 leaves.", Tone.PLAIN
        case Command(CommandName.LOOK_BACK) if past.at == 0:
            return "This is the first entry.", Tone.PLAIN
        case Empty():
            past.go(past.at + 1)
        case Command(CommandName.LOOK_BACK):
            past.go(past.at - 1)
        case Command(CommandName.FINISH):
            return _to(past, past.next_remark(), f"No further remark comes up after entry {past.at}.")
        case Answer(None, (number,)) if number.isdecimal():
            return _to_number(past, number)
        case GoCanal(canal):
            return _to(past, past.next_of_canal(canal), f"Canal {canal} has no entry after entry {past.at}.")
        case GoStep(number):
            return _to_step(past, number)
        case _:
            return f"Nothing is logged in replay. {KEYS}", Tone.WARN
    return _NOTHING


def _to_number(past: Past, typed: str) -> _Said:
    if len(typed) > 9 or int(typed) > past.last:
        return f"There is no entry {typed:.12}; they are numbered from 0 to {past.last}.", Tone.WARN
    past.go(int(typed))
    return _NOTHING


def _to_step(past: Past, number: int) -> _Said:
    protocol = past.case.protocol
    if not 1 <= number <= len(protocol.step):
        return f"There is no step {number}; steps are 1 to {len(protocol.step)}.", Tone.WARN
    step = protocol.step[number - 1]
    return _to(past, past.first_of_step(step.id), f"{title(protocol, step.id)} has no entry.")


def _to(past: Past, found: int | None, none: str) -> _Said:
    if found is None:
        return none, Tone.PLAIN
    past.go(found)
    return _NOTHING
