"""`stepper pack` and `stepper unpack`: copies of sessions leave the machine encrypted, and come back verified."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.cli.arguments import Once, Parser
from stepper.cli.refused import Refused
from stepper.lines.refusal import visible

if TYPE_CHECKING:
    from stepper.record.package import Packed
    from stepper.record.register import Register
    from stepper.record.verify import Verified

NO_KEY = (
    "There is no key to encrypt to: stepper pack --new-key FILE makes one, "
    "or put the public key that you have (age1...) into {} on a line of its own."
)
NEW_KEY = """\
{file} now holds the secret that opens what is packed from now on. Without it nobody can, and nobody can make it again.
It belongs on paper or on a stick in a safe, not beside the data: print or copy it, see that it can be read, then delete
it here. Its public half was added to {recipients}:
  {public}"""


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add both commands."""
    pack = commands.add_parser("pack", help="encrypt copies of sessions into one file, to leave the machine")
    pack.add_argument("sessions", nargs="*", type=Path, metavar="SESSION", help="a session file")
    pack.add_argument("--out", action=Once, type=Path, metavar="FILE.age", help="the file to write; it must not exist")
    pack.add_argument(
        "--new-key", action=Once, type=Path, metavar="FILE", help="make a key: the secret is in FILE then"
    )
    pack.add_argument("--dir", action=Once, type=Path, help="where data lives, instead of the platform's own place")
    pack.set_defaults(run=_in_words(_pack))
    unpack = commands.add_parser("unpack", help="decrypt a package, verify its sessions and write them into a folder")
    unpack.add_argument("package", type=Path, metavar="FILE.age", help="what stepper pack wrote")
    unpack.add_argument(
        "--key", action=Once, type=Path, required=True, metavar="IDENTITY", help="the file with the secret"
    )
    unpack.add_argument(
        "--dir", action=Once, type=Path, required=True, metavar="FOLDER", help="where the sessions are written"
    )
    unpack.set_defaults(run=_in_words(_unpack))


def _in_words(run: Callable[[argparse.Namespace], int]) -> Callable[[argparse.Namespace], int]:
    """Let a command refuse in the record's own words."""

    def run_it(arguments: argparse.Namespace) -> int:
        from stepper.record.problems import RecordError

        try:
            return run(arguments)
        except RecordError as error:
            raise Refused(visible(str(error))) from None

    return run_it


def _pack(arguments: argparse.Namespace) -> int:
    from stepper.record.places import data_dir

    data = data_dir(arguments.dir)
    if arguments.new_key is not None:
        if arguments.sessions or arguments.out is not None:
            raise Refused("--new-key makes a key and packs nothing: give no SESSION and no --out with it.")
        return _new_key(arguments.new_key, data)
    if not arguments.sessions or arguments.out is None:
        raise Refused("stepper pack SESSION... --out FILE.age is needed: the sessions to pack, and the file to write.")
    return _packed(arguments.sessions, arguments.out, data)


def _new_key(file: Path, data: Path) -> int:
    from stepper.record.age import new_key
    from stepper.record.places import recipients_path
    from stepper.record.problems import NotSaved
    from stepper.record.system import Os, make_folder
    from stepper.record.whole import add_line, write_new

    if file.resolve().is_relative_to(data.resolve()):
        raise Refused(f"The secret does not belong beside the data: choose a place outside of {visible(str(data))}.")
    secret, public = new_key()
    make_folder(data, Os())
    write_new(file, secret.encode(), Os())
    try:
        add_line(recipients_path(data), public, Os())
    except NotSaved:
        file.unlink()  # a secret that opens nothing
        raise
    print(NEW_KEY.format(file=visible(str(file)), recipients=visible(str(recipients_path(data))), public=public))
    return 0


def _packed(paths: list[Path], out: Path, data: Path) -> int:
    from stepper.record.age import encrypt
    from stepper.record.package import gathered, tar_of
    from stepper.record.register import read_register
    from stepper.record.system import Os
    from stepper.record.verify import FILE_CAP, session_id
    from stepper.record.whole import read_whole, write_new

    keys = _recipients(data)
    # before the sessions are read, since one that is open may grow meanwhile
    known = {folder: read_register(folder) for folder in {path.parent for path in paths}}
    sessions = gathered((session_id(path), read_whole(path, FILE_CAP)) for path in paths)
    write_new(out, encrypt(tar_of([one for one, _ in sessions]), keys), Os())
    counted = f"{len(sessions)} session{'s' if len(sessions) > 1 else ''}"
    print(f"{visible(str(out))}: {counted}, encrypted to {len(keys)} key{'s' if len(keys) > 1 else ''}:")
    print("\n".join(f"  {key}" for key in keys))
    lacks = [known[path.parent].complaint(found) for path, (_, found) in zip(paths, sessions, strict=True)]
    for (one, found), lacking in zip(sessions, lacks, strict=True):
        print(f"  {_words(one, found)}.{_also(lacking)}")
    return 1 if any(lacks) or any(found.damage for _, found in sessions) else 0


def _recipients(data: Path) -> list[str]:
    from stepper.record.age import KEYS_CAP, recipients_in
    from stepper.record.places import recipients_path
    from stepper.record.whole import read_private

    path = recipients_path(data)
    keys = recipients_in(read_private(path, KEYS_CAP), str(path)) if os.path.lexists(path) else []
    if not keys:
        raise Refused(visible(NO_KEY.format(path)))
    return keys


def _unpack(arguments: argparse.Namespace) -> int:
    from stepper.record.age import KEYS_CAP, decrypt, secrets_in
    from stepper.record.package import PACKAGE_CAP, sessions_in
    from stepper.record.register import read_register
    from stepper.record.system import Os, make_folder
    from stepper.record.whole import read_whole

    secret = secrets_in(read_whole(arguments.key, KEYS_CAP), str(arguments.key))
    package = read_whole(arguments.package, PACKAGE_CAP)
    sessions = sessions_in(decrypt(package, secret, str(arguments.package)))
    make_folder(arguments.dir, Os())
    known = read_register(arguments.dir)
    return max(_put(one, arguments.dir, known) for one in sessions)


def _put(one: Packed, folder: Path, known: Register) -> int:
    """Verify one session, write it where nothing of its name is, and say both; gives the exit code."""
    from stepper.record.package import verified
    from stepper.record.problems import Unreadable

    try:
        found, as_told = verified(one)
    except Unreadable as error:
        print(f"{one.name}: NOT WRITTEN. {visible(str(error))}")
        return 2
    written, what = _written(folder / one.name, one.data)
    otherwise = "" if as_told else "ITS MANIFEST SAYS OTHERWISE: another version, or another program, packed it."
    lacking = known.complaint(found)  # where it was put back beside what is newer
    print(f"{_words(one, found)}; {what}.{_also(otherwise)}{_also(lacking)}")
    return 0 if written and as_told and found.damage is None and not lacking else 1


def _written(path: Path, data: bytes) -> tuple[bool, str]:
    from stepper.record.problems import Unreadable
    from stepper.record.system import Os
    from stepper.record.verify import FILE_CAP
    from stepper.record.whole import read_private, write_new

    where = visible(str(path.parent))
    if not os.path.lexists(path):
        write_new(path, data, Os())
        return True, f"written into {where}"
    try:
        same = read_private(path, FILE_CAP) == data
    except Unreadable:
        same = False
    if same:
        return True, f"it is in {where} already, the same"
    return False, f"NOT WRITTEN: another file of that name is in {where}, and it was left as it is"


def _also(sentence: str) -> str:
    return f" {visible(sentence)}" if sentence else ""


def _words(one: Packed, found: Verified) -> str:
    count = f"{len(found.entries)} entr{'y' if len(found.entries) == 1 else 'ies'}"
    if found.damage is not None:
        return f"{one.name}: DAMAGED, {count} hold, head {found.head}; {visible(found.damage.sentence).rstrip('.')}"
    cut_off = f"; its last entry was cut off, and its {len(found.unfinished)} bytes are kept as they are"
    return f"{one.name}: intact, {count}, head {found.head}{cut_off if found.unfinished else ''}"
