"""Sessions to break: small ones on the disk, under a clock that was set."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

from stepper.record.clock import SetClock
from stepper.record.journal import Journal
from stepper.record.members import Entry
from stepper.record.system import Os

SID = "0b9d1c9e-6f0e-4f3c-8a55-1f2d3c4b5a69"
OTHER = "7a1f0c52-3b7e-4d8a-9c11-2e6f5d4c3b2a"
START = dt.datetime(2026, 11, 24, 8, 40, 0, 123456, dt.UTC)


def clock(tick_s: float = 1.0) -> SetClock:
    return SetClock(START, tick_s)


def begin(folder: Path, sid: str = SID, system: Os | None = None) -> Journal:
    body = {"practice": True, "protocol": 'title = "Überblick"\n'}
    return Journal.create(folder, clock(), body, 1, sid=sid, system=system)


def logged(folder: Path, count: int = 4, sid: str = SID) -> tuple[Path, list[Entry]]:
    """A closed session of `count` entries, and the entries as they were acknowledged."""
    journal = begin(folder, sid)
    entries = [journal.last]
    entries += [journal.append("fact", {"step": "length", "value": f"{n}.50"}, 2) for n in range(1, count)]
    journal.close()
    return journal.path, entries


def put(journal: Journal, body: Mapping[str, object], by: int | None = 1) -> Entry:
    """Append a fact, in turns as it is done after a look at its types and without one."""
    if journal.count % 2:
        return journal.append("fact", body, by)
    journal.append_typed("fact", body, by, journal._clock.now())
    return journal.last
