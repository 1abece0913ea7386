"""A session gone through entry by entry: the case as it stood at each, by the same fold as at the chair."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from functools import cache
from typing import Any, TypeVar

from msgspec import Struct

from stepper.case.fold import apply, begin
from stepper.case.judge import judge
from stepper.case.state import Case
from stepper.facts.entries import NO_FACT, TOOTH, AnyEntry, Departure, Go, Held, Owe
from stepper.facts.remarks import Remark, canal_of
from stepper.facts.ringing import Sound
from stepper.note.words import place
from stepper.session.reopening import reopened, sentence

STRIDE = 100
"""Entries between two states that are kept, so that going back need not fold from the start.

Measured with 2,000 entries of one step: folding all of them took 0.5 to 1.5 s, copying a state and folding a hundred
entries on top of it less than 0.1 s.
"""

T = TypeVar("T")


class Past:
    """The entries of a session, and the case at one of them. The whole case that it is made from is never changed.

    `whole` is the case at the last entry. `came_up` are the remarks that stand at the entry and did not stand at the
    one before; `reopened` says in one sentence what the entry reopened, if anything.
    """

    def __init__(self, whole: Case) -> None:
        self.entries: tuple[AnyEntry, ...] = tuple(whole.entries)
        self._places = [_about(whole, entry) for entry in self.entries]
        self.whole = whole
        self._kept = {0: begin(whole.protocol, whole.header)}
        self.case = copied(self._kept[0])
        self._silent_from = len(self.entries)
        self.came_up: tuple[Remark, ...] = ()
        self.reopened = ""
        self.go(0)

    @property
    def at(self) -> int:
        """The number of the entry."""
        return len(self.case.entries) - 1

    @property
    def last(self) -> int:
        """The number of the last entry."""
        return len(self.entries) - 1

    @property
    def entry(self) -> AnyEntry:
        """The entry."""
        return self.entries[self.at]

    def go(self, to: int) -> None:
        """Go to an entry; there is none before the first or after the last."""
        to = min(max(to, 0), self.last)
        before = max(to - 1, 0)
        if to <= self.at or self._nearest(before) > self.at:
            self.case = self._case_at(before)
        self._fold(self.case, before)
        known, stood = (_keys(self.case), reopened(self.case)) if to else (set[str](), {})
        self._fold(self.case, to)
        self.came_up = tuple(one.remark for one in judge(self.case) if one.remark.key not in known)
        self.reopened = sentence(self.case, stood, reopened(self.case), to)

    def next_remark(self) -> int | None:
        """Find the next entry at which a remark comes up, or at which one held an act back."""
        if self.at >= self._silent_from:
            return None
        case = self._case_at(self.at)
        known = _keys(case)
        for entry in self.entries[self.at + 1 :]:
            self._fold(case, entry.seq)
            if entry.kind in NO_FACT:
                continue
            now = _keys(case)
            if now - known or isinstance(entry, Held):
                return entry.seq
            known = now
        self._silent_from = self.at
        return None

    def next_of_canal(self, canal: int) -> int | None:
        """Find the next entry about a canal."""
        return _first(seq for seq in range(self.at + 1, len(self.entries)) if self._places[seq][1] == canal)

    def first_of_step(self, step: str) -> int | None:
        """Find the first entry of a step."""
        return _first(seq for seq, (name, _) in enumerate(self._places) if name == step)

    def place(self) -> tuple[str, int]:
        """Tell the step and canal that the entry is about, or that the last one before it that is about any was."""
        steps = self.whole.protocol.by_step
        found = (place(self.whole, entry) for entry in reversed(self.entries[: self.at + 1]))
        return next((one for one in found if one[0] in steps), (self.whole.protocol.step[0].id, TOOTH))

    def _nearest(self, at: int) -> int:
        return max(seq for seq in self._kept if seq <= at)

    def _case_at(self, at: int) -> Case:
        """Give the case as it stood at an entry, for the caller to change."""
        case = copied(self._kept[self._nearest(at)])
        self._fold(case, at)
        return case

    def _fold(self, case: Case, to: int) -> None:
        for entry in self.entries[len(case.entries) : to + 1]:
            apply(case, entry)
            if entry.seq % STRIDE == 0 and entry.seq not in self._kept:
                self._kept[entry.seq] = copied(case)


def copied(thing: T, made: dict[int, Any] | None = None) -> T:
    """Copy what a fold changes in place: dicts, lists, sets and records that are not frozen. All else is shared.

    What stands in two places is one thing in the copy too: a row is also kept by its roles, and both readings of the
    record may be one. `made` are the copies so far, by what they are of.
    """
    made = {} if made is None else made
    if id(thing) in made:
        known: T = made[id(thing)]
        return known
    copy: Any = thing
    kind: Any = type(thing)
    if isinstance(thing, dict):
        made[id(thing)] = copy = kind()  # of its own kind: the acts in a canal know their order
        for name, value in thing.items():
            copy[name] = copied(value, made)
    elif isinstance(thing, list):
        copy = [copied(value, made) for value in thing]
    elif isinstance(thing, set):
        copy = set(thing)
    elif names := _changing(kind):
        copy = kind(**{name: copied(getattr(thing, name), made) for name in names})
    made[id(thing)] = copy
    done: T = copy
    return done


@cache
def _changing(kind: Any) -> tuple[str, ...]:  # noqa: ANN401 - any class can be in a case
    """Name the members of a record that is not frozen; none of what is."""
    if issubclass(kind, Struct):
        return () if kind.__struct_config__.frozen else kind.__struct_fields__
    params: Any = getattr(kind, "__dataclass_params__", None)
    return tuple(one.name for one in fields(kind) if one.init) if params is not None and not params.frozen else ()


def _keys(case: Case) -> set[str]:
    return {one.remark.key for one in judge(case)}


def _about(case: Case, entry: AnyEntry) -> tuple[str, int]:
    """Tell the step and canal that an entry is about; where one merely went is about neither."""
    if isinstance(entry, Departure | Owe):
        return ("", canal_of(entry.remark))
    return ("", TOOTH) if isinstance(entry, Go | Sound) else place(case, entry)


def _first(found: Iterable[int]) -> int | None:
    return next(iter(found), None)
