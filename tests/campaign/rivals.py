"""Another program at the same session, in turns with this one: what is acknowledged is in the file all the same."""

from __future__ import annotations

import os
import random
from collections.abc import Callable, Sequence
from pathlib import Path

from stepper.record.journal import Journal
from stepper.record.problems import Busy, RecordError
from stepper.record.system import Os
from stepper.record.verify import read
from tests.campaign.tally import Tally, Trial, scratch
from tests.record.sessions import OTHER, begin, clock, logged, put

Meddling = Callable[[Path, random.Random], None]


def _unlink(path: Path, _: random.Random) -> None:
    path.unlink()


def _link(path: Path, _: random.Random) -> None:
    path.with_name("second name").hardlink_to(path)


def _replace(path: Path, _: random.Random) -> None:
    copy = path.with_name("copy")
    copy.write_bytes(path.read_bytes())
    copy.replace(path)


def _put_another(path: Path, _: random.Random) -> None:
    other, _entries = logged(path.parent / "other", sid=OTHER)
    other.replace(path)


def _add(path: Path, dice: random.Random) -> None:
    with path.open("ab") as file:
        file.write(dice.randbytes(dice.randrange(1, 900)))


def _cut(path: Path, dice: random.Random) -> None:
    os.truncate(path, dice.randrange(path.stat().st_size))


def _move(path: Path, _: random.Random) -> None:
    path.rename(path.with_name("moved away"))


def _move_and_put_a_copy(path: Path, _: random.Random) -> None:
    path.rename(path.with_name("moved away"))
    path.write_bytes(path.with_name("moved away").read_bytes())


MEDDLING: tuple[Meddling, ...] = (_unlink, _link, _replace, _put_another, _add, _cut)
"""What another program can do to a file by its name. What only moves it away is told apart: see `movers`."""


def second_writers(trial: Trial) -> Tally:
    """Open a session that is open, between any two entries: refused, and the first goes on undisturbed."""
    tally = Tally("second writers")
    for _ in range(trial.rounds):
        with scratch() as folder:
            first = begin(folder, system=trial.without(Os()))
            entries = [first.last]
            for number in range(3):
                try:
                    second = Journal.resume(first.path, clock(), system=trial.without(Os())).journal
                except Busy:
                    tally.one("refused")
                else:
                    tally.one("let in", "two writers have one session")
                    _both(first, second)
                    second.close()
                    break
                entries.append(put(first, {"number": number}))
            first.close()
            if not tally.bad and list(read(first.path).entries) != entries:
                tally.violated("the first writer's entries are not all there")
    return tally


def _both(first: Journal, second: Journal) -> None:
    """Let both write, to see that nothing breaks but the promise."""
    for journal in (first, second):
        try:
            put(journal, {})
        except RecordError:
            return


def meddlers(trial: Trial) -> Tally:
    """Meddle with the open file by its name: an entry is acknowledged only where one finds it by that name."""
    return _meddled(trial, MEDDLING)


def movers(trial: Trial) -> Tally:
    """Move the open file away, and put a copy in its place or none."""
    return _meddled(trial, (_move, _move_and_put_a_copy))


def _meddled(trial: Trial, ways: Sequence[Meddling]) -> Tally:
    tally = Tally("files meddled with while open")
    dice = trial.dice
    for _ in range(trial.rounds):
        for meddle in ways:
            with scratch() as folder:
                journal = begin(folder, system=trial.without(Os()))
                for number in range(dice.randrange(3)):
                    put(journal, {"number": number})
                meddle(journal.path, dice)
                outcome, wrong = _acknowledged(journal)
                journal.close()
                tally.one(outcome, wrong and f"{meddle.__name__.strip('_')}: {wrong}")
    return tally


def _acknowledged(journal: Journal) -> tuple[str, str]:
    try:
        entry = put(journal, {"number": 99})
    except RecordError as problem:
        return type(problem).__name__.lower(), ""
    try:
        there = entry in list(read(journal.path).entries)
    except RecordError:
        there = False
    return "acknowledged", "" if there else "acknowledged, and not in the file of that name"
