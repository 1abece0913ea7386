"""The record: what an entry costs beside a raw write and sync, what reading costs beside the hashing alone."""

from __future__ import annotations

import hashlib
import os
import random
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path

from stepper.facts.entries import parse_own
from stepper.record.chain import check, genesis
from stepper.record.clock import SystemClock
from stepper.record.journal import Journal
from stepper.record.verify import judge
from stepper.session.typed_entries import Typed
from tests.bench.bars import Bar
from tests.bench.outcome import Asked, Outcome
from tests.bench.sessions import Unsynced, write_session
from tests.bench.timing import Figures

BATCH, ROUNDS = 50, 60
"""Appends of each contender in one go, and how often; the contenders are shuffled in each round."""

READ, READINGS = 10_000, 15
OPENED = 2_000

BODY: Mapping[str, object] = {
    "step": "shaping",
    "canal": 1,
    "row": 3,
    "values": {
        "file": {"kind": "instrument", "size": 25, "taper": "0.04", "short_mm": "-1"},
        "purpose": {"kind": "choice", "options": ["cut"]},
    },
}
HEADER: Mapping[str, object] = {
    "app": "bench",
    "practice": True,
    "patient": "1",
    "tooth": "11",
    "clinician": 1,
    "protocol": "x" * 60_000,
    "settings": "",
}
Call = Callable[[], object]


def bench(asked: Asked) -> Outcome:
    """Measure appending, then reading."""
    with tempfile.TemporaryDirectory() as place:
        appended = _appending(Path(place), asked.turns or ROUNDS)
        read = _reading(Path(place), asked.turns or READINGS)
    bars = [
        Bar("durable append, of a raw write and sync, median", appended["append"].ratio_to(appended["raw"]), 1.2),
        Bar("processor time of an entry, median", appended["processor"].median_ns / 1e3, 25, "us"),
        Bar("verify, of hashing each line alone, median", read["verify"].ratio_to(read["hash"]), 3),
        Bar("verify and typed parse, of the same, median", read["typed"].ratio_to(read["hash"]), 15),
        Bar(f"read, verify and type {OPENED:,} entries, median", read["open"].median_ns / 1e6, 25, "ms"),
    ]
    made = appended | read
    rows = [f"  {name:12}{one.median_ns / 1e3:12.1f} us, p95 {one.p95_ns / 1e3:12.1f}" for name, one in made.items()]
    figures = {name: {"median_us": one.median_ns / 1e3, "p95_us": one.p95_ns / 1e3} for name, one in made.items()}
    members = {"figures": figures, "bars": {bar.name: [bar.found, bar.most] for bar in bars}}
    lines = [f"Record: an entry; a file of {READ:,} entries", *rows, *(bar.line for bar in bars)]
    return Outcome(lines, members, all(bar.kept for bar in bars))


def _appending(folder: Path, rounds: int) -> dict[str, Figures]:
    """Append to a session, and as many bytes to a plain file, in turns; also to one without the wait for the disk."""
    journal = Journal.create(folder, SystemClock(), HEADER, 2)
    unsynced = Journal.create(folder, SystemClock(), HEADER, 2, system=Unsynced())
    journal.append("answer", BODY, 2)
    line = journal.path.read_bytes().splitlines(keepends=True)[-1]
    plain = os.open(folder / "plain", os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)

    def raw() -> None:
        os.write(plain, line)
        os.fdatasync(plain)

    def append(to: Journal) -> Call:
        clock = SystemClock()
        return lambda: to.append_typed("answer", BODY, 2, clock.now())

    calls: dict[str, Call] = {"append": append(journal), "raw": raw}
    taken = _in_turns(calls, rounds, time.perf_counter_ns)
    taken |= _in_turns({"processor": append(unsynced)}, rounds, time.process_time_ns)
    for one in (journal, unsynced):
        one.close()
    os.close(plain)
    return {name: Figures(tuple(samples)) for name, samples in taken.items()}


def _in_turns(calls: Mapping[str, Call], rounds: int, clock: Callable[[], int]) -> dict[str, list[float]]:
    taken: dict[str, list[float]] = {name: [] for name in calls}
    names, draw = list(calls), random.Random(6)
    for _ in range(rounds):
        draw.shuffle(names)
        for name in names:
            for _ in range(BATCH):
                begun = clock()
                calls[name]()
                taken[name].append(clock() - begun)
    return taken


def _reading(folder: Path, readings: int) -> dict[str, Figures]:
    """Read a long session: hashing each of its lines alone, verifying the chain, verifying and typing all of it."""
    path, short = write_session(folder / "long", READ), write_session(folder / "short", OPENED)
    data, sid = path.read_bytes(), path.stem
    lines = data.splitlines()

    def verify() -> None:
        head, begin = genesis(sid), 0
        while begin < len(data):
            end = data.find(b"\n", begin)
            follows = check(data[begin:end], head)
            assert follows is not None
            head, begin = follows, end + 1

    calls: dict[str, Call] = {
        "hash": lambda: [hashlib.sha256(line).digest() for line in lines],
        "verify": verify,
        "typed": lambda: judge(data, sid, parse_own),
        "open": lambda: judge(short.read_bytes(), short.stem, Typed(short).take),
    }
    taken: dict[str, list[float]] = {name: [] for name in calls}
    for _ in range(readings):
        for name, call in calls.items():
            begun = time.perf_counter_ns()
            call()
            taken[name].append(time.perf_counter_ns() - begun)
    return {name: Figures(tuple(samples)) for name, samples in taken.items()}
