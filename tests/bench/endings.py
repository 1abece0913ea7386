"""Hang-ups, terminations and closed terminals at random moments: what was shown as logged is on the disk."""

from __future__ import annotations

import json
import random
import signal
import tempfile
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from tests.bench.contenders import resumed, start_stepper
from tests.bench.outcome import Outcome
from tests.bench.screen import Program
from tests.bench.sessions import write_session

ENDINGS = 50
MOST_S = 1.0
"""The program is gone within so many seconds."""

ENTRIES = 10
"""In the session before any is keyed."""

LEAVING = (b"\x1b[?1049l", b"\x1b[?25h")
"""What has to be written to a terminal that is still there: the first screen back, and its cursor."""

SEED = 5


class Ending(StrEnum):
    """How the program is ended."""

    HANG_UP = "SIGHUP"
    TERMINATION = "SIGTERM"
    CLOSED = "terminal closed"


@dataclass(frozen=True)
class Ended:
    """One ending: entries that the screen had said are logged, those on the disk, and how it went."""

    how: Ending
    shown: int
    kept: int
    took_s: float | None
    status: int | None
    sane: bool

    @property
    def wrong(self) -> str:
        """What is wrong with it, in words; empty where all is as it should be."""
        told = [
            f"{self.shown} entries were shown as logged, {self.kept} are on the disk" if self.kept < self.shown else "",
            f"not gone within {MOST_S:g} s" if self.took_s is None else "",
            "" if self.sane else "the terminal was not left as it was found",
        ]
        return "; ".join(one for one in told if one)


def bench(endings: int = ENDINGS) -> Outcome:
    """End the program so many times, in the three ways by turns."""
    rest, ways = random.Random(SEED), list(Ending)
    return told([_one(ways[number % len(ways)], rest) for number in range(endings)])


def told(ended: Sequence[Ended]) -> Outcome:
    """Say how many ended well, and what was wrong with the others."""
    bad = [f"{one.how}: {one.wrong}" for one in ended if one.wrong]
    took = [one.took_s for one in ended if one.took_s is not None]
    ways = ", ".join(f"{count} {how}" for how, count in Counter(one.how.value for one in ended).items())
    lines = [
        f"Endings at random moments while keying: {ways}",
        f"  {sum(one.shown for one in ended)} entries shown as logged, {sum(one.kept for one in ended)} on the disk",
        f"  gone after {max(took, default=0):.2f} s at most, bar {MOST_S:.2f} s",
        *(f"  {one}" for one in bad),
        f"  nothing lost, gone in time, terminal sane: {'BROKEN' if bad else f'all {len(ended)}, kept'}",
    ]
    return Outcome(lines, {"endings": len(ended), "wrong": bad, "longest_s": max(took, default=0.0)}, kept=not bad)


def _one(how: Ending, rest: random.Random) -> Ended:
    with tempfile.TemporaryDirectory() as place:
        file = write_session(Path(place) / "sessions", ENTRIES)
        with start_stepper(Path(place)) as running:
            modes = running.modes_now()
            resumed(running, ENTRIES)
            shown = _keyed(running, rest)
            if how is Ending.CLOSED:
                running.hang_up()
            else:
                running.signal(signal.SIGHUP if how is Ending.HANG_UP else signal.SIGTERM)
            took = running.ended(MOST_S)
            sane = how is Ending.CLOSED or _sane(running, modes)
        return Ended(how, shown, _on_disk(file), took, running.status, sane)


def _keyed(running: Program, rest: random.Random) -> int:
    """Key lines until a random moment, which may fall in the middle of anything; give how many were shown as logged."""
    left, number, shown = rest.uniform(0.05, 1.5), 0, 0
    while left > 0:
        for keys in (f"1*1**{1 + number % 9}**-2", "\r"):
            running.type(keys)
            gap = rest.uniform(0.001, 0.05)
            running.rest(gap)
            left -= gap
            shown = max(shown, _said(running, number))
            if left <= 0:
                break
        number += 1
    return shown


def _said(running: Program, number: int) -> int:
    """Give how many lines are logged, if the screen says so of the last one or of the one before it."""
    said = " ".join(row.strip() for row in running.rows[-8:-2])
    for back in (0, 1):
        if "Logged" in said and number >= back and f"volume {1 + (number - back) % 9} mL" in said:
            return number - back + 1
    return 0


def _on_disk(file: Path) -> int:
    """Count the answers that were keyed: whole lines behind those that the session had before."""
    lines = file.read_bytes().split(b"\n")[:-1]
    return sum(json.loads(line)["kind"] == "answer" for line in lines[ENTRIES:])


def _sane(running: Program, modes: Sequence[object]) -> bool:
    return list(running.modes_now()) == list(modes) and all(one in bytes(running.raw) for one in LEAVING)
