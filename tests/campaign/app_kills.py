"""The whole program at a pseudo-terminal, killed while lines are keyed: what was shown as logged is on the disk."""

from __future__ import annotations

import random
import signal
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


def app_kills(trial: Trial) -> Tally:
    """Kill the program at random moments of keying."""
    tally = Tally("kills of the whole program")
    dice = trial.dice
    for number in range(trial.rounds):
        with scratch() as place:
            outcome, wrong = _one(place, dice)
            tally.one(outcome, wrong and f"kill {number}: {wrong}")
    return tally


def _one(place: Path, dice: random.Random) -> tuple[str, str]:
    file = write_session(place / "sessions", ENTRIES)
    before = file.read_bytes()
    with start_stepper(place) as running:
        resumed(running, ENTRIES)
        shown = _keyed(running, dice)
        running.signal(signal.SIGKILL)
        running.ended(30.0)
    found, case, fault = read_case(file)
    answers = sum(entry["kind"] == "answer" for entry in found.entries[ENTRIES:])
    outcome = f"{said(found)}, {'none' if answers == shown else 'one' if answers == shown + 1 else 'some'} more"
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
