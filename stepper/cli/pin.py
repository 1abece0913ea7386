"""`stepper pin`: a person's PIN for the screen lock, set or taken away. It is asked for, never given on the line."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.cli.arguments import Once, Parser
from stepper.cli.refused import Refused

if TYPE_CHECKING:
    from stepper.protocol.settings import Settings

UNCHANGED = "nothing was changed"


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = commands.add_parser(
        "pin",
        help="set the PIN by which a person opens the locked screen",
        epilog="At the chair the screen is opened by the number or initials, ** and the PIN, then Enter.",
    )
    parser.add_argument("--person", action=Once, type=int, required=True, metavar="NUMBER", help="as in practice.toml")
    parser.add_argument("--remove", action="store_true", help="take the PIN away, after asking for it")
    parser.add_argument("--dir", action=Once, type=Path, help="where data lives, instead of the platform's own place")
    parser.set_defaults(run=_run)


def _run(arguments: argparse.Namespace) -> int:
    from stepper.cli.asking import known_person, practice, terminal_needed
    from stepper.record.places import data_dir
    from stepper.session.pins import FILE, BadPins, keep, read_pins

    terminal_needed("stepper pin")
    data, person = data_dir(arguments.dir), arguments.person
    protocol, settings = practice(data)
    path = data / FILE
    try:
        has = person in read_pins(path)
        if arguments.remove and not has:
            raise Refused(f"--person {person}: has no PIN; {UNCHANGED}.")
        if not arguments.remove:
            known_person(protocol, person)
        if has:
            _asked_now(path, person)
        keep(path, person, None if arguments.remove else _new_pin(person))
    except BadPins as error:
        raise Refused(f"{error} {FILE} lies in {data}; once it is taken away, PINs are set anew.") from None
    print(f"The PIN of person {person} is {'taken away' if arguments.remove else 'set'}. {_lock(settings)}")
    return 0


def _asked_now(path: Path, person: int) -> None:
    """Let only somebody change a PIN who knows it."""
    from stepper.cli.asking import hidden
    from stepper.session.pins import fits, read_pins

    if not fits(read_pins(path), person, hidden(f"PIN of person {person} now: ")):
        raise Refused(
            f"That is not the PIN; {UNCHANGED}. If it is forgotten, take the [[pin]] of person {person} out of {path}."
        )


def _new_pin(person: int) -> str:
    from stepper.cli.asking import hidden
    from stepper.session.pins import ALLOWED, is_pin

    pin = hidden(f"New PIN of person {person}: ")
    if not is_pin(pin):
        raise Refused(f"That is no PIN: {ALLOWED}; {UNCHANGED}.")
    if hidden("The same again: ") != pin:
        raise Refused(f"The two are not the same; {UNCHANGED}.")
    return pin


def _lock(settings: Settings) -> str:
    minutes = settings.lock_after_min
    if not minutes:
        return "The screen never locks: practice.toml says lock_after_min = 0."
    return f"The screen locks after {minutes} min without a key, as long as somebody has a PIN."
