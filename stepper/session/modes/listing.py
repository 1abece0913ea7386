"""Prompts made of numbered lines, and reading a number from them."""

from __future__ import annotations

from collections.abc import Sequence

from stepper.facts.values import Why
from stepper.lines.grammar import Answer, CommandName, Line, Scan
from stepper.session.room import Room
from stepper.session.view import Choice, Prompt, Tone

ABSENCES = {CommandName.NOT_DONE: Why.NOT_DONE, CommandName.NOT_MEASURED: Why.NOT_MEASURED, CommandName.OWED: Why.OWED}
"""What the lines `--`, `-/` and `-.` say of a question."""
LONG_LIST = 20
"""From more choices than these on, a list takes the whole width."""
LEGEND = "number Enter: choose  .. wipe  / menu  // incident"


def listed(
    title: str, question: str, ways: Sequence[str], *, offer: str = "", then: str = "", wide: bool = False
) -> Prompt:
    """Make a prompt of ways numbered from 1."""
    choices = tuple(Choice(str(number), text) for number, text in enumerate(ways, start=1))
    return Prompt(title, "", question, "", choices, then, offer, "", LEGEND, wide=wide)


def numbered(
    title: str, question: str, ways: Sequence[tuple[int, str]], *, offer: str = "", then: str = "", wide: bool = False
) -> Prompt:
    """Make a prompt of ways with numbers of their own."""
    choices = tuple(Choice(str(number), text) for number, text in ways)
    return Prompt(title, "", question, "", choices, then, offer, "", LEGEND, wide=wide)


def one_field(line: Line) -> str | None:
    """Give the one field of a line without a canal, or a scan as it came; None where a line is something else."""
    if isinstance(line, Scan):
        return line.raw
    return line.fields[0] if isinstance(line, Answer) and line.canals is None and len(line.fields) == 1 else None


def number_in(room: Room, line: Line, allowed: Sequence[int]) -> int | None:
    """Read one of the allowed numbers, or say what is allowed and give None."""
    if isinstance(line, Answer) and line.canals is None and len(line.fields) == 1 and line.fields[0].isdecimal():
        number = int(line.fields[0]) if len(line.fields[0]) <= 4 else -1
        if number in allowed:
            return number
    words = ", ".join(str(number) for number in allowed) if len(allowed) <= 9 else f"{allowed[0]} to {allowed[-1]}"
    room.say(f"Type one of {words}, then Enter." if len(allowed) > 1 else f"Type {words}, then Enter.", Tone.WARN)
    return None
