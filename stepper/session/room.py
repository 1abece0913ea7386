"""The room that every mode works in: the case, the file, the clock, and what is being said.

`log` is the only way by which anything becomes true: written and synced, then folded, then judged.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Protocol as Shape

from stepper.case.alarms import FACT_ALARMS
from stepper.case.fold import apply
from stepper.case.judge import Standing, judge
from stepper.case.slots import Cursor
from stepper.case.state import Case
from stepper.facts.entries import NO_FACT, TOOTH, AnyEntry, parse
from stepper.facts.record import written
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import Fact, Row
from stepper.facts.values import Value
from stepper.lines.grammar import Line
from stepper.protocol.models import Protocol
from stepper.record.clock import Clock
from stepper.record.journal import Journal
from stepper.record.members import common
from stepper.session.latch import Latch
from stepper.session.view import Band, LogLine, Prompt, Tone


class Mode(Shape):
    """What the next line means. `take` gives the next mode, or None to go back to asking."""

    def prompt(self, room: Room) -> Prompt:
        """Say what is asked."""

    def take(self, room: Room, line: Line) -> Mode | None:
        """Take a line that is no command or address."""


@dataclass(slots=True)
class Draft:
    """Facts that are about to be logged: one row of one step. `scan`: where they were read off, if no value has it."""

    step: str
    canal: int
    row: int
    values: dict[str, Value]
    ago_min: int | None = None
    scan: str | None = None

    def row_with(self, case: Case) -> Row:
        """Give the row as it would stand, for judging it before it is logged."""
        seq = len(case.entries)
        found = case.told.row(self.step, self.canal, self.row)
        facts = dict(found.facts) if found is not None else {}
        step = case.protocol.by_step[self.step]
        for name, value in self.values.items():
            question = step.asked(name)
            facts[name] = Fact(value, seq, (seq, 0, seq), question.role if question else None)
        return Row(self.step, self.canal, self.row, facts)


@dataclass(slots=True)
class Room:
    """Everything a mode may use.

    `anew`: what was being asked no longer matters, as when the visit ends early. `opened_from`: the list that the mode
    which is gone to was opened from, to come back to when it ends. `page_rows`: how many rows a page has.
    `latch`: by which the screen is locked. `opens` opens the file before the first entry, where it is not open yet, for
    who is at the keys, `by`.
    """

    case: Case
    journal: Journal | None
    clock: Clock
    sound: bool
    cursor: Cursor
    armed: int | None = None
    saying: str = ""
    tone: Tone = Tone.PLAIN
    readback: str = ""
    last_readback: str = ""
    band: Band | None = None
    bells: int = 0
    queue: list[Remark] = field(default_factory=list)
    waiting: list[Draft] = field(default_factory=list)
    known: set[str] = field(default_factory=set)
    over: bool = False
    muted: bool = False
    alarmed: bool = False
    anew: bool = False
    opened_from: Mode | None = None
    page_rows: int = 18
    said: dict[int, LogLine] = field(default_factory=dict)
    named: tuple[str, ...] = ()
    latch: Latch = field(default_factory=Latch)
    opens: Callable[[Room], None] | None = None
    by: int | None = None

    @property
    def file(self) -> Journal:
        """The open file."""
        assert self.journal is not None
        return self.journal

    @property
    def clinician(self) -> int:
        """Who is taken to speak: the clinician at the keys, or else the one of the visit."""
        keyed_by = self.by if self.by is not None else self.case.keyed_by
        people = {one.number for one in self.protocol.person if one.role == "clinician"}
        return keyed_by if keyed_by is not None and keyed_by in people else self.case.header.clinician

    @property
    def protocol(self) -> Protocol:
        """The protocol of this session."""
        return self.case.protocol

    def say(self, text: str, tone: Tone = Tone.PLAIN) -> None:
        """Put a sentence into the line that answers what was entered."""
        self.saying, self.tone = text, tone

    def read_aloud(self, sentence: str) -> None:
        """Put a sentence up to be read aloud; an empty one takes the last off, which can still be repeated.

        What this line was refused for is not read aloud as right, not even by repeating it.
        """
        self.readback = "" if self.alarmed else sentence
        self.last_readback = self.readback or self.last_readback

    def log(self, kind: str, **members: object) -> AnyEntry:
        """Write an entry to the disk, fold it, judge what it changed. Raises RecordError where nothing was saved."""
        if self.opens is not None and self.journal is None:
            self.opens(self)
        now, by = self.clock.now(), self.case.keyed_by
        entry = parse({**common(len(self.case.entries), kind, now, by), **members})  # only what can be read is written
        self.file.append_typed(kind, members, by, now)
        apply(self.case, entry)
        if kind not in NO_FACT:
            self._notice()
        return entry

    def log_draft(self, draft: Draft, *, outside: bool = False) -> AnyEntry:
        """Log a draft as an answer."""
        members: dict[str, object] = {
            "step": draft.step,
            "canal": draft.canal,
            "row": draft.row,
            "values": dump(draft.values),
        }
        if draft.canal not in (self.cursor.canal, TOOTH) and draft.step == self.cursor.step:
            members["at"] = self.cursor.canal
        if draft.ago_min:
            members["ago_min"] = draft.ago_min
        if outside:
            members["outside"] = True
        if draft.scan is not None:
            members["scan"] = draft.scan
        return self.log("answer", **members)

    def ring(self, remark: Remark) -> None:
        """Ring for a remark, once for the same evidence, and not at all while an incident is being told."""
        if not remark.sound or remark.key in self.case.rung or self.muted:
            return
        self.log("sound", remark=remark.key, times=remark.sound, silent=not self.sound)
        self.bells = max(self.bells, remark.sound)
        word = "STOP" if remark.weight is Weight.STOP else "ASK"
        tone = Tone.STOP if remark.weight is Weight.STOP else Tone.WARN
        self.band = Band("!!" if remark.sound > 1 else "!", word, first_sentence(remark.text), tone)

    def _notice(self) -> None:
        """Find the remarks that are new, ring for them and line up those that want an answer."""
        judged = judge(self.case)
        for one in judged:
            remark = one.remark
            if remark.key in self.known:
                continue
            self.known.add(remark.key)
            if one.standing is Standing.OPEN:
                self.ring(remark)
                if wants_answer(remark):
                    self.queue.append(remark)
                if remark.rule in FACT_ALARMS:
                    self.alarmed, self.readback, self.last_readback = True, "", ""
        standing = {one.remark.key for one in judged if one.standing is Standing.OPEN}
        self.queue = [remark for remark in self.queue if remark.key in standing]


def first_sentence(text: str) -> str:
    """Give the first sentence: the band is read at a glance, the whole remark stands with its ways out."""
    head, stop, _ = text.partition(". ")
    return head + "." if stop else text


def wants_answer(remark: Remark) -> bool:
    """Tell whether a remark is taken up at once: an ask, or an alarm about a fact; other stops hold their act back."""
    return remark.weight is Weight.ASK or (remark.weight is Weight.STOP and remark.rule in FACT_ALARMS)


def dump(values: Mapping[str, Value]) -> dict[str, object]:
    """Make values JSON-ready."""
    return {name: written(value) for name, value in values.items()}
