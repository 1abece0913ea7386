"""What the commands ask a person at the terminal, beyond the line that called them."""

from __future__ import annotations

import getpass
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.cli.refused import Refused

if TYPE_CHECKING:
    from stepper.kinds.tables import Person
    from stepper.protocol.models import Protocol
    from stepper.protocol.settings import Settings


def terminal_needed(command: str) -> None:
    """Refuse to ask where nobody can answer."""
    if not (sys.stdin and sys.stdin.isatty()):
        raise Refused(f"{command} asks on a terminal; there is none here.")


def hidden(question: str) -> str:
    """Ask for something without showing it."""
    try:
        return getpass.getpass(question)
    except (EOFError, KeyboardInterrupt):
        print(file=sys.stderr)  # the cursor still stands behind the question
        raise Refused("Left; nothing was changed.") from None


def asked(question: str) -> str:
    """Ask for something that may be seen."""
    try:
        return input(question)
    except (EOFError, KeyboardInterrupt):
        raise Refused("Left; nothing was changed.") from None


def practice(data: Path) -> tuple[Protocol, Settings]:
    """Give the practice's people, as the chair knows them, and its settings. Raises Refused."""
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


def known_person(protocol: Protocol, number: int) -> Person:
    """Give the person of a number, or refuse it."""
    people = {one.number: one for one in protocol.person}
    if number not in people:
        allowed = ", ".join(map(str, people))
        raise Refused(f"--person {number}: nobody in practice.toml has this number; {allowed} are allowed.")
    return people[number]
