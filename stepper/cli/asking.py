"""What the commands ask a person at the terminal, beyond the line that called them."""

from __future__ import annotations

import getpass
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.cli.refused import Refused

if TYPE_CHECKING:
    from stepper.kinds.tables import Person


def terminal_needed(command: str) -> None:
    """Refuse to ask where nobody can answer."""
    if not (sys.stdin and sys.stdin.isatty()):
        raise Refused(f"{command} asks on a terminal; there is none here.")


def hidden(question: str) -> str:
    """Ask for something without showing it."""
    try:
        return getpass.getpass(question)
    except (EOFError, KeyboardInterrupt):
        raise Refused("Left; nothing was changed.") from None


def asked(question: str) -> str:
    """Ask for something that may be seen."""
    try:
        return input(question)
    except (EOFError, KeyboardInterrupt):
        raise Refused("Left; nothing was changed.") from None


def people(data: Path) -> Mapping[int, Person]:
    """Give the practice's people by their numbers, as the chair knows them."""
    from stepper.protocol.load import load_file
    from stepper.protocol.settings import BadSettings, read_settings, settings_text, settled
    from stepper.record.places import bundled, settings_path
    from stepper.record.problems import RecordError
    from stepper.record.system import Os, make_folder

    path = settings_path(data)
    try:
        make_folder(data, Os())
        protocol, _ = load_file(bundled("protocols") / "one_visit.toml")
        known = settled(protocol, read_settings(settings_text(path, protocol), path.name))
    except (BadSettings, RecordError) as error:
        raise Refused(str(error)) from None
    return {one.number: one for one in known.person}
