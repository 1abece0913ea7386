"""The whole program at a pseudo-terminal, killed while lines are keyed: what was shown as logged is on the disk."""

from __future__ import annotations

import random
import signal
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

from stepper.record.verify import read
from stepper.session.store import read_case
from tests.bench.contenders import resumed, start_stepper
from tests.bench.screen import Program
from tests.bench.sessions import write_session
from tests.campaign.story import said
from tests.campaign.tally import Tally, Trial, scratch

ENTRIES = 10
"""In the session before any is keyed."""

_LONGEST_S = 0.9
_GAP_S = 0.04


@dataclass(frozen=True)
class _Started:
    """A program that was started on a session of its own, as that stood then."""

    file: Path
    before: bytes
    running: Program
    closing: ExitStack


def app_kills(trial: Trial) -> Tally:
    """Kill the program at random moments of keying. While one is keyed into, the next one starts, to save time."""
    tally = Tally("kills of the whole program")
    dice = trial.dice
    with ExitStack() as left_over:
        following = _start()
        for number in range(trial.rounds):
            left_over.enter_context(following.closing)
            started = following
            with started.closing:
                resumed(started.running, ENTRIES)
                following = _start() if number + 1 < trial.rounds else started
                outcome, wrong = _one(started, dice)
            tally.one(outcome, wrong and f"kill {number}: {wrong}")
    return tally


def _start() -> _Started:
    with ExitStack() as stack:
        place = stack.enter_context(scratch())
        file = write_session(place / "sessions", ENTRIES)
        running = stack.enter_context(start_stepper(place))
        return _Started(file, file.read_bytes(), running, stack.pop_all())


def _one(started: _Started, dice: random.Random) -> tuple[str, str]:
    file, before, running = started.file, started.before, started.running
    shown = _keyed(running, dice)
    running.signal(signal.SIGKILL)
    running.ended(30.0)
    found, case, fault = read_case(file)
    answers = sum(entry["kind"] == "answer" for entry in found.entries[ENTRIES:])
    more = {0: "none", 1: "one"}.get(answers - shown, "some")
    outcome = f"{'some' if shown else 'none'} shown, {said(found)}, {more} more"
    if not file.read_bytes().startswith(before) or answers < shown:
        return outcome, f"{shown} shown as logged, {answers} on the disk"
    if found.damage is not None or case is None:
        return outcome, f"it does not read any more: {fault or said(read(file))}"
    return outcome, ""


def _keyed(running: Program, dice: random.Random) -> int:
    """Key lines for a random while; gives how many the screen called logged."""
    left, number, shown = dice.uniform(0.02, _LONGEST_S), 0, 0
    while left > 0:
        for keys in (f"1*1**{1 + number % 9}**-2", "\r"):
            running.type(keys)
            gap = min(left, dice.uniform(0.001, _GAP_S))
            running.rest(gap)
            left -= gap
            shown = max(shown, _called_logged(running, number))
        number += 1
    return shown


def _called_logged(running: Program, number: int) -> int:
    """How many lines are logged, if the screen says so of the last one or of the one before it."""
    words = " ".join(row.strip() for row in running.rows[-8:-2])
    for line in (number, number - 1):
        if line >= 0 and "Logged" in words and f"volume {1 + line % 9} mL" in words:
            return line + 1
    return 0
