"""`stepper check`: verify protocols and sessions."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from stepper.cli.arguments import Once, Parser


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = commands.add_parser("check", help="verify protocols (.toml) and sessions (.jsonl)")
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    parser.add_argument("--json", action="store_true", help="one JSON document for each session")
    parser.add_argument("--dir", action=Once, type=Path, help="where the practice's list of keys is kept")
    parser.set_defaults(run=_check)


def _check(arguments: argparse.Namespace) -> int:
    from stepper.record.places import data_dir

    data = data_dir(arguments.dir)
    return max(_check_one(path, arguments.files, data, as_json=arguments.json) for path in arguments.files)


def _check_one(path: Path, others: Sequence[Path], data: Path, *, as_json: bool) -> int:
    from stepper.protocol.load import load_file
    from stepper.protocol.problems import BadProtocol

    if path.suffix == ".toml":
        try:
            protocol, _ = load_file(path)
        except BadProtocol as error:
            print("\n".join(error.sentences), file=sys.stderr)
            return 2
        print(f"{path.name}: a protocol with {len(protocol.step)} steps, in order.")
        return 0
    return _check_session(path, others, data, as_json=as_json)


def _check_session(path: Path, others: Sequence[Path], data: Path, *, as_json: bool) -> int:
    from stepper.lines.refusal import visible
    from stepper.note.report import session_report, stops_standing, words_for
    from stepper.record.continuing import goes_on_in, gone_on_from
    from stepper.record.keys import read_keys
    from stepper.record.problems import RecordError
    from stepper.record.register import read_register
    from stepper.session.previous import fitting
    from stepper.session.signing import Signed, signed_by
    from stepper.session.store import read_case

    try:
        found, case, fault = read_case(path)
        signed = signed_by(path, found, read_keys(data)) if case is not None else Signed()
    except RecordError as error:
        print(f"stepper: {error}", file=sys.stderr)
        return 2
    known = read_register(path.parent)
    behind, gone = goes_on_in(path, known.sessions)
    whole = known.complaint(found) or found.remark or (behind if gone else "")
    damage = found.damage.sentence if found.damage is not None else whole or None
    fits = fitting(path, case, others) if case is not None else None
    more = fits.remarks if fits is not None else ()
    report = session_report(
        path.name, case, entries=len(found.entries), head=found.head, damage=damage, signed=signed.holds, more=more
    )
    print(json.dumps(report | {"signature": signed.words or None}) if as_json else words_for(report))
    also = (gone_on_from(found), "" if gone else behind, fits.sentence if fits is not None else "")
    for sentence in (*signed.sentences, *also):
        if sentence and not as_json:
            print(f"  {visible(sentence)}")
    if case is None:
        print(f"stepper: {fault}", file=sys.stderr)
        return 2
    return 1 if damage is not None or signed.wrong or stops_standing(case, more) else 0
