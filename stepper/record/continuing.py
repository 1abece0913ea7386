"""Going on in a new file, where one is damaged or can no longer be written: the old one is never touched again.

The new file has the id of the first one with `.2`, `.3` and so on behind it. Its line 0 says what that of the first one
said, and `continues`: the id of the file before it, how many entries of it count, and the hash of the last of them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from stepper.record.clock import Clock
from stepper.record.journal import Journal
from stepper.record.members import Entry, common_names
from stepper.record.problems import Unreadable
from stepper.record.system import Os
from stepper.record.verify import SUFFIX, Verified, read

_NUMBERED = re.compile(r"(.*)\.([1-9][0-9]{0,3})")


def next_path(path: Path) -> Path:
    """Give the file in which the session in `path` goes on."""
    numbered = _NUMBERED.fullmatch(path.stem)
    first, number = (numbered[1], int(numbered[2])) if numbered else (path.stem, 1)
    return path.with_name(f"{first}.{number + 1}{SUFFIX}")


def go_on(path: Path, header: Mapping[str, object], entries: int, head: str, clock: Clock, by: int | None) -> Journal:
    """Begin the file in which a session goes on after so many entries of `path`, the last of which has the hash `head`.

    `header` is entry 0 of that file. Raises `NotSaved`, also where it was gone on from already.
    """
    body = {name: member for name, member in header.items() if name not in common_names()}
    body["continues"] = {"sid": path.stem, "entries": entries, "head": head}
    new = next_path(path)
    return Journal.create(path.parent, clock, body, by, sid=new.stem, system=Os())


def gone_on_from(found: Verified) -> str:
    """Say which file a session goes on from and how much of it counts; nothing where it goes on from none."""
    told = found.entries[0].get("continues") if found.entries else None
    if not isinstance(told, dict):
        return ""
    return f"Goes on from {told.get('sid')}{SUFFIX}, of which the first {told.get('entries')} entries count."


def continued(path: Path, told: object) -> tuple[Path, Verified, list[Entry]]:
    """Give the file that a session goes on from, and the entries of it that count. `told` is its `continues`.

    Raises `Unreadable` where that file is not there, or does not hold them as they were.
    """
    sid, count, head = (told.get("sid"), told.get("entries"), told.get("head")) if isinstance(told, dict) else (0, 0, 0)
    before = path.with_name(f"{sid}{SUFFIX}")
    if not isinstance(count, int) or count < 1 or next_path(before).name != path.name:
        raise Unreadable(f"{path.name} does not say which file it goes on from.")
    found = read(before)
    if len(found.entries) < count or found.entries[count - 1]["hash"] != head:
        raise Unreadable(f"{path.name} goes on from entry {count - 1} of {before.name}, which does not hold it.")
    return before, found, found.entries[:count]
