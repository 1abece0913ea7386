"""`stepper pin`: a person's PIN for the screen lock, set or taken away. It is asked for, never given on the line."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.cli.arguments import Once, Parser
from stepper.cli.refused import Refused

if TYPE_CHECKING:
    from stepper.protocol.models import Protocol
    from stepper.protocol.settings import Settings

UNCHANGED = "nothing was changed"


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = commands.add_parser(
        "pin",
        help="set the PIN by which a person opens the locked screen",
        epilog="At the chair the screen is opened by the number, ** and the PIN, then Enter.",
    )
    parser.add_argument("--person", action=Once, type=int, required=True, metavar="NUMBER", help="as in practice.toml")
    parser.add_argument("--remove", action="store_true", help="take the PIN away, after asking for it")
    parser.add_argument("--dir", action=Once, type=Path, help="where data lives, instead of the platform's own place")
    parser.set_defaults(run=_run)


def _run(arguments: argparse.Namespace) -> int:
    from stepper.record.places import data_dir
    from stepper.session.pins import FILE, BadPins, keep, read_pins

    if not (sys.stdin and sys.stdin.isatty()):
        raise Refused("stepper pin asks for the PIN on a terminal; there is none here.")
    data, person = data_dir(arguments.dir), arguments.person
    protocol, settings = _practice(data)
    path = data / FILE
    try:
        has = person in read_pins(path)
        if arguments.remove and not has:
            raise Refused(f"--person {person}: has no PIN; {UNCHANGED}.")
        if not arguments.remove:
            _known(protocol, person)
        if has:
            _asked_now(path, person)
        keep(path, person, None if arguments.remove else _new_pin(person))
    except BadPins as error:
        raise Refused(f"{error} {FILE} lies in {data}; once it is taken away, PINs are set anew.") from None
    print(f"The PIN of person {person} is {'taken away' if arguments.remove else 'set'}. {_lock(settings)}")
    return 0


def _practice(data: Path) -> tuple[Protocol, Settings]:
    """Give the practice's people, as the chair knows them, and its settings."""
    from stepper.protocol.load import load_file
    from stepper.protocol.settings import BadSettings, read_settings, settings_text, settled
    from stepper.record.places import bundled, settings_path
    from stepper.record.problems import RecordError
    from stepper.record.system import Os, make_folder

    path = settings_path(data)
    try:
        make_folder(data, Os())
        protocol, _ = load_file(bundled("protocols") / "one_visit.toml")
        settings = read_settings(settings_text(path, protocol), path.name)
        return settled(protocol, settings), settings
    except (BadSettings, RecordError) as error:
        raise Refused(str(error)) from None


def _known(protocol: Protocol, person: int) -> None:
    numbers = [one.number for one in protocol.person]
    if person not in numbers:
        allowed = ", ".join(map(str, numbers))
        raise Refused(f"--person {person}: nobody in practice.toml has this number; {allowed} are allowed.")


def _asked_now(path: Path, person: int) -> None:
    """Let only somebody change a PIN who knows it."""
    from stepper.session.pins import fits, read_pins

    if not fits(read_pins(path), person, _typed(f"PIN of person {person} now: ")):
        raise Refused(
            f"That is not the PIN; {UNCHANGED}. If it is forgotten, take the [[pin]] of person {person} out of {path}."
        )


def _new_pin(person: int) -> str:
    from stepper.session.pins import ALLOWED, is_pin

    pin = _typed(f"New PIN of person {person}: ")
    if not is_pin(pin):
        raise Refused(f"That is no PIN: {ALLOWED}; {UNCHANGED}.")
    if _typed("The same again: ") != pin:
        raise Refused(f"The two are not the same; {UNCHANGED}.")
    return pin


def _typed(asked: str) -> str:
    """Ask for a PIN without showing it."""
    import getpass

    try:
        return getpass.getpass(asked)
    except (EOFError, KeyboardInterrupt):
        print(file=sys.stderr)
        raise Refused(f"Left; {UNCHANGED}.") from None


def _lock(settings: Settings) -> str:
    minutes = settings.lock_after_min
    if not minutes:
        return "The screen never locks: practice.toml says lock_after_min = 0."
    return f"The screen locks after {minutes} min without a key, as long as somebody has a PIN."
