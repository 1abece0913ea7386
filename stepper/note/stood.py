"""Which solution stood in which canal, from when until when."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stepper.case.order import MINUTE_US
from stepper.case.state import Case
from stepper.facts.entries import Answer
from stepper.facts.state import Place, Rinse, joined
from stepper.facts.values import Choice
from stepper.note.spent_shape import Standing, Stretch


def stood(case: Case, at_us: Sequence[int]) -> Iterator[Standing]:
    """Give what stood in each canal, one after another; what runs into canals that join stands in all of them."""
    for number in case.told.canals:
        events = sorted((*_rinses(case, number), *_ends(case, number)), key=lambda one: one.place)
        item, entries = "", [0]
        for event in events:
            if item and event.item != item:
                yield Standing(item, number, _until(case, at_us, entries, event.seq), ended=True)
            if event.item != item:
                item, entries = event.item, []
            entries.append(event.seq)
        if item:
            since_us = _moment_us(case, at_us, entries[0])
            yield Standing(item, number, Stretch(since_us, max(at_us[-1], since_us), tuple(entries)), ended=False)


@dataclass(frozen=True, slots=True)
class _Event:
    """A rinse, or with no item the end of what stood in a canal."""

    place: Place
    seq: int
    item: str = ""


def _rinses(case: Case, number: int) -> Iterator[_Event]:
    rinses: list[Rinse] = [one for canal in joined(case.told, number) for one in case.told.canals[canal].rinses]
    yield from (_Event(one.place, one.seq, one.item) for one in rinses)


def _ends(case: Case, number: int) -> Iterator[_Event]:
    """Give what leaves no solution in a canal: it came out dry, it was dressed or filled, or its end was told."""
    for role in ("dryness", "dressing", "outcome", "fill"):
        for row in case.told.rows_with(role, number):
            fact = row.get(role)
            dry = fact is not None and isinstance(fact.value, Choice) and fact.value.options == ("dry",)
            if fact is not None and (dry or role != "dryness"):
                yield _Event(fact.place, fact.seq)


def _until(case: Case, at_us: Sequence[int], entries: Sequence[int], end: int) -> Stretch:
    since_us = _moment_us(case, at_us, entries[0])
    return Stretch(since_us, max(_moment_us(case, at_us, end), since_us), tuple(dict.fromkeys((*entries, end))))


def _moment_us(case: Case, at_us: Sequence[int], seq: int) -> int:
    """Tell when what an entry says happened: earlier than it was keyed, if it says so."""
    root = case.root(seq)
    entry = case.entries[root]
    ago_us = (entry.ago_min or 0) * MINUTE_US if isinstance(entry, Answer) else 0
    return max(at_us[min(root, len(at_us) - 1)] - ago_us, 0)
