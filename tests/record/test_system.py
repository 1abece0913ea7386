"""The journal as it is used, with no fault put in, asks the real operating system to bring each entry to the disk."""

from __future__ import annotations

import fcntl
import os
import stat
from pathlib import Path

import pytest

from stepper.record import system
from stepper.record.journal import Journal
from tests.record.sessions import clock

Asked = list[tuple[str, int, bool]]
"""What the operating system was asked to sync: the call, the file, whether that is a folder."""


@pytest.fixture(params=["Linux", "macOS"])
def asked(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Asked:
    """Keep what is asked of the operating system; what it is asked for is done all the same."""
    calls: Asked = []
    datasync, fsync = os.fdatasync, os.fsync

    def note(name: str, handle: int) -> None:
        calls.append((name, os.fstat(handle).st_ino, stat.S_ISDIR(os.fstat(handle).st_mode)))

    def datasync_noted(handle: int) -> None:
        note("data", handle)
        datasync(handle)

    def fsync_noted(handle: int) -> None:
        note("all", handle)
        fsync(handle)

    def control(handle: int, command: int) -> None:
        assert command == 51
        note("thorough", handle)

    monkeypatch.setattr(os, "fdatasync", datasync_noted)
    monkeypatch.setattr(os, "fsync", fsync_noted)
    if request.param == "macOS":
        monkeypatch.setattr(system, "_THOROUGH", 51)
        monkeypatch.setattr(fcntl, "fcntl", control)
    return calls


def test_every_entry_is_synced_by_the_operating_system_itself(tmp_path: Path, asked: Asked) -> None:
    journal = Journal.create(tmp_path / "sessions", clock(), {"practice": True, "protocol": "x"}, 3)
    file, folder = journal.path.stat().st_ino, journal.path.parent.stat().st_ino
    thorough = "thorough" if system._THOROUGH is not None else "data"
    assert (thorough, file, False) in asked, "the first line"
    assert ("all", folder, True) in asked, "the file's name"
    for number in range(3):
        asked.clear()
        journal.append("fact", {"value": str(number)}, None)
        assert asked == [(thorough, file, False)], "once for each entry, before it is said to be logged"
    journal.close()
