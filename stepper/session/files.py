"""The files that a session was read from, for who hands them on with its note."""

from __future__ import annotations

from pathlib import Path

from stepper.note.outputs import LogFile
from stepper.record.continuing import continued
from stepper.record.verify import Verified


def files_of(path: Path, found: Verified) -> tuple[LogFile, ...]:
    """Give a session's file as it was read, and those that it goes on from, the oldest first. Raises RecordError."""
    files = [LogFile(path.name, found.entries.data, found.head)]
    while found.entries and "continues" in found.entries[0]:
        path, found, _ = continued(path, found.entries[0]["continues"])
        files.append(LogFile(path.name, found.entries.data, found.head))
    return tuple(reversed(files))
