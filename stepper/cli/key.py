"""`stepper key`: a key for a person who signs, the secret half under a passphrase."""

from __future__ import annotations

import argparse
import datetime as dt
from pathlib import Path

from stepper.cli.arguments import Once, Parser
from stepper.cli.refused import Refused


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = commands.add_parser("key", help="make the key with which a person signs sessions")
    parser.add_argument("--person", action=Once, type=int, required=True, metavar="NUMBER", help="as in practice.toml")
    parser.add_argument("--initials", action=Once, required=True, help="as they stand beside the signature")
    parser.add_argument("--dir", action=Once, type=Path, help="where data lives, instead of the platform's own place")
    parser.set_defaults(run=_run)


def _run(arguments: argparse.Namespace) -> int:
    from stepper.cli.asking import hidden, known_person, practice, terminal_needed
    from stepper.record.keys import LEAST_PASSPHRASE, LIST, new_key
    from stepper.record.places import data_dir
    from stepper.record.problems import RecordError

    terminal_needed("stepper key")
    data, initials = data_dir(arguments.dir), arguments.initials
    if not (initials.isprintable() and 1 <= len(initials.strip()) <= 8):
        raise Refused(f"--initials {initials!a}: 1 to 8 signs are allowed.")
    person = known_person(practice(data)[0], arguments.person)
    passphrase = hidden("Passphrase: ")
    if len(passphrase) < LEAST_PASSPHRASE:
        raise Refused(f"The passphrase has at least {LEAST_PASSPHRASE} characters; no key was made.")
    if hidden("The same again: ") != passphrase:
        raise Refused("The two are not the same; no key was made.")
    try:
        made = new_key(data, person.number, person.name, initials.strip(), passphrase, dt.date.today().isoformat())
    except RecordError as error:
        raise Refused(str(error)) from None
    print(
        f"{person.name} signs with the key {made.id} from now on. {LIST} holds its public half: keep a copy elsewhere."
    )
    return 0
