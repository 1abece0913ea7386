"""Going on in a new file, where one is damaged, can no longer be written or is signed: it is never touched again.

The new file has the id of the first one with `.2`, `.3` and so on behind it. Its line 0 says what that of the first one
said, and `continues`: the id of the file before it, how many entries of it count, and the hash of the last of them.
Where that last one is a signature, the new file is an addendum, and says so.
"""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Container, Mapping
from pathlib import Path

from stepper.record.clock import Clock
from stepper.record.journal import Journal
from stepper.record.members import OPEN_CAP, Entry, common_names
from stepper.record.problems import NotSaved, Unreadable
from stepper.record.register import read_register
from stepper.record.system import Os, open_there, sync_folder, take
from stepper.record.verify import SUFFIX, Verified, read

SIGNATURE = "signature"
"""The kind of the entry after which nothing is added but in a file of its own."""

_SECOND_ENTRY = b'\n{"v":'
_NUMBERED = re.compile(r".*\.([1-9][0-9]{0,3})")


def next_path(path: Path) -> Path:
    """Give the file in which the session in `path` goes on."""
    first = path.stem.removesuffix(f".{number_of(path)}")
    return path.with_name(f"{first}.{number_of(path) + 1}{SUFFIX}")


def number_of(path: Path) -> int:
    """Tell which of the files of its session one is; the first has no number in its name."""
    numbered = _NUMBERED.fullmatch(path.stem)
    return int(numbered[1]) if numbered else 1


def last_path(path: Path) -> Path:
    """Give the last of the files in which the session in `path` went on."""
    while is_begun(behind := next_path(path)):
        path = behind
    return path


def is_begun(path: Path) -> bool:
    """Tell whether somebody may have been told of an entry in the file of a name.

    A power cut while a file is being begun can leave the name, and in the place of its first entry nothing, a part of
    it or anything: then nobody was told of anything in it, and it is not in the register yet.
    """
    try:
        return os.path.lexists(path) and (path.lstat().st_size > OPEN_CAP or bool(read(path).entries) or _told_of(path))
    except Unreadable:
        return _told_of(path)


def _told_of(path: Path) -> bool:
    """Tell whether a file that has no first entry ever had one: it is registered, or another entry stands in it."""
    try:
        if path.stem in read_register(path.parent).sessions or not stat.S_ISREG(path.lstat().st_mode):
            return True
        return _SECOND_ENTRY in path.read_bytes()
    except OSError:
        return True


def cut_off_path(path: Path) -> Path:
    """Give the name under which a file is kept that was cut off while it was being begun."""
    return path.with_name(f"{path.name}.cut-off")


def go_on(path: Path, header: Mapping[str, object], after: Entry, clock: Clock, by: int | None) -> Journal:
    """Begin the file in which a session goes on after an entry of `path`, the last of it that counts.

    `header` is entry 0 of that file. What is left where that was tried before and cut off is kept under another name.
    Raises any `RecordError` but `Damaged`, also where it was gone on from already; nothing is lost then.
    """
    body = {name: member for name, member in header.items() if name not in common_names()}
    told: dict[str, object] = {"sid": path.stem, "entries": _number(after) + 1, "head": after["hash"]}
    body["continues"] = told | ({"addendum": True} if after["kind"] == SIGNATURE else {})
    new, system = next_path(path), Os()
    if os.path.lexists(new) and not is_begun(new):
        _set_aside(new, system)
    return Journal.create(path.parent, clock, body, by, sid=new.stem, system=system)


def _set_aside(new: Path, system: Os) -> None:
    """Free the name of a file that was cut off while it was being begun; what is left of it is kept."""
    handle = open_there(new)
    try:
        take(handle, new)  # another program may be beginning it at this moment
        if is_begun(new):
            raise NotSaved(f"{new.name} was begun by another program meanwhile: try again.")
        new.rename(cut_off_path(new))
        sync_folder(new.parent, system)
    except OSError as error:
        raise NotSaved(f"{new.name} was cut off and is in the way: it cannot be renamed, {error.strerror}.") from None
    finally:
        os.close(handle)


def gone_on_from(found: Verified) -> str:
    """Say which file a session goes on from and how much of it counts; nothing where it goes on from none."""
    told = found.entries[0].get("continues") if found.entries else None
    if not isinstance(told, dict):
        return ""
    begins = "An addendum to" if told.get("addendum") else "Goes on from"
    return f"{begins} {told.get('sid')}{SUFFIX}, of which the first {told.get('entries')} entries count."


def goes_on_in(path: Path, registered: Container[str]) -> tuple[str, bool]:
    """Say in which file the session in `path` went on, if it did, and whether that one was registered and is gone."""
    behind = next_path(path)
    if is_begun(behind):
        return f"Goes on in {behind.name}.", False
    if behind.stem in registered:
        return f"{behind.name}, in which session {path.stem} went on, was registered and is missing.", True
    return "", False


def continued(path: Path, told: object) -> tuple[Path, Verified, list[Entry]]:
    """Give the file that a session goes on from, and the entries of it that count. `told` is its `continues`.

    Raises `Unreadable` where that file is not there, or does not hold them as they were.
    """
    said = told if isinstance(told, dict) else {}
    sid, count, head = said.get("sid"), said.get("entries"), said.get("head")
    before = path.with_name(f"{sid}{SUFFIX}")
    if not isinstance(count, int) or count < 1 or next_path(before).name != path.name:
        raise Unreadable(f"{path.name} does not say which file it goes on from.")
    found = read(before)
    if len(found.entries) < count or found.entries[count - 1]["hash"] != head:
        raise Unreadable(f"{path.name} goes on from entry {count - 1} of {before.name}, which does not hold it.")
    if (found.entries[count - 1]["kind"] == SIGNATURE) != bool(said.get("addendum")):
        raise Unreadable(f"{path.name} and entry {count - 1} of {before.name} differ on whether that one is signed.")
    return before, found, found.entries[:count]


def _number(entry: Entry) -> int:
    number = entry["seq"]
    assert isinstance(number, int)
    return number
