"""`stepper note`: the clinical note of a session, in one of the formats that it can be written in."""

from __future__ import annotations

import argparse
import gc
import sys
from pathlib import Path

from stepper.cli.arguments import Parser
from stepper.cli.refused import Refused
from stepper.cli.writing import write_out

FORMS = ("text", "markdown", "html", "pdf", "fhir")
"""As `note.outputs.FORMATS` has them; named here, so that the other commands need not load what composes a note."""


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    note = commands.add_parser("note", help="write the clinical note of a session")
    note.add_argument("session", type=Path, help="a session file")
    note.add_argument("--as", dest="form", choices=FORMS, default="text", help="the format")
    note.add_argument("--out", type=Path, help="the file to write, instead of standard output")
    note.set_defaults(run=_note)


def _note(arguments: argparse.Namespace) -> int:
    gc.disable()  # one note, and the program ends
    from stepper.note.outputs import FORMATS, tell
    from stepper.record.continuing import goes_on_in
    from stepper.record.problems import RecordError
    from stepper.record.register import read_register
    from stepper.session.files import files_of
    from stepper.session.store import read_case

    if arguments.form == "pdf" and arguments.out is None and sys.stdout.isatty():
        raise Refused("a PDF cannot be read on a terminal; name the file to write it to with --out FILE.")
    try:
        found, case, fault = read_case(arguments.session)
        if case is None:
            raise Refused(fault)
        told = tell(case, files_of(arguments.session, found))
    except RecordError as error:
        raise Refused(str(error)) from None
    if found.damage is not None:
        print(f"stepper: {found.damage.sentence} The note holds what stands before it.", file=sys.stderr)
    if found.remark:
        print(f"stepper: {found.remark}", file=sys.stderr)
    behind, gone = goes_on_in(arguments.session, read_register(arguments.session.parent).sessions)
    if behind:
        print(f"stepper: {behind} The note does not hold what stands there.", file=sys.stderr)
    write_out(FORMATS[arguments.form](told), arguments.out)
    gc.freeze()  # nor are all its objects looked through once more when the interpreter ends
    return 1 if found.damage is not None or found.remark or gone else 0
