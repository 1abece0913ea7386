"""What came of each sound: whether an act changed after it, and how soon. Read from the entries alone, afterwards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from stepper.case.clocks import Lapse, keyed, lapse
from stepper.case.fold import apply, begin
from stepper.case.judge import judge
from stepper.case.state import Case
from stepper.facts.entries import NO_FACT, Answer, AnyEntry, Departure, Held, Overruled, Owe
from stepper.facts.remarks import canal_of
from stepper.facts.ringing import Sound
from stepper.protocol.models import Protocol

GATE = "gate"
ACTS = {
    GATE: ("fill",),
    "no_dam": ("irrigant",),
    "allergy": ("item", "irrigant"),
    "expired": ("item", "item_expiry", "irrigant"),
}
"""The alarms that can ring before their act is logged, and the roles of the act."""


class Came(StrEnum):
    """What came of a sound."""

    HELD = "the act was held back"
    CHANGED = "the record was changed, and what it rang for stands no more"
    PASSED = "passed with a reason"
    OWED = "the reason is owed"
    OUTSIDE = "done all the same, outside the chain"
    STANDING = "still stands"


FINAL = frozenset({Came.HELD, Came.CHANGED, Came.PASSED, Came.OUTSIDE})
COUNTED = {
    "followed by a changed act": frozenset({Came.HELD, Came.CHANGED}),
    "passed with a reason": frozenset({Came.PASSED}),
    "owed": frozenset({Came.OWED}),
    "done outside the chain": frozenset({Came.OUTSIDE}),
    "still standing": frozenset({Came.STANDING}),
}
"""What a summary counts together."""


@dataclass(frozen=True, slots=True)
class Rang:
    """A sound, the words that it rang for (empty where they stand nowhere), what came of it, and by which entry."""

    sound: Sound
    text: str
    came: Came = Came.STANDING
    by: AnyEntry | None = None

    @property
    def after(self) -> Lapse | None:
        """The time from the sound to the entry that settled it."""
        return lapse(keyed(self.sound), keyed(self.by)) if self.by is not None else None


def rang(case: Case) -> tuple[Rang, ...]:
    """Tell what came of every sound of a case, in their order."""
    then = begin(case.protocol, case.header)
    found: list[Rang] = []
    for entry in case.entries[1:]:
        apply(then, entry)
        if isinstance(entry, Sound):
            found.append(Rang(entry, _standing(then).get(entry.remark, "")))
        elif entry.kind not in NO_FACT and any(one.came not in FINAL for one in found):
            now = _standing(then)
            found = [one if one.came in FINAL else _after(then, one, entry, now) for one in found]
    return tuple(found)


def summary(found: Sequence[Rang]) -> str:
    """Count what came of the sounds, in one sentence."""
    if not found:
        return "It rang for nothing."
    counts = {words: sum(one.came in came for one in found) for words, came in COUNTED.items()}
    silent = sum(one.sound.silent for one in found)
    told = ", ".join(f"{count} {words}" for words, count in counts.items() if count)
    rings = sum(one.sound.times for one in found)
    unheard = f" Sound was off for {silent} of them." if silent else ""
    return f"{_many(len(found), 'sound')}, {_many(rings, 'ring')}: {told}.{unheard}"


def _many(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _standing(case: Case) -> dict[str, str]:
    return {one.remark.key: one.remark.text for one in judge(case)}


def _after(case: Case, one: Rang, entry: AnyEntry, now: dict[str, str]) -> Rang:
    """Tell how a sound stands after an entry."""
    for came, key, text in _said(entry):
        if _same(one.sound, key):
            return replace(one, came=came, by=entry, text=one.text or text)
    key = one.sound.remark
    if not _before_act(one.sound):
        return one if key in now else replace(one, came=Came.CHANGED, by=entry)
    if not _is_act(case.protocol, one.sound, entry):
        return one
    if isinstance(entry, Answer) and entry.outside:
        return replace(one, came=Came.OUTSIDE, by=entry)
    asked = any(_named(other) == _named(key) and entry.seq in _evidence(other) for other in now)
    return one if asked else replace(one, came=Came.CHANGED, by=entry)  # a reason for it, if asked, comes behind it


def _said(entry: AnyEntry) -> Iterator[tuple[Came, str, str]]:
    """Give the remarks that an entry names, with what it says of each and the words in which it was read out."""
    match entry:
        case Held():
            for place, key in enumerate(entry.remarks):
                yield Came.HELD, key, entry.texts[place] if place < len(entry.texts) else ""
        case Departure():
            yield Came.PASSED, entry.remark, entry.text
        case Owe():
            yield Came.OWED, entry.remark, entry.text
        case Overruled():
            yield Came.OUTSIDE, entry.remark, entry.text
        case _:
            pass


def _same(sound: Sound, key: str) -> bool:
    """Tell whether a remark named later is the one that rang; what rang before the act has other evidence by then."""
    if key == sound.remark:
        return True
    return _before_act(sound) and _named(key) == _named(sound.remark)


def _before_act(sound: Sound) -> bool:
    """Tell whether it rang before the act was logged: the gate's, or one that rests on the entry to come."""
    return _named(sound.remark)[0] == GATE or sound.seq in _evidence(sound.remark)


def _is_act(protocol: Protocol, sound: Sound, entry: AnyEntry) -> bool:
    """Tell whether an entry is the act that a sound came before."""
    rule, canal = _named(sound.remark)
    if not isinstance(entry, Answer) or entry.canal != canal or entry.step not in protocol.by_step:
        return False
    step = protocol.by_step[entry.step]
    roles = {one.role for one in step.question if one.id in entry.values}
    return bool(roles & set(ACTS.get(rule, ()))) or any(one.id == rule for one in step.rule)


def _named(key: str) -> tuple[str, int]:
    return key.split(":")[0], canal_of(key)


def _evidence(key: str) -> set[int]:
    return {int(seq) for seq in key.split(":")[-1].split("+") if seq.isascii() and seq.isdecimal()}
