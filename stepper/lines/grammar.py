"""The line grammar: one line, as it was when Enter was pressed, becomes one wish.

A line is tried in this order: scan, wipe, command, address, answer. `read_line` is total: every text is something,
if only `Refused` with a sentence. It knows the shape of a line, never the question it answers; what a field means is
read by `stepper.lines.fields`.

Only a line made of keypad characters alone is split into fields at `**`. A line with any other character is free
text: it stays whole, except that leading canal digits with one `*` still say which canals it is about, since a text
kept for the wrong canal would be worse than a refused one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, Literal, TypeAlias

from stepper.facts.why import Why
from stepper.lines.refusal import shown

SEPARATORS: Final = frozenset("\x04\x1c\x1d\x1e\x1f")
"""What a scanner sends between two fields of a code; no key types them (EOT, FS, GS, RS, US)."""

KEYPAD: Final = frozenset("0123456789.+-*/")
"""All that a numeric keypad can put into a line; a decimal comma has become a point by then."""


class CommandName(StrEnum):
    """What a line of signs alone asks for."""

    MENU = "/"
    INCIDENT = "//"
    FINISH = "+"
    CLOCK = "++"
    LOOK_BACK = "-"
    NOT_DONE = "--"
    NOT_MEASURED = "-/"
    OWED = "-."
    CORRECT = "."
    REPEAT = "*"


@dataclass(frozen=True)
class Empty:
    """Enter on an empty line."""


@dataclass(frozen=True)
class Scan:
    """A barcode as the scanner sent it, its symbology identifier included."""

    raw: str


@dataclass(frozen=True)
class Wipe:
    """The line is to be forgotten."""


@dataclass(frozen=True)
class Command:
    """A command that takes nothing."""

    name: CommandName


@dataclass(frozen=True)
class MenuWay:
    """What stands under a number of the menu, asked for in one line."""

    number: int


@dataclass(frozen=True)
class GoCanal:
    """Go to a canal by its number."""

    number: int


@dataclass(frozen=True)
class GoStep:
    """Go to a step by its number."""

    number: int


@dataclass(frozen=True)
class MinutesAgo:
    """The next answer happened so many minutes ago; 0 takes an earlier such line back."""

    minutes: int


@dataclass(frozen=True)
class WholeStep:
    """A whole step was not done, or is owed."""

    number: int
    why: Why


Canals: TypeAlias = tuple[int, ...] | Literal["all"] | None
"""Canals named by an answer: their numbers as keyed, all open ones, or none named (the current canal)."""


@dataclass(frozen=True)
class Answer:
    """An answer for the canals named: one text per field, none of them empty."""

    canals: Canals
    fields: tuple[str, ...]


@dataclass(frozen=True)
class AbsentAnswer:
    """No fact for the canals named, and why."""

    canals: tuple[int, ...] | Literal["all"]
    why: Why


@dataclass(frozen=True)
class Refused:
    """The line is nothing; the sentence says what is wrong and what is allowed."""

    sentence: str


Line: TypeAlias = (
    Empty
    | Scan
    | Wipe
    | Command
    | MenuWay
    | GoCanal
    | GoStep
    | MinutesAgo
    | WholeStep
    | Answer
    | AbsentAnswer
    | Refused
)

_ABSENCES: Final = {"--": Why.NOT_DONE, "-/": Why.NOT_MEASURED, "-.": Why.OWED}
_COMMANDS: Final = {name.value: Command(name) for name in CommandName}
_MENU_WAY: Final = re.compile(r"/(?P<number>[0-9]{1,2})")
_ADDRESS: Final = re.compile(r"(?P<number>[0-9]+)(?P<sign>\*|/|--|/--|/-\.|/-/)")
_PREFIX: Final = re.compile(r"(?P<canals>[0-9]+)\*(?!\*)(?P<rest>.*)", re.DOTALL)
_BEFORE_SCAN: Final = re.compile(r"(?P<before>[0-9.,+\-*/]+)\]")
_MOST_DIGITS: Final = 3


def read_line(text: str) -> Line:
    """Read what the line asks for. Never raises, whatever the text."""
    if text.startswith("]"):
        return Scan(text)
    line = text.strip(" \t")
    if not line:
        return Empty()
    if _keypad_only(line.replace(",", ".")):
        return _read_keyed(line.replace(",", "."))
    return Wipe() if line.endswith("..") else _read_text(line)


def _keypad_only(line: str) -> bool:
    return KEYPAD.issuperset(line)


def _refused(line: str, why: str) -> Refused:
    return Refused(f"{shown(line)}: {why}")


def _read_keyed(line: str) -> Line:
    if line.endswith(".."):
        return Wipe()
    if command := _COMMANDS.get(line):
        return command
    if way := _MENU_WAY.fullmatch(line):
        return MenuWay(int(way["number"]))
    if address := _ADDRESS.fullmatch(line):
        return _read_address(line, address["number"], address["sign"])
    if prefix := _PREFIX.fullmatch(line):
        return _read_for_canals(line, prefix["canals"], prefix["rest"])
    return _read_answer(line, None, line)


def _read_address(line: str, digits: str, sign: str) -> Line:
    if sign == "*":
        return _read_canal(line, digits)
    if len(digits) > _MOST_DIGITS:
        return _refused(line, f"the number before {sign} has at most {_MOST_DIGITS} digits")
    number = int(digits)
    if sign == "--":
        return MinutesAgo(number)
    if number == 0:
        return _refused(line, f"steps are numbered from 1; type 1{sign} for the first, or 0/12-0 for stock 12")
    if sign == "/":
        return GoStep(number)
    if sign == "/-/":
        return _refused(line, f"a whole step is {number}/-- not done or {number}/-. owed; type -/ at each question")
    return WholeStep(number, _ABSENCES[sign.removeprefix("/")])


def _read_canal(line: str, digits: str) -> Line:
    canals = _read_canals(line, digits)
    if isinstance(canals, Refused):
        return canals
    if canals == "all" or len(canals) > 1:
        return _refused(line, f"answer missing; type {line}20.5 for several canals, or 2* alone to go to canal 2")
    return GoCanal(canals[0])


def _read_canals(line: str, digits: str) -> tuple[int, ...] | Literal["all"] | Refused:
    if digits == "0":
        return "all"
    if "0" in digits:
        return _refused(line, "0 before * means all open canals and stands alone; type 0* or the canals, as in 12*")
    twice = next((digit for digit in digits if digits.count(digit) > 1), None)
    if twice:
        return _refused(line, f"canal {twice} is named twice before *; name each canal once, as in 12*")
    return tuple(int(digit) for digit in digits)


def _read_for_canals(line: str, digits: str, rest: str) -> Line:
    canals = _read_canals(line, digits)
    if isinstance(canals, Refused):
        return canals
    if rest in _ABSENCES:
        return AbsentAnswer(canals, _ABSENCES[rest])
    if rest in _COMMANDS or _ADDRESS.fullmatch(rest):
        return _refused(line, f"{shown(rest)} stands alone; type it on a line of its own, without {shown(digits)}*")
    return _read_answer(line, canals, rest)


def _read_answer(line: str, canals: Canals, rest: str) -> Line:
    fields = tuple(rest.split("**"))
    if "" in fields:
        return _refused(line, "nothing stands before or after **; type both answers, as in 35/2-0**1, or leave ** out")
    for field in fields:
        if "*" in field:
            return _refused(line, "a single * follows canal digits only, as in 12*20.5; two answers are parted by **")
        if not any(sign.isdigit() for sign in field) and (field not in _ABSENCES or len(fields) < 2):
            return _refused(line, "no such command; type / to see what the keys do")
        if field[:-1].isdigit() and field.endswith("-"):
            return _refused(line, f"distance missing; type {field}0 at length or {field}1.5 for 1.5 mm short")
    return Answer(canals, fields)


def _read_text(line: str) -> Line:
    if before := _BEFORE_SCAN.match(line):
        return _refused(before["before"], "typed before the scan, so it was not taken; scan again on an empty line")
    if SEPARATORS.intersection(line):
        return _refused(line, "a scan must open with ]; let the scanner send its symbology identifier")
    prefix = _PREFIX.fullmatch(line)
    if prefix is None:
        return Answer(None, (line,))
    canals, rest = _read_canals(line, prefix["canals"]), prefix["rest"].strip(" \t")
    if isinstance(canals, Refused):
        return canals
    return Answer(canals, (rest,)) if rest else _refused(line, "answer missing after *")
