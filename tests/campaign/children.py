"""Children of this process, forked while it is warm: they write sessions, are killed, starved or set on each other."""

from __future__ import annotations

import contextlib
import os
import random
import resource
import signal
import time
import traceback
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path

from stepper.record.clock import SystemClock
from stepper.record.journal import Journal
from stepper.record.problems import Busy, NotSaved, RecordError
from stepper.record.system import Os
from stepper.record.verify import read
from tests.campaign.story import RECOVERED, body_of, said
from tests.campaign.tally import Tally, Trial, scratch
from tests.record.sessions import SID, begin, clock, put

KILLS_OF_ONE = 25
"""Kills of the writers of one session, before another is begun."""

_MOST_ACKS = 6
_MOST_WAIT_S = 0.0006
_ROOM = 400
"""Bytes of a line that is cut off at each of them."""


def fork(act: Callable[[], None]) -> int:
    """Run something in a child of its own, which ends with it; gives the child's number."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # a later Python warns of threads, which no child here uses
        pid = os.fork()
    if pid:
        return pid
    status = 1
    try:
        act()
        status = 0
    except BaseException:
        os.write(2, traceback.format_exc().encode())
    finally:
        os._exit(status)


def ended(pid: int) -> int:
    """Wait for a child; gives its exit code, negative for the signal that ended it."""
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])


def kills(trial: Trial) -> Tally:
    """Kill writers at any moment: all that they acknowledged is there, and at most one entry more."""
    tally = Tally("kills of the writer")
    dice = trial.dice
    for number in range(0, trial.rounds, KILLS_OF_ONE):
        # every other session is on a disk for which a sync has to wait, so that kills meet it there too
        with scratch(in_memory=number // KILLS_OF_ONE % 2 == 0) as folder:
            hashes: list[str] = []
            for nth in range(min(KILLS_OF_ONE, trial.rounds - number)):
                outcome, wrong = _one_kill(folder, dice, hashes, trial.without)
                tally.one(outcome, wrong and f"kill {number + nth}: {wrong}")
    return tally


def _one_kill(folder: Path, dice: random.Random, hashes: list[str], without: Callable[[Os], Os]) -> tuple[str, str]:
    """Kill one writer; `hashes` are those of the entries that are known to be there, and grows."""
    path = folder / f"{SID}.jsonl"
    told, tell = os.pipe()
    seed = dice.random()
    pid = fork(lambda: _write_for_ever(path, tell, random.Random(seed), without(Os())))
    os.close(tell)
    with os.fdopen(told, "rb") as pipe:
        acks = [pipe.readline() for _ in range(dice.randrange(_MOST_ACKS))]
        time.sleep(dice.random() * _MOST_WAIT_S)
        os.kill(pid, signal.SIGKILL)
        acks += pipe.readlines()
    status = ended(pid)
    if status != -signal.SIGKILL:
        return "ended by itself", f"the writer ended by itself, with {status}"
    acknowledged = [ack.decode().strip() for ack in acks if ack.endswith(b"\n")]
    return _left(path, hashes, acknowledged)


def _write_for_ever(path: Path, tell: int, dice: random.Random, system: Os) -> None:
    if path.exists():
        opened = Journal.resume(path, SystemClock(), system=system)
        journal = opened.journal
    else:
        journal = Journal.create(path.parent, SystemClock(), {"number": 0}, 1, sid=path.stem, system=system)
    while True:
        os.write(tell, journal.head.encode() + b"\n")
        put(journal, body_of(journal.count, dice))


def _left(path: Path, hashes: list[str], acknowledged: list[str]) -> tuple[str, str]:
    """What a kill left. The first of the acknowledged is the head that the writer found, or its rescue of an end."""
    if not path.exists():
        return "not begun", "what was acknowledged is gone" if hashes or acknowledged else ""
    try:
        found = read(path)
    except RecordError:
        if not hashes and not acknowledged:
            path.unlink()
            return "not begun", ""
        return "refused", "what was acknowledged cannot be read"
    there = [str(entry["hash"]) for entry in found.entries]
    known = [*hashes, *(ack for ack in acknowledged if ack not in hashes)]
    rescues = sum(entry["kind"] == RECOVERED for entry in found.entries[len(hashes) :])
    extra = len(there) - len(known)
    wrong = ""
    if there[: len(known)] != known:
        wrong = f"{len(known)} were acknowledged, and not all are there"
    elif extra > 1 or found.damage is not None or rescues > 1:
        wrong = f"{extra} entries that nobody was told of, {said(found)}"
    hashes[:] = there
    return f"{said(found)}, {extra} more", wrong


def starved(trial: Trial) -> Tally:
    """Let the system take only so many bytes of a file, for each number: real short writes, to the end of a line.

    Once of an entry, once of a session's first line, once of the entry that keeps an unfinished end.
    """
    tally = Tally("sizes that a file may not pass")
    acts = {"entry": _starve_entries, "first line": _starve_openings, "rescue": _starve_rescues}
    for number in range(trial.rounds):
        for what, act in acts.items():
            with scratch() as folder:
                told, tell = os.pipe()
                pid = fork(lambda act=act, tell=tell, folder=folder: act(folder, tell, trial.without))  # type: ignore[misc]
                os.close(tell)
                with os.fdopen(told, "rb") as pipe:
                    for row in pipe.read().decode().splitlines():
                        outcome, _, wrong = row.partition("\t")
                        tally.one(f"{what} {outcome}", wrong and f"{what}, round {number}: {wrong}")
                if ended(pid) != 0:
                    tally.violated(f"{what}: the writer ended with a traceback")
    return tally


@contextlib.contextmanager
def _at_most(size: int) -> Iterator[None]:
    """Let no file grow beyond a size; Python ignores the signal, so that the call fails."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))


def _tell(tell: int, outcome: str, wrong: str = "") -> None:
    os.write(tell, f"{outcome}\t{wrong}\n".encode())


def _starve_entries(folder: Path, tell: int, without: Callable[[Os], Os]) -> None:
    journal = begin(folder, system=without(Os()))
    entries = [journal.last]
    for room in range(_ROOM):
        size = journal.path.stat().st_size
        outcome, wrong = "saved", ""
        try:
            with _at_most(size + room):
                entries.append(put(journal, {"room": room}))
        except NotSaved:
            outcome = "not saved"
            wrong = f"room for {room}: the part was not taken back" if journal.path.stat().st_size != size else ""
        except RecordError as problem:
            _tell(tell, "retired", f"room for {room}: {problem}")
            return
        found = read(journal.path)
        if said(found) != "whole" or list(found.entries) != entries:
            wrong = f"room for {room}: {len(entries)} acknowledged, {len(found.entries)} there, {said(found)}"
        _tell(tell, outcome, wrong)
        if wrong:
            return


def _starve_openings(folder: Path, tell: int, without: Callable[[Os], Os]) -> None:
    for room in range(_ROOM):
        place = folder / str(room)
        path = place / f"{SID}.jsonl"
        try:
            with _at_most(room):
                begin(place, system=without(Os())).close()
        except RecordError:
            _tell(tell, "not begun", f"room for {room}: a file was left" if path.exists() else "")
            continue
        _tell(tell, "begun", "" if len(read(path).entries) == 1 else f"room for {room}: begun, and it is not there")


def _starve_rescues(folder: Path, tell: int, without: Callable[[Os], Os]) -> None:
    journal = begin(folder)
    journal.close()
    whole = journal.path.read_bytes()
    tail = b'{"v":1,"seq":1,"kind":"fact"' + bytes(100)
    for room in range(_ROOM + len(tail) * 2):
        journal.path.write_bytes(whole + tail)
        outcome = "rescued"
        try:
            with _at_most(len(whole) + room):
                Journal.resume(journal.path, clock(), system=without(Os())).journal.close()
        except NotSaved:
            outcome = "not rescued"
        except RecordError as problem:
            outcome = "not rescued: " + type(problem).__name__
        found = read(journal.path)
        # the tail is kept whole where there was room for it before, or the entry that keeps it is there
        good = len(found.entries) == 2 if outcome == "rescued" else len(found.entries) == 1
        good = good and said(found) != "called damaged at its end" and "Retired" not in outcome
        wrong = "" if good else f"room for {room}: {outcome}, {said(found)}"
        if outcome == "not rescued" and room >= len(tail) and not found.unfinished.endswith(tail):
            wrong = f"room for {room}: the unfinished end is gone"
        _tell(tell, outcome, wrong)


def crowds(trial: Trial) -> Tally:
    """Several programs open, write and close one session at once: each entry that one wrote is there, in order."""
    tally = Tally("entries written by a crowd")
    with scratch() as folder:
        begin(folder).close()
        path = folder / f"{SID}.jsonl"
        told, tell = os.pipe()
        pids = [fork(lambda who=who: _one_of_many(path, who, trial, tell)) for who in range(4)]  # type: ignore[misc]
        os.close(tell)
        with os.fdopen(told, "rb") as pipe:
            acks = pipe.read().decode().split()
        if any(ended(pid) for pid in pids):
            tally.violated("one of the crowd ended with a traceback")
        found = read(path)
        there = {str(entry["hash"]) for entry in found.entries}
        for ack in acks:
            tally.one("acknowledged", "" if ack in there else "acknowledged, and not there")
        if said(found) != "whole" or len(found.entries) != len(acks) + 1:
            tally.violated(f"{len(acks)} acknowledged, {len(found.entries) - 1} there, {said(found)}")
    return tally


def _one_of_many(path: Path, who: int, trial: Trial, tell: int) -> None:
    for number in range(trial.rounds):
        while True:
            try:
                journal = Journal.resume(path, clock(), system=trial.without(Os())).journal
                break
            except Busy:
                time.sleep(0.0001)
        entry = put(journal, {"who": who, "number": number}, who)
        os.write(tell, f"{entry['hash']}\n".encode())
        journal.close()
