"""The raw entries in their order, with what is true of each of them whatever comes after."""

from __future__ import annotations

from collections.abc import Container
from decimal import Decimal

from stepper.facts.entries import (
    Answer,
    AnyEntry,
    CanalFound,
    Carried,
    Confirm,
    Correction,
    Departure,
    Held,
    Joined,
    Open,
    Overruled,
)
from stepper.protocol.models import Protocol

Key = tuple[int, int, int]
"""Where an entry stands: the boot it was keyed under, the moment it happened, its number."""

EARLY: Key = (-1, 0, 0)


class Log:
    """The entries so far. It only ever grows."""

    def __init__(self, protocol: Protocol, header: Open) -> None:
        self.protocol = protocol
        self.steps = {step.id: step for step in protocol.step}
        self.order = {step.id: place for place, step in enumerate(protocol.step)}
        self.items = {item.id: item for item in protocol.item}
        self.roles = {(step.id, one.id): one.role for step in protocol.step for one in step.question}
        self.fill_step = next(step.id for step in protocol.step if any(one.role == "fill" for one in step.question))
        self.header = header
        self.entries: list[AnyEntry] = []
        self.boots: list[str] = []
        self.keys: dict[int, Key] = {}
        self.homes: dict[int, Answer | None] = {}
        self.facts: list[Answer | Correction] = []
        self.wrong: dict[int, list[Correction]] = {}
        self.late: set[int] = set()
        self.confirmed: set[int] = set()
        self.departed: set[str] = set()
        self.dropped: set[tuple[str, int, int]] = set()
        self.overruled: set[tuple[str, int, int]] = set()
        self.found: list[CanalFound] = []
        self.joined: list[Joined] = []
        self.carried: dict[int, Carried] = {}
        self.fill_seqs: set[int] = set()
        self.add(header)

    def add(self, entry: AnyEntry) -> None:
        """Take in the next entry."""
        self.entries.append(entry)
        if entry.boot not in self.boots:
            self.boots.append(entry.boot)
        self.keys[entry.seq] = self.key(entry)
        match entry:
            case Answer():
                self.homes[entry.seq] = entry
                self.facts.append(entry)
                if self.fills(entry):
                    self.fill_seqs.add(entry.seq)
            case Correction():
                self._correct(entry)
            case Confirm():
                self.confirmed |= {seq for seq in entry.of if seq < entry.seq}
            case Departure():
                self.departed.add(entry.remark)
            case Held() if entry.drops:
                self.dropped.add((entry.step, entry.canal, entry.row))
            case Overruled():
                self.overruled.add((entry.step, entry.canal, entry.row))
            case CanalFound():
                self.found.append(entry)
            case Joined():
                self.joined.append(entry)
            case Carried():
                self.carried.setdefault(entry.canal, entry)
            case _:
                pass

    def key(self, entry: AnyEntry) -> Key:
        """Tell where an entry of a boot that is known stands; what is carried over stands with the header."""
        if isinstance(entry, Carried):
            return (0, self.header.mono_us, entry.seq)
        ago = entry.ago_min or 0 if isinstance(entry, Answer) else 0
        return (self.boots.index(entry.boot), entry.mono_us - ago * 60_000_000, entry.seq)

    def home(self, entry: AnyEntry) -> Answer | None:
        """Give the answer that an entry belongs to, through corrections of corrections."""
        if isinstance(entry, Answer):
            return entry
        return self.homes.get(entry.of) if isinstance(entry, Correction) and entry.of < entry.seq else None

    def root(self, seq: int) -> int:
        """Follow keyed-wrong corrections down to the entry whose facts they put right."""
        entry = self.entries[seq]
        while isinstance(entry, Correction) and entry.how == "keyed_wrong":
            seq = entry.of
            entry = self.entries[seq]
        return seq

    def unsure(self) -> bool:
        """Whether anything still waits for the clinician's yes."""
        wrong = (one.seq for found in self.wrong.values() for one in found)
        return any(seq not in self.confirmed for seq in (*self.late, *wrong))

    def fills(self, entry: AnyEntry) -> bool:
        """Whether an entry says that a canal was filled."""
        if not isinstance(entry, Answer):
            return False
        return any(
            self.roles.get((entry.step, name)) == "fill" and value.kind != "absent"
            for name, value in entry.values.items()
        )

    def _correct(self, entry: Correction) -> None:
        self.homes[entry.seq] = self.home(entry)
        self.facts.append(entry)
        if entry.how == "keyed_wrong":
            self.wrong.setdefault(self.root(entry.of), []).append(entry)


def latest_joins(log: Log, names: Container[int]) -> dict[int, tuple[int, Decimal | None]]:
    """The last word on each canal that joins, as far as both canals are known: into which, and how far up."""
    found: dict[int, tuple[int, Decimal | None]] = {}
    for canal, entry in log.carried.items():
        if entry.joins is not None and entry.joins.into in log.carried:
            found[canal] = (entry.joins.into, entry.joins.at_mm)
    for joined in log.joined:
        if joined.canal in names and joined.into in names:
            found[joined.canal] = (joined.into, joined.at_mm)
    return found
