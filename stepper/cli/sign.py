"""`stepper sign`: the clinician reads the note and what is lacking, confirms what departs from the plain way, signs."""

from __future__ import annotations

import argparse
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.cli.arguments import Once, Parser
from stepper.cli.refused import Refused

if TYPE_CHECKING:
    from stepper.session.signing import Confirmed

YES = "yes"


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = commands.add_parser(
        "sign",
        help="read the note of a closed session, or of its addendum, and sign it",
        epilog="A signed session takes no more entries; stepper addendum adds to it in a file of its own.",
    )
    parser.add_argument("session", type=Path, help="a session file")
    parser.add_argument("--person", action=Once, type=int, required=True, metavar="NUMBER", help="who signs")
    parser.add_argument("--dir", action=Once, type=Path, help="where data lives, instead of the platform's own place")
    parser.set_defaults(run=_run)


def _run(arguments: argparse.Namespace) -> int:
    from stepper.cli.asking import hidden, terminal_needed
    from stepper.note import text
    from stepper.note.complete import complete_rows
    from stepper.note.compose import compose
    from stepper.protocol.problems import BadProtocol
    from stepper.protocol.settings import BadSettings
    from stepper.record.clock import SystemClock
    from stepper.record.keys import read_keys
    from stepper.record.places import data_dir
    from stepper.record.problems import RecordError
    from stepper.session.signing import MEANING, sign_session, to_confirm
    from stepper.session.store import read_case

    terminal_needed("stepper sign")
    data = data_dir(arguments.dir)
    try:
        found, case, fault = read_case(arguments.session)
        if case is None:
            raise Refused(fault)
        if found.damage is not None:
            raise Refused(f"{found.damage.sentence} It is not signed as it is.")
        confirmed = to_confirm(case)
        key = read_keys(data).of(arguments.person)
        if key is None:
            raise Refused(f"--person {arguments.person}: has no key; stepper key makes one.")
        print(text.render(compose(case)))
        print(*complete_rows(case), "", sep="\n")
        _confirm(confirmed)
        print(f"{MEANING}\nSigning as {key.name} ({key.initials}), key {key.id}.")
        one = sign_session(arguments.session, SystemClock(), data, key, hidden("Passphrase: "))
    except (RecordError, BadProtocol, BadSettings) as error:
        raise Refused(str(error)) from None
    print(f"Signed by {one.name} ({one.initials}) at {one.at}.")
    print("Nothing more can be entered. What comes later is an addendum: stepper addendum begins one.")
    return 0


def _confirm(confirmed: Confirmed) -> None:
    """Have stops, departures, late entries and corrections said yes to, all of them or nothing is signed."""
    from stepper.cli.asking import asked
    from stepper.lines.refusal import visible

    for heading, lines, act in (
        ("Stops that stand, and are signed as they stand:", confirmed.stops, "sign with them"),
        ("Late entries and corrections that wait for your yes:", confirmed.unconfirmed, "confirm them"),
        ("Departures:", confirmed.departures, "confirm them"),
    ):
        if lines:
            told = (textwrap.fill(visible(one), initial_indent="  ", subsequent_indent="    ") for one in lines)
            print(heading, *told, sep="\n")
            if asked(f"Type {YES} to {act}: ").strip().lower() != YES:
                raise Refused("They were not confirmed; nothing was signed.")
