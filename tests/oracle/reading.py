"""One reading of a log: everything told, or only what is sure; and whether an entry was keyed late."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from functools import cached_property
from operator import attrgetter
from typing import Any

from stepper.facts.entries import Answer, AnyEntry, CanalFound, Correction
from stepper.facts.values import Digits
from tests.oracle.log import EARLY, Key, Log, latest_joins
from tests.oracle.past import Past, Said, Use, is_real


class Reading:
    """What a log says. `sure` leaves out what the clinician has not confirmed, `before` what happened from there on."""

    def __init__(self, log: Log, *, sure: bool, before: Key | None = None) -> None:
        self.log, self.sure, self.before = log, sure, before
        self.said = self._said()
        self.pasts: dict[int, Past] = {}
        self.names = self._names()

    def _said(self) -> list[Said]:
        found: list[Said] = []
        for entry in self.log.facts:
            home = self.log.homes[entry.seq]
            if home is None or not self._counts(entry) or home.step not in self.log.steps:
                continue
            if (home.step, home.canal, home.row) in self.log.dropped and entry.seq not in self.log.fill_seqs:
                continue  # what was given up is no evidence, but a canal that was filled stays so
            values = {name: (value, entry.seq) for name, value in entry.values.items()}
            for other in self.log.wrong.get(entry.seq, ()):
                if not self.sure or other.seq in self.log.confirmed:
                    values.update({name: (value, other.seq) for name, value in other.values.items()})
            key, place = self.log.keys[entry.seq], (home.step, home.canal, home.row)
            anew = isinstance(entry, Correction)
            for name, (value, seq) in values.items():
                role, outside = self.log.roles.get((home.step, name)), home.outside or place in self.log.overruled
                found.append(Said(key, *place, name, role, value, seq, outside, anew, outside, is_real(value)))
        found.sort(key=attrgetter("key"))
        rows = {(one.step, one.canal, one.row) for one in found if one.outside}
        for one in found if rows else ():
            one.outside = (one.step, one.canal, one.row) in rows
        return found

    def _counts(self, entry: Answer | Correction) -> bool:
        if isinstance(entry, Correction) and entry.how != "measured_anew":
            return False
        if self.before is not None and self.log.keys[entry.seq] >= self.before:
            return False
        return not (self.sure and entry.seq in self.log.late and entry.seq not in self.log.confirmed)

    def _names(self) -> dict[int, str]:
        events: list[tuple[Key, Any]] = [(one.key, one) for one in self.said if one.role == "canals" and one.real]
        events += [(self.log.keys[one.seq], one) for one in self.log.found]
        names = {canal: entry.name for canal, entry in self.log.carried.items()}
        for _, event in sorted(events, key=lambda pair: pair[0]):
            if isinstance(event, CanalFound):
                names.setdefault(event.canal, event.name)
                continue
            asked = self.log.steps[event.step].asked(event.question)
            assert asked is not None
            labels = {option.id: option.label for option in asked.options_of(self.log.protocol)}
            for option in event.value.options:
                if labels[option] not in names.values():
                    names[max(names, default=0) + 1] = labels[option]
        return names

    def past(self, canal: int) -> Past:
        """What was said and done in a canal, or of the tooth."""
        if canal not in self.pasts:
            carried = self.log.carried.get(canal)
            key = self.log.keys[carried.seq] if carried is not None else EARLY
            self.pasts[canal] = Past([one for one in self.said if one.canal == canal], self.log.items, carried, key)
        return self.pasts[canal]

    def fills(self, canal: int) -> list[Said]:
        """Every word of today that a canal is filled."""
        return [one for one in self.past(canal).said if one.role == "fill" and one.real]

    def filled(self, canal: int) -> bool:
        """Whether a canal was filled, today or at an earlier visit."""
        carried = self.log.carried.get(canal)
        return (carried is not None and carried.fill is not None) or bool(self.fills(canal))

    @cached_property
    def joins(self) -> dict[int, tuple[int, Decimal | None]]:
        """Which canals join, into which, and how far up."""
        return latest_joins(self.log, self.names)

    def together(self, canal: int) -> set[int]:
        """The canals that join with a canal, itself included."""
        found = {canal}
        for _ in self.joins:
            for one, (into, _) in self.joins.items():
                if one in found or into in found:
                    found |= {one, into}
        return found

    def acts(self, canal: int) -> Iterator[Use]:
        """Every use that bears on a canal: a rinse runs into all that join, a file if it may have passed the join."""
        for number in self.together(canal):
            _, meets = self.joins.get(number, (None, None))
            for use in self.past(number).uses:
                short_of_it = use.absolute is not None and meets is not None and use.absolute < meets
                if number == canal or use.kind == "rinse" or not short_of_it:
                    yield use

    def last_file(self, canal: int, purpose: str | None = None) -> Key:
        """Where a file last was in a canal, or in the part that it shares with others."""
        files = (use for use in (*self.past(canal).brought, *self.acts(canal)) if use.kind == "file")
        return max((use.key for use in files if purpose in (None, use.purpose)), default=EARLY)

    def last_rinse(self, canal: int) -> Key:
        """Where a canal, or one that joins it, was last rinsed."""
        return max((use.key for use in self.acts(canal) if use.kind == "rinse"), default=EARLY)

    @cached_property
    def header(self) -> tuple[dict[str, str], Key, bool]:
        """Patient and tooth as last said, where they last changed, and whether a word on them waits for the yes."""
        first = self.log.header
        values, key, last = {"patient": first.patient, "tooth": first.tooth}, EARLY, dict[str, int]()
        for one in self.log.wrong.get(0, ()):
            if self.sure and one.of != 0 and one.seq not in self.log.confirmed:
                continue
            for name, value in one.values.items():
                if name in values and isinstance(value, Digits):
                    values[name], last[name] = value.value, one.seq
            key = self.log.keys[one.seq]
        return values, key, any(seq not in self.log.confirmed for seq in last.values())


def is_late(before: Reading, entry: AnyEntry) -> bool:
    """Whether an entry is keyed after something that stands behind it, or after a fill it bears on.

    `before` is all that was told until then.
    """
    log = before.log
    if isinstance(entry, Correction) and entry.how == "measured_anew":
        home = log.home(entry)
        return home is not None and _after_fill(before, home)
    if not isinstance(entry, Answer):
        return False
    key = log.key(entry) if entry.boot in log.boots else (len(log.boots), 0, entry.seq)
    for other in log.facts:
        if log.keys[other.seq] > key:
            home = log.homes[other.seq]
            canal = home.canal if home is not None else 0
            if 0 in (canal, entry.canal) or canal == entry.canal:
                return True
    return _after_fill(before, entry)


def _after_fill(before: Reading, entry: Answer) -> bool:
    order, fill = before.log.order, before.log.fill_step
    if entry.step not in order or order[entry.step] >= order[fill] or entry.canal not in before.names:
        return False
    return bool(before.fills(entry.canal))
