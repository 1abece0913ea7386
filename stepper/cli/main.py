"""The commands on protocols and sessions. Results go to standard output, everything else to standard error.

Exit codes: 0 done, 1 damage or a stop standing (`check`) or a failed run, 2 unreadable or wrongly called.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from stepper import __version__
from stepper.cli import addendum, check, cone, dose, gauge, key, needle, note, pack, pin, sheet, sign
from stepper.cli.arguments import Parser
from stepper.cli.refused import Refused
from stepper.cli.writing import open_log

if TYPE_CHECKING:
    from stepper.record.clock import Clock
    from stepper.screens.desk import Desk

    Commands = argparse._SubParsersAction[Parser]

TEST_CLOCK = "STEPPER_TEST_CLOCK"
"""Set to `START/SECONDS`, an aware ISO 8601 time and how far each entered line moves it, such sessions are practice;
`/NAME` behind it is the id of the session that is opened."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code."""
    try:
        argv = sys.argv[1:] if argv is None else argv
        arguments = _parser(argv[0] if argv else "").parse_args(argv)
        command: Callable[[argparse.Namespace], int] = arguments.run
        return command(arguments)
    except Refused as error:
        print(f"stepper: {error}", file=sys.stderr)
        return 2
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1


def _parser(first: str) -> argparse.ArgumentParser:
    """Make the parser of a line that begins so: with the command that is named there, or else with all of them."""
    parser = Parser(
        prog="stepper",
        description="Key a root canal visit step by step, checked against all that was logged before.",
        epilog="A record-keeping aid, not a medical device: the clinician decides.",
    )
    parser.add_argument("--version", action="version", version=f"stepper {__version__}")
    parser.set_defaults(run=_chair, protocol=None, dir=None, trace=None)
    commands = parser.add_subparsers(metavar="COMMAND")
    for add in dict.fromkeys(_COMMANDS.values()) if first not in _COMMANDS else (_COMMANDS[first],):
        add(commands)
    return parser


def _add_chair(commands: Commands) -> None:
    chair = commands.add_parser("chair", help="start or resume a session at the chair")
    chair.add_argument("--protocol", type=Path, help="a protocol file, or the name of a bundled one")
    chair.add_argument("--dir", type=Path, help="where data lives, instead of the platform's own place")
    chair.add_argument("--trace", type=Path, help="write one JSON line for each question shown, never a value")
    chair.set_defaults(run=_chair)


def _add_replay(commands: Commands) -> None:
    replay = commands.add_parser("replay", help="replay a session, read its note, correct it and sign it")
    replay.add_argument("session", type=Path, help="a session file")
    replay.add_argument("--dir", type=Path, help="where data lives, instead of the platform's own place")
    replay.set_defaults(run=_replay)


def _add_list(commands: Commands) -> None:
    listing = commands.add_parser("list", help="list the sessions on this machine, open ones first")
    listing.add_argument("--dir", type=Path, help="where data lives, instead of the platform's own place")
    listing.set_defaults(run=_list)


_COMMANDS: Mapping[str, Callable[[Commands], None]] = {
    "chair": _add_chair,
    "replay": _add_replay,
    "note": note.add,
    "check": check.add,
    "list": _add_list,
    "gauge": gauge.add,
    "cone": cone.add,
    "needle": needle.add,
    "dose": dose.add,
    "pack": pack.add,
    "unpack": pack.add,
    "pin": pin.add,
    "key": key.add,
    "sign": sign.add,
    "sheet": sheet.add,
    "addendum": addendum.add,
}
"""In the order of the help; making them all takes longer than most of them run."""


def _chair(arguments: argparse.Namespace) -> int:
    """Show the start screen at once; what it stands for is loaded behind it."""
    from stepper.record.places import data_dir, settings_path
    from stepper.screens.opening import NotOpened
    from stepper.screens.run import run
    from stepper.session.first import Threshold, theme_in

    data = data_dir(arguments.dir)

    def then() -> Desk:
        try:
            return _lobby(arguments, data)
        except Refused as error:
            raise NotOpened(f"stepper: {error}") from None

    threshold = Threshold(practice=bool(os.environ.get(TEST_CLOCK)))
    return run(threshold, data, theme_in(settings_path(data)), then)


def _lobby(arguments: argparse.Namespace, data: Path) -> Desk:
    from stepper.cli.locked import locked_lobby
    from stepper.protocol.load import load_file
    from stepper.protocol.problems import BadProtocol
    from stepper.protocol.settings import BadSettings, read_settings, settings_text, settled
    from stepper.record.places import sessions_dir, settings_path
    from stepper.record.problems import RecordError
    from stepper.record.system import Os, make_folder
    from stepper.session.house import House

    try:
        make_folder(data, Os())
        protocol, text = load_file(_protocol_path(arguments.protocol))
        practice = settings_text(settings_path(data), protocol)
        settings = read_settings(practice, settings_path(data).name)
        settled_protocol = settled(protocol, settings)
    except BadProtocol as error:
        raise Refused("the protocol is refused:\n" + "\n".join(error.sentences)) from None
    except (BadSettings, RecordError) as error:
        raise Refused(str(error)) from None
    clock, tick, sid = _clock()
    trace = _tracer(arguments.trace)
    house = House(sessions_dir(data), clock, settled_protocol, text, settings, practice, tick, trace, sid)
    return locked_lobby(house, data)


def _replay(arguments: argparse.Namespace) -> int:
    from stepper.cli.locked import locked_replay
    from stepper.record.places import data_dir
    from stepper.record.problems import RecordError
    from stepper.screens.run import run
    from stepper.session.replay import open_replay
    from stepper.session.review import Study

    data = data_dir(arguments.dir)
    try:
        replay = open_replay(arguments.session, study=Study(_clock()[0], data))
    except RecordError as error:
        raise Refused(str(error)) from None
    return run(locked_replay(replay, data), data, replay.theme) or (1 if replay.damaged else 0)


def _protocol_path(given: Path | None) -> Path:
    from stepper.record.places import bundled

    folder = bundled("protocols")
    if given is None:
        return folder / "one_visit.toml"
    if given.suffix == "" and not given.exists() and (folder / f"{given.name}.toml").exists():
        return folder / f"{given.name}.toml"
    return given


def _clock() -> tuple[Clock, Callable[[], None], str | None]:
    """Give the machine's clock, or a set one where the environment asks for it."""
    from stepper.record.clock import SetClock, SystemClock

    asked = os.environ.get(TEST_CLOCK)
    if not asked:
        return SystemClock(), lambda: None, None
    start, seconds, sid = [*asked.split("/", 2), "", ""][:3]
    try:
        clock, step = SetClock(dt.datetime.fromisoformat(start)), float(seconds or "0")
    except ValueError:
        raise Refused(f"{TEST_CLOCK} is START/SECONDS, as 2026-03-02T09:00:00+01:00/20, not {asked!r}.") from None
    return clock, lambda: clock.advance(step), sid or None


def _tracer(path: Path | None) -> Callable[[Mapping[str, object]], None] | None:
    if path is None:
        return None
    try:
        handle = open_log(path)
    except OSError as error:
        raise Refused(f"{path.name}: the trace cannot be written: {error.strerror}.") from None

    def write(members: Mapping[str, object]) -> None:
        os.write(handle, json.dumps(members).encode() + b"\n")

    return write


def _list(arguments: argparse.Namespace) -> int:
    from stepper.note.words import local
    from stepper.record.places import data_dir, sessions_dir
    from stepper.record.register import read_register
    from stepper.session.store import list_sessions

    folder = sessions_dir(data_dir(arguments.dir))
    found = list_sessions(folder)
    for one in found:
        state = "void" if one.void else "closed" if one.closed else "open"
        if one.header is None:
            print(f"unreadable  {one.path.name}  {one.fault}")
            continue
        when = local(one.header).strftime("%Y-%m-%d %H:%M")
        practice = "  practice" if one.header.practice else ""
        print(f"{state:<10}  {when}  patient {one.header.patient}  tooth {one.header.tooth}{practice}  {one.path}")
        if one.fault:
            print(f"            {one.fault}")
    if not found:
        print("No sessions yet: stepper chair opens one.")
    known = read_register(folder)
    for sid in known.missing(folder):
        print(f"missing     {sid}.jsonl  {known.sessions[sid].entries} entries of it were registered")
    if known.fault:
        print(known.fault)
    return 0
