"""Where the wall clock jumped: times of day before and after do not compare; durations go by the machine's clock."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from itertools import pairwise

from stepper.case.state import Case
from stepper.facts.entries import AnyEntry
from stepper.note.shape import Sentence

LEAST = dt.timedelta(seconds=5)
"""A wall clock that is kept right over a network is moved by less than this at a time."""


def jumps(case: Case) -> Iterator[Sentence]:
    """Say where the wall clock was set, where its zone changed, and where it stood earlier after a restart."""
    for before, after in pairwise(case.entries):
        text = _between(before, after)
        if text:
            yield Sentence(f"Between entries {before.seq} and {after.seq} {text}.", (before.seq, after.seq))


def _between(before: AnyEntry, after: AnyEntry) -> str:
    said: list[str] = []
    passed = after.t - before.t
    if before.boot != after.boot:
        if passed < dt.timedelta(0):
            said.append("the machine was started again, and its clock stood earlier than before")
    else:
        moved = passed - dt.timedelta(microseconds=after.mono_us - before.mono_us)
        if abs(moved) >= LEAST:
            said.append(
                f"the clock was put {'forward' if moved > dt.timedelta(0) else 'back'} by {_length(abs(moved))}"
            )
    if before.off != after.off:
        said.append(f"local time went from UTC{before.off} to UTC{after.off}")
    return " and ".join(said)


def _length(time: dt.timedelta) -> str:
    seconds = round(time.total_seconds())
    days, rest = divmod(seconds, 86_400)
    clock = f"{rest // 3600}:{rest // 60 % 60:02d}:{rest % 60:02d} h"
    return f"{days} day{'s' if days > 1 else ''} and {clock}" if days else clock
