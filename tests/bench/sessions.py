"""Long sessions for the benchmarks, written by the project's own journal: a visit that goes on and on.

After the time-out, set-up, access and the lengths, the canals are worked in turns: files, rinses, the going to and fro
between steps, now and then a correction with the clinician's yes. Each has a master apical file and a cone fit, which
the files after them outdate. The clock is the machine's own, so that the clocks on
the screen run once the session is resumed.
"""

from __future__ import annotations

from collections import Counter
from itertools import count
from pathlib import Path

from stepper import __version__
from stepper.facts import entries as kinds
from stepper.facts.entries import AnyEntry
from stepper.facts.record import written
from stepper.facts.state import LAST
from stepper.record.clock import SystemClock
from stepper.record.journal import Journal
from stepper.record.places import bundled
from stepper.record.system import Os
from tests.cases import Log, examined, fitted, opened

CANALS = (1, 2, 3)
CORRECTED_EVERY = 50
"""Rounds between two corrections."""

SHORT = 90
"""Below so many entries a visit is only the barest one."""

ROUND = 12
"""More entries than the working of a canal takes."""

FILES = ("25/4-1", "10/2-0", "30/4-0.5", "35/4-0")
PURPOSES = ("cut", "recapitulate", "cut", "cut")
RINSES = ("hypochlorite_3", "edta_17", "hypochlorite_3")

_ENVELOPE = frozenset({"kind", *kinds.Entry.__struct_fields__})


class Unsynced(Os):
    """The operating system without the wait for the disk: thousands of entries are made here that nobody will miss."""

    def fdatasync(self, handle: int) -> None:
        """Leave it to the system when the bytes reach the disk."""


def write_session(folder: Path, entries: int) -> Path:
    """Write a session of so many entries into a folder; give its file."""
    log = long_visit(entries)
    text = (bundled("protocols") / "one_visit.toml").read_text(encoding="utf-8")
    body = {**_body(log.entries[0]), "app": __version__, "protocol": text, "settings": ""}
    journal = Journal.create(folder, SystemClock(), body, log.by, system=Unsynced())
    try:
        for entry in log.entries[1:]:
            journal.append(entry.kind, _body(entry), entry.by)
    finally:
        journal.close()
    return journal.path


def long_visit(entries: int) -> Log:
    """Log a visit of so many entries, which ends where the first canal is rinsed."""
    if entries < SHORT:
        return _barest(entries)
    log, rows = opened(examined(Log())), Counter[tuple[str, int]]()
    for canal in CANALS:
        log.answer("length", canal, row=0, estimate="20")
        log.answer("length", canal, electronic="20.5", image_length="20.5", working_length="20.5")
        log.answer("length", canal, reference="mesiobuccal_cusp", patency="yes", mark="half_mark", apex="closed")
        log.answer("flare", canal, file="25/8-6", purpose="cut")
        log.answer("gauging", canal, gauge="30-0", held="held")
        _round(log, canal, rows)
        log.answer("shaping", canal, LAST, master="35/4")
        fitted(log, canal)
    turns = count()
    while len(log.entries) < entries - ROUND:
        turn = next(turns)
        _round(log, CANALS[turn % len(CANALS)], rows, corrected=turn % CORRECTED_EVERY == CORRECTED_EVERY - 1)
    _rinsed(log, entries, rows)
    return log


def _barest(entries: int) -> Log:
    """Log the least after which the screen shows everything: a dam, canals, a length, a file, a rinse."""
    log, rows = Log(), Counter[tuple[str, int]]()
    log.answer("anaesthesia", row=LAST, effect="numb")
    log.answer("isolation", dam="on", tight="yes", clamped="46", through="1")
    opened(log)
    log.answer("length", 1, row=0, estimate="20")
    log.answer("length", 1, electronic="20.5", image_length="20.5", working_length="20.5")
    log.answer("shaping", 1, 1, file=FILES[0], purpose="cut")
    _rinsed(log, entries, rows)
    return log


def _rinsed(log: Log, entries: int, rows: Counter[tuple[str, int]]) -> None:
    """Rinse the first canal until there are so many entries."""
    log.log(kinds.Go, step="irrigation", canal=1)
    while len(log.entries) < entries:
        _rinse(log, 1, RINSES[0], rows)


def _round(log: Log, canal: int, rows: Counter[tuple[str, int]], *, corrected: bool = False) -> None:
    """Work one canal: go to it, a few files, one of them keyed wrong if it is to be, then the rinses."""
    log.log(kinds.Go, step="shaping", canal=canal)
    for file, purpose in zip(FILES, PURPOSES, strict=True):
        rows["shaping", canal] += 1
        seq = log.answer("shaping", canal, rows["shaping", canal], file=file, purpose=purpose)
    if corrected:
        log.confirm(log.correct(seq, file="30/4-0"))
    log.log(kinds.Go, step="irrigation", canal=canal)
    for item in RINSES:
        _rinse(log, canal, item, rows)


def _rinse(log: Log, canal: int, item: str, rows: Counter[tuple[str, int]]) -> None:
    rows["irrigation", canal] += 1
    given = {"solution": item, "volume": "3", "needle_depth": "-2", "needle": "needle_30_side"}
    log.answer("irrigation", canal, rows["irrigation", canal], activation="none", seconds="-/", **given)


def _body(entry: AnyEntry) -> dict[str, object]:
    """Give what an entry says, without what the journal writes around it."""
    members = written(entry)
    return {name: value for name, value in members.items() if name not in (*_ENVELOPE, "sid", "nonce")}
