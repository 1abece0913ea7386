"""`stepper sheet`: a sheet for the patient to take home, in the plain sentences of the session's own protocol."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from stepper.cli.arguments import Parser
from stepper.cli.refused import Refused
from stepper.cli.writing import write_out

FORMS = ("text", "html")


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = commands.add_parser(
        "sheet",
        help="write a sheet for the patient, in plain words",
        epilog="What was logged, and the practice's usual cautions, in the [[sheet]] sentences of its protocol.",
    )
    parser.add_argument("session", type=Path, help="a session file")
    parser.add_argument("--as", dest="form", choices=FORMS, default="text", help="the format")
    parser.add_argument("--out", type=Path, help="the file to write, instead of standard output")
    parser.set_defaults(run=_sheet)


def _sheet(arguments: argparse.Namespace) -> int:
    from stepper.note import sheet_html, text
    from stepper.note.sheet import sheet
    from stepper.record.continuing import goes_on_in
    from stepper.record.problems import RecordError
    from stepper.record.register import read_register
    from stepper.session.store import read_case

    try:
        found, case, fault = read_case(arguments.session)
    except RecordError as error:
        raise Refused(str(error)) from None
    if case is None:
        raise Refused(fault)
    if not case.protocol.sheet:
        raise Refused(
            f"The protocol of session {found.sid} has no [[sheet]] sentences: there is no sheet for the patient."
        )
    if found.damage is not None:
        print(f"stepper: {found.damage.sentence} The sheet holds what stands before it.", file=sys.stderr)
    if found.remark:
        print(f"stepper: {found.remark}", file=sys.stderr)
    behind, gone = goes_on_in(arguments.session, read_register(arguments.session.parent).sessions)
    if behind:
        print(f"stepper: {behind} The sheet does not hold what stands there.", file=sys.stderr)
    composed = sheet(case)
    page = sheet_html.render(composed) if arguments.form == "html" else text.render(composed)
    write_out(page.encode(), arguments.out)
    return 1 if found.damage is not None or found.remark or gone else 0
