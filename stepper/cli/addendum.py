"""`stepper addendum`: a paragraph is added to a signed session, in a file of its own that names it."""

from __future__ import annotations

import argparse
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.cli.arguments import Once, Parser
from stepper.cli.refused import Refused

if TYPE_CHECKING:
    from stepper.kinds.tables import Person

MOST = 4000
"""Signs of a paragraph; a terminal gives no more in one line."""


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = commands.add_parser(
        "addendum",
        help="add a paragraph to a signed session",
        epilog="The signed file stays as it is: an addendum is a file of its own, and is signed by stepper sign.",
    )
    parser.add_argument("session", type=Path, help="a session file that is signed")
    parser.add_argument("--person", action=Once, type=int, required=True, metavar="NUMBER", help="whose words they are")
    parser.add_argument("--dir", action=Once, type=Path, help="where data lives, instead of the platform's own place")
    parser.set_defaults(run=_run)


def _run(arguments: argparse.Namespace) -> int:
    from stepper.cli.asking import asked, known_person, practice, terminal_needed
    from stepper.cli.sign import YES
    from stepper.protocol.problems import BadProtocol
    from stepper.protocol.settings import BadSettings
    from stepper.record.places import data_dir
    from stepper.record.problems import RecordError

    terminal_needed("stepper addendum")
    person = known_person(practice(data_dir(arguments.dir))[0], arguments.person)
    try:
        print(_what_is_signed(arguments.session))
        text = _looked_at(asked("Addendum, in one line (Enter alone leaves): "))
        print(textwrap.fill(text, initial_indent="  ", subsequent_indent="  ", break_on_hyphens=False))
        if asked(f"Type {YES} to add it as said by {person.name}: ").strip().lower() != YES:
            raise Refused("It was not confirmed; nothing was added.")
        print(_added(arguments.session, text, person))
    except (RecordError, BadProtocol, BadSettings) as error:
        raise Refused(str(error)) from None
    return 0


def _what_is_signed(path: Path) -> str:
    """Say whose record it is and who signed it last; raises RecordError where nobody did."""
    from stepper.session.addendum import read_signed

    case = read_signed(path)[2]
    last = case.signatures[-1]
    whose = f"Patient {case.told.patient}, tooth {case.told.tooth}"
    return f"{whose}: signed by {last.name} ({last.initials}) at {last.at}."


def _looked_at(typed: str) -> str:
    text = typed.strip()
    if not text:
        raise Refused("Nothing was typed; nothing was added.")
    if len(text) > MOST:
        raise Refused(f"The addendum has {len(text)} signs; at most {MOST} are allowed. Nothing was added.")
    if not text.isprintable():
        raise Refused("The addendum holds a sign that cannot be printed; letters, figures and signs are allowed.")
    return text


def _added(path: Path, text: str, person: Person) -> str:
    """Write it, and say where it stands and that it is not signed."""
    from stepper.record.clock import SystemClock
    from stepper.session.addendum import open_addendum
    from stepper.session.store import put_away

    journal, _, said = open_addendum(path, SystemClock(), person.number)
    try:
        journal.append("addendum", {"text": text, "said_by": person.number, "name": person.name}, person.number)
    finally:
        put_away(journal)
    done = f"Added in {journal.path.name}. It is not signed yet: stepper sign {journal.path} signs it."
    return f"{said}\n{done}" if said else done
