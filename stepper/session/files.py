"""The files that a session was read from, for who hands them on with its note."""

from __future__ import annotations

from pathlib import Path

from stepper.note.outputs import LogFile
from stepper.record.continuing import continued
from stepper.record.verify import read


def files_of(path: Path) -> tuple[LogFile, ...]:
    """Give a session's file and those that it goes on from, the oldest first. Raises RecordError."""
    found = read(path)
    files = [LogFile(path.name, found.entries.data, found.head)]
    while found.entries and "continues" in found.entries[0]:
        path, found, _ = continued(path, found.entries[0]["continues"])
        files.append(LogFile(path.name, found.entries.data, found.head))
    return tuple(reversed(files))
