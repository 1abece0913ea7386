"""One session of the walk: every entry is logged here, and the gate held against the oracle before and after."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Sequence

from stepper.case.fold import apply, begin, fold
from stepper.case.gate import shut
from stepper.case.judge import remarks
from stepper.facts.entries import Answer, AnyEntry, Carried, Correction, Open, parse
from stepper.facts.record import written
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import LAST, View
from stepper.facts.values import Absent
from stepper.kinds.outcome import FILLED, outcome_of
from tests.machine.chart import Chart, Value, Values, absent
from tests.machine.score import Score
from tests.oracle.gate import evidence, holds, shut_clauses
from tests.oracle.log import Log
from tests.oracle.reading import Reading, is_late

START = dt.datetime(2026, 3, 2, 8, 0, tzinfo=dt.UTC)
NEUTRAL = frozenset(
    {
        *("incident", "incident_detail", "ending", "relief", "void", "close", "sound", "go", "resume", "recovered"),
        *("owe", "step"),
    }
)
"""What may be said at any time without a gate moving."""
FIRST = 0

Judging = tuple[Reading, list[Remark]]


class Walk:
    """A session as it is logged. `carried` are the members of what an earlier visit brings."""

    def __init__(self, chart: Chart, draw: random.Random, score: Score, carried: Sequence[Value] = ()) -> None:
        self.chart, self.protocol, self.draw, self.score = chart, chart.protocol, draw, score
        self.mono, self.seq, self.boot, self.by = 1_000_000, 0, "first", 2
        header = self._open(second=bool(carried))
        self.case = begin(self.protocol, header)
        self.seen = Log(self.protocol, header)
        self.prepared = False
        self.good: set[int] = set()
        self.expected = False
        self.readings = self._readings()
        self.reasons: dict[int, dict[str, str]] = {}
        for members in carried:
            self.log("carried", **members)
            self.drew("carried")
        self.drew("second visit", bool(carried))

    # -- logging ------------------------------------------------------------------------------------------------------

    def drew(self, kind: str, come: bool = True) -> None:
        """Count an event, if it came."""
        if come:
            self.score.drawn[kind] += 1

    def log(self, kind: str, **members: object) -> None:
        """Log an entry, and hold the gate against the oracle before and after."""
        entry, before = self._stamp(kind, **members), self.reasons
        fills = self.seen.fills(entry)
        if isinstance(entry, Answer) and fills:
            self._expect_fill(entry)
        if is_late(self.readings[0][0], entry):
            self.seen.late.add(entry.seq)
        apply(self.case, entry)
        self.seen.add(entry)
        if (entry.seq in self.case.late) != (entry.seq in self.seen.late):
            self.violation(f"entry {entry.seq}: late is {entry.seq in self.case.late}, the oracle says otherwise")
        self.score.steps += 1
        self.readings = self._readings(same=kind in NEUTRAL)
        if isinstance(entry, Answer) and fills:
            self._after_fill(entry)
        self.compare()
        if kind in NEUTRAL and before != self.reasons:
            self.violation(f"entry {entry.seq}, {kind}, moved a gate: {before} before")
        self._count(entry)

    def _stamp(self, kind: str, **members: object) -> AnyEntry:
        self.mono += self.draw.randint(1, 90_000_000)
        envelope = {
            "seq": self.seq,
            "kind": kind,
            "t": START,
            "off": "+00:00",
            "tz": "",
            "mono_us": self.mono,
            "boot": self.boot,
            "by": self.by,
        }
        self.seq += 1
        return parse({**envelope, **members})

    def _open(self, *, second: bool) -> Open:
        header: dict[str, object] = {
            "sid": "walk",
            "nonce": "",
            "app": "",
            "practice": True,
            "patient": "4711",
            "tooth": "36",
            "clinician": 1,
            "protocol": "",
            "settings": "",
            "previous": {"sid": "before", "head": "0"} if second else None,
        }
        entry = self._stamp("open", **header)
        assert isinstance(entry, Open)
        return entry

    # -- judging ------------------------------------------------------------------------------------------------------

    def _expect_fill(self, entry: Answer) -> None:
        """Judge a fill before it is logged: as things stand, and also where it is said to have happened."""
        before = self.seen.key(entry)
        earlier = [Reading(self.seen, sure=sure, before=before) for sure in (False, True)] if entry.ago_min else []
        then = all(entry.canal in one.names and evidence(one, entry.canal) for one in earlier)
        self.expected = self.open(entry.canal) and not entry.outside
        if self.expected and then:
            self.good.add(entry.seq)

    def _after_fill(self, entry: Answer) -> None:
        counted = self.case.fills[entry.seq]
        self.score.fills += counted
        self.score.shut += not counted
        self.drew("fill", counted)
        self.drew("fill some minutes ago", counted and bool(entry.ago_min))
        self.drew("fill against a shut gate", not counted)
        declared = self.case.told.role("master_apical_file", entry.canal)
        carried = declared is not None and isinstance(self.case.entries[declared.seq], Carried)
        self.drew("fill on a carried file", counted and carried)
        if counted and entry.seq not in self.good:
            self.violation(f"entry {entry.seq} counts as filled through a shut gate")
        if self.expected and not counted and not entry.ago_min:
            self.violation(f"entry {entry.seq} was held although the gate was open")

    def compare(self) -> None:
        """Compare the gate of every canal, and every outcome, with the oracle's."""
        self.reasons = {canal: shut(self.case, canal) for canal in self.case.told.canals}
        for canal, reasons in self.reasons.items():
            theirs = self.open(canal)
            self.score.opened += theirs
            if (not reasons) != theirs:
                self.violation(f"canal {canal}: the oracle {self._why(canal) or 'open'}, the gate {reasons or 'open'}")
            if outcome_of(self.case.told, canal) == FILLED and not self.filled_rightly(canal):
                self.violation(f"canal {canal} counts as filled")

    def read_anew(self) -> None:
        """Fold the whole log anew: it has to come to what it came to entry by entry."""
        anew = fold(self.protocol, self.case.entries)
        for live, read in ((self.case.told, anew.told), (self.case.sure, anew.sure)):
            if remarks(self.case, live) != remarks(anew, read):
                self.violation("read anew, other remarks stand")
        if self.reasons != {canal: shut(anew, canal) for canal in anew.told.canals}:
            self.violation("read anew, the gates are others")

    def filled_rightly(self, canal: int) -> bool:
        """Whether every fill of a canal was logged through an open gate."""
        carried = self.seen.carried.get(canal)
        if carried is not None and carried.fill is not None and not carried.fill.gate_open:
            return False
        words = [one for one in self.readings[0][0].fills(canal) if not one.anew]
        return all(one.key[2] in self.good for one in words) and (bool(words) or carried is not None)

    def _readings(self, *, same: bool = False) -> list[Judging]:
        """Read the log as told and as sure; the asks are the program's own, since rules have tests of their own.

        `same`: what was said last is no fact of the tooth or a canal, and the readings stay as they are.
        """
        told, sure = (one for one, _ in self.readings) if same else self._read()
        return [(told, self._asks(self.case.told)), (sure, self._asks(self.case.sure))]

    def _read(self) -> tuple[Reading, Reading]:
        told = Reading(self.seen, sure=False)
        return told, Reading(self.seen, sure=True) if self.seen.unsure() else told

    def _asks(self, view: View) -> list[Remark]:
        return [one for one in remarks(self.case, view) if one.weight is Weight.ASK]

    def open(self, canal: int) -> bool:
        """Whether the oracle has the gate of a canal open."""
        told = self.readings[0][0]
        return all(
            reading.names.get(canal) == told.names.get(canal) and holds(reading, canal, asks)
            for reading, asks in self.readings
        )

    def _why(self, canal: int) -> list[str]:
        return [name for reading, asks in self.readings for name in shut_clauses(reading, canal, asks)]

    def violation(self, text: str) -> None:
        """Note a violation with the last entries."""
        members = {"step", "canal", "row", "values", "of", "how", "ago_min", "outside", "into", "at_mm", "drops"}
        last = self.case.entries[-12:]
        told = [
            f"{one.seq} {one.kind} { {name: said for name, said in written(one).items() if name in members} }"
            for one in last
        ]
        self.score.violations.append(f"{text} | {'; '.join(told)}")

    def _count(self, entry: AnyEntry) -> None:
        if isinstance(entry, Answer):
            how = "minutes ago" if entry.ago_min else "answer"
            self.drew("outside the chain", entry.outside)
        elif isinstance(entry, Correction):
            how = entry.how
        else:
            return
        for value in entry.values.values():
            self.drew(f"{how} {value.kind}")

    # -- answering ----------------------------------------------------------------------------------------------------

    def answer(self, role: str, canal: int, value: Value) -> None:
        """Answer the question of a role."""
        step, question = self.draw.choice(self.chart.where[role])
        self.together(step, canal, {question: value})

    def together(self, step: str, canal: int, values: Values, **more: object) -> None:
        """Answer several questions of a step in one entry: in a new row of a step of many, else in its one row."""
        part = self.chart.questions[(step, next(iter(values)))].part
        row = self.row(step, canal, part)
        self.log("answer", **{"step": step, "canal": canal, "row": row, "values": values, **self.extra(), **more})

    def row(self, step: str, canal: int, part: str = "each") -> int:
        """The row that an answer goes into; now and then one that is there already."""
        if step not in self.chart.many:
            return 1
        if part == "first":
            return FIRST
        numbers = [
            one.row
            for one in self.case.entries
            if isinstance(one, Answer) and (one.step, one.canal) == (step, canal) and one.row > FIRST
        ]
        mine = [one for one in numbers if (one >= LAST) == (part == "last")]
        again = bool(mine) and self.draw.random() < 0.04
        return max(mine, default=LAST - 1 if part == "last" else FIRST) + (0 if again else 1)

    def extra(self, ago: float = 0.05) -> dict[str, object]:
        """Now and then a minutes-ago, or a fact outside the chain."""
        if self.draw.random() < ago:
            return {"ago_min": self.draw.randint(1, 15)}
        return {"outside": True} if self.draw.random() < 0.02 else {}

    def not_known(self) -> Value:
        """Give an answer without a fact."""
        return absent(self.draw.choice(["not_done", "not_measured", "owed"]))

    def rows_keyed(self, *canals: int) -> list[Answer]:
        """The answers of some canals, or of all."""
        return [one for one in self.case.entries if isinstance(one, Answer) and (not canals or one.canal in canals)]

    def real(self, role: str, canal: int) -> object:
        """The latest fact of a role, as told."""
        fact = self.case.told.role(role, canal)
        return None if fact is None or isinstance(fact.value, Absent) else fact.value
