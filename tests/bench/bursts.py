"""Random bursts of keys: each must come through exact and in order, also while the desk stalls."""

from __future__ import annotations

import json
import random
import signal
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.bench.outcome import Outcome
from tests.bench.screen import Program, holds

BURSTS = 200
STALLED_EVERY = 3
"""One burst in so many meets a desk that stalls."""

LONGEST = 40
"""Keys of a burst at most; the Enter at its end is one more."""

DIGITS, SIGNS, GS, BACKSPACE, ENTER = "0123456789", "+-*/.", "\x1d", "\x7f", "\r"
SEED = 5


@dataclass(frozen=True)
class Burst:
    """Keys as they are written in one go, and the lines that must come of them."""

    keys: str
    lines: tuple[str, ...]


def random_burst(rest: random.Random) -> Burst:
    """Make a burst that ends in Enter. Nothing is entered empty: soon after another, that is taken for a bounce.

    GS comes in scans alone: they open with `]`, and a scanner sends it between two fields.
    """
    keys, lines, line = "", [], ""
    for _ in range(rest.randint(1, LONGEST)):
        key = _key(rest, line)
        keys += key
        if key == ENTER:
            lines.append(line)
            line = ""
        else:
            line = line[:-1] if key == BACKSPACE else line + key
    if not line:
        keys, line = keys + "7", "7"
    return Burst(keys + ENTER, (*lines, line))


def _key(rest: random.Random, line: str) -> str:
    if not line and rest.random() < 0.2:
        return "]"
    pick = rest.random()
    if pick < 0.12 and line:
        return ENTER
    if pick < 0.27:
        return BACKSPACE
    if pick < 0.37 and line.startswith("]"):
        return GS
    return rest.choice(DIGITS if pick < 0.85 else SIGNS)


def wrong(sent: Sequence[Burst], filed: Sequence[str]) -> list[str]:
    """Give what was to come and came otherwise, by burst, in words; nothing where all is as keyed."""
    told, at = [], 0
    for number, burst in enumerate(sent, start=1):
        came = tuple(filed[at : at + len(burst.lines)])
        if came != burst.lines:
            told.append(f"burst {number}: {burst.keys!a} came as {came!a}, not {burst.lines!a}")
            break  # what follows has lost its place
        at += len(burst.lines)
    if not told and at != len(filed):
        told.append(f"{len(filed) - at} lines more than were keyed")
    return told


def bench(bursts: int = BURSTS) -> Outcome:
    """Send bursts to the real screens, each once the one before was filed."""
    rest = random.Random(SEED)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        with Program([sys.executable, "-m", "tests.bench.filing", place]) as running:
            running.until(holds("> _"))
            sent = [_send(running, folder, random_burst(rest), rest, number) for number in range(1, bursts + 1)]
            filed = _filed(folder)
    bad = wrong(sent, filed)
    lines = [
        f"Bursts: {bursts}, one in {STALLED_EVERY} behind a stall of 300 ms",
        *(f"  {one}" for one in bad),
        f"  exact and in order: {'BROKEN' if bad else f'all {bursts}, kept'}",
    ]
    return Outcome(lines, {"bursts": bursts, "wrong": bad}, kept=not bad)


def _send(running: Program, folder: Path, burst: Burst, rest: random.Random, number: int) -> Burst:
    """Write a burst, in the middle of it a stall if it is this one's turn; wait until its last line has come."""
    before, half = len(_filed(folder)), rest.randint(0, len(burst.keys) - 1)
    running.type(burst.keys[:half]) if half else None
    if number % STALLED_EVERY == 0:
        running.signal(signal.SIGUSR1)
        running.rest(0.02)
    running.type(burst.keys[half:])
    for _ in range(200):
        running.rest(0.02)
        if len(_filed(folder)) >= before + len(burst.lines):
            break
    return burst


def _filed(folder: Path) -> list[str]:
    file = folder / "entered"
    if not file.exists():
        return []
    return [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
