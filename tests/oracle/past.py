"""What was said and done in one canal, in its order: lengths, reference points, files, irrigants."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from itertools import groupby
from typing import Any

from stepper.facts.entries import Carried
from stepper.facts.values import Absent
from tests.oracle.log import Key


@dataclass(slots=True)
class Said:
    """One fact of one row, as one event left it."""

    key: Key
    step: str
    canal: int
    row: int
    question: str
    role: str | None
    value: Any
    seq: int
    outside: bool
    anew: bool
    keyed_outside: bool
    real: bool


@dataclass(slots=True)
class Use:
    """A file or an irrigant in a canal. `absolute` is its tip from the reference point, None where nobody knows it."""

    kind: str
    key: Key
    outside: bool
    value: Any = None
    purpose: str = ""
    family: str = ""
    absolute: Decimal | None = None


Rows = dict[tuple[str, int], dict[str, Said]]


def is_real(value: Any) -> bool:
    """Whether a value is a fact."""
    return not isinstance(value, Absent)


class Past:
    """One canal's past, or the tooth's. `carried` is of an earlier visit and stands at `key`."""

    def __init__(self, said: Sequence[Said], items: Mapping[str, Any], carried: Carried | None, key: Key) -> None:
        self.said, self.items = said, items
        self.carried, self.key = carried, key

    @cached_property
    def rows(self) -> Rows:
        """Every row as it stands."""
        table: Rows = {}
        for one in self.said:
            table.setdefault((one.step, one.row), {})[one.question] = one
        return table

    @cached_property
    def last(self) -> dict[str, Said]:
        """The last word on each role."""
        return {one.role: one for one in self.said if one.role is not None}

    def latest(self, role: str) -> Said | None:
        """The last word on a role, if it is a fact."""
        found = self.last.get(role)
        return found if found is not None and found.real else None

    @cached_property
    def broken(self) -> frozenset[Key]:
        """Where the reference point broke or was left for another."""
        found, points = set(), dict[tuple[str, int, str], Said]()
        for one in self.said:
            if one.role != "reference":
                continue
            before = [fact for fact in points.values() if fact.real and fact.key < one.key]
            last = max(before, key=lambda fact: fact.key).value if before else self._carried_point
            if one.anew or (last is not None and one.real and last != one.value):
                found.add(one.key)
            points[(one.step, one.row, one.question)] = one
        return frozenset(found)

    @property
    def _carried_point(self) -> Any:
        return self.carried.reference.value if self.carried is not None and self.carried.reference is not None else None

    @cached_property
    def carried_master(self) -> Any:
        """The master apical file of an earlier visit, unless today's first length or reference point is another one."""
        if self.carried is None or self.carried.master is None or self.broken:
            return None
        first = next((one for one in self.said if _agrees(one)), None)
        same = first is None or (self.carried.length is not None and first.value.value == self.carried.length.mm)
        return self.carried.master if same or self.carried.length is None else None

    @cached_property
    def waits(self) -> Decimal | None:
        """The length of an earlier visit, as long as it waits for today's."""
        if self.carried is None or self.carried.length is None or self.broken or any(map(_agrees, self.said)):
            return None
        return self.carried.length.mm

    @cached_property
    def brought(self) -> list[Use]:
        """The files of earlier visits; where the reference point was left nobody knows how far they went."""
        files = self.carried.files if self.carried is not None else ()
        return [
            Use("file", self.key, one.against, one, one.purpose, absolute=None if self.broken else one.absolute_mm)
            for one in files
        ]

    @cached_property
    def _lengths(self) -> tuple[list[Key], list[tuple[Decimal, Key] | None]]:
        """The length in force from each event on; one measured from a point that was left counts no longer."""
        in_force: tuple[Decimal, Key, int] | None = None
        waits = self.carried.length.mm if self.carried is not None and self.carried.length is not None else None
        rows: dict[tuple[str, int], Said] = {}
        keys, lengths = [], []
        for key, group in groupby(self.said, key=lambda one: one.key):
            facts = list(group)
            agreed = next((one for one in facts if one.role == "working_length"), None)
            if agreed is not None:
                rows[(agreed.step, agreed.row)] = agreed
                if not agreed.keyed_outside:  # a length keyed outside the chain leaves the one before in force
                    in_force = (agreed.value.value, key, agreed.seq) if agreed.real else None
                if _agrees(agreed) and in_force is not None:  # the first of today settles what was carried
                    in_force = (in_force[0], self.key if in_force[0] == waits else key, in_force[2])
                    waits = None
            if key in self.broken:
                left = next(one for one in facts if one.role == "reference")
                with_it = rows.get((left.step, left.row))
                new = with_it is not None and (with_it.key == key or not left.anew)
                if not (new and in_force is not None and with_it is not None and with_it.seq == in_force[2]):
                    in_force = None
                elif in_force[1] == self.key:
                    in_force = (in_force[0], with_it.key, in_force[2])
                waits = None
            keys.append(key)
            lengths.append(in_force[:2] if in_force is not None else None)
        return keys, lengths

    def length(self, upto: Key | None = None) -> tuple[Decimal, Key] | None:
        """The length in force at a key, or at last, and where it was measured."""
        keys, lengths = self._lengths
        place = len(keys) if upto is None else bisect_right(keys, upto)
        return lengths[place - 1] if place else None

    @cached_property
    def uses(self) -> list[Use]:
        """What was in the canal today, file or irrigant, by the entry that said it; a word more is a use more."""
        found: dict[tuple[str, int], Use] = {}
        state: Rows = {}
        outside: set[tuple[str, int]] = set()
        for (key, step, row), group in groupby(self.said, key=lambda one: (one.key, one.step, one.row)):
            facts = list(group)
            now = state.setdefault((step, row), {})
            purposed = any(one.role == "purpose" and one.real for one in now.values())
            now.update({one.question: one for one in facts})
            if any(one.keyed_outside for one in facts):
                outside.add((step, row))
            self._file(found, step, facts, now, purposed=purposed, outside=(step, row) in outside)
            rinse = next((one for one in now.values() if one.role == "irrigant" and one.real), None)
            if rinse is not None:
                item = self.items[rinse.value.options[0]]
                family = getattr(item, "family", item.id)
                found[(step, rinse.seq)] = Use("rinse", rinse.key, (step, row) in outside, family=family)
            if key in self.broken:
                for use in found.values():
                    use.absolute = None
        return list(found.values())

    def _file(
        self,
        found: dict[tuple[str, int], Use],
        step: str,
        facts: list[Said],
        now: dict[str, Said],
        *,
        purposed: bool,
        outside: bool,
    ) -> None:
        file = next((one for one in now.values() if one.role == "file" and one.real), None)
        if file is None:
            return
        roles = {one.role for one in facts}
        purpose = next((one for one in now.values() if one.role == "purpose"), None)
        once_more = "purpose" in roles and "file" not in roles and (facts[0].anew or purposed)
        said = file
        if purpose is not None and purpose.key > file.key and (once_more or (step, purpose.seq) in found):
            said = purpose
        first = found.get((step, said.seq)) or found.get((step, file.seq))
        length = self.length(facts[0].key)
        absolute = first.absolute if first else (length[0] - file.value.short_mm if length else None)
        chosen = purpose.value.options[0] if purpose is not None and purpose.real else "cut"
        found[(step, said.seq)] = Use("file", said.key, outside, file.value, chosen, absolute=absolute)

    @cached_property
    def files(self) -> list[tuple[Use, Decimal, bool]]:
        """The files, with their distance short of the length now and whether that is known."""
        now = self.length()
        found = []
        for use in (*self.brought, *self.uses):
            if use.kind == "file":
                known = now is not None and use.absolute is not None
                short = now[0] - use.absolute if now and use.absolute is not None else use.value.short_mm
                found.append((use, short, known))
        return found


def _agrees(one: Said) -> bool:
    """Whether a word agrees a working length that counts."""
    return one.role == "working_length" and one.real and not one.keyed_outside
