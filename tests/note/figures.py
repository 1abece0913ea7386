"""Every figure in a note held against where it can come from: the entries that its sentence names, and the protocol.

A figure is known if it stands in what one of those entries says, in its time of day or its number, in the words of a
question that it answers, or in a name (of a canal, a person, the protocol). What is left is a sum, and every sum has
its own function here or its own tests: nothing else may be left.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterable, Iterator
from decimal import Decimal

from stepper.case.state import Case
from stepper.facts.entries import Answer, AnyEntry, IncidentDetail
from stepper.facts.record import written
from stepper.facts.values import Number
from stepper.note.shape import Note, Sentence
from stepper.note.words import local, place
from stepper.protocol import sections as titles

FIGURE = re.compile(r"\d+(?:\.\d+)?")
RECKONED = re.compile(
    r"in all|All agents together|share of the maximum|of the protocol|narrowest width|the protocol (wants|allows|names)"
)
"""Sentences that tell a sum or a limit: doses, bounds, remarks. Their figures have tests of their own."""

OF_REMARKS = (
    titles.FIRST,
    titles.DEPARTURES,
    titles.OUTSIDE,
    titles.HELD,
    titles.UNANSWERED,
    titles.OWED,
    titles.NOTICED,
)
"""Sections that repeat what a rule said: its words, with the protocol's limits, are tested where the rules are."""


_HEADER = ("sid", "patient", "tooth", "clinician", "previous")
"""What the header says by itself; the protocol that it carries would make every figure a known one."""


def unfounded(case: Case, note: Note) -> Iterator[tuple[str, str, set[str]]]:
    """Give each section and sentence with figures that come from nowhere, and those figures."""
    names = figures(" ".join([*(one.name for one in case.told.canals.values()), *_people(case), case.protocol.title]))
    names |= figures(" ".join((case.protocol.id, case.header.sid, case.told.tooth, case.told.patient)))
    for title, sentence in _all(note):
        if sentence.fixed or RECKONED.search(sentence.text) or title in OF_REMARKS:
            continue
        left = figures(sentence.text) - names - known(case, sentence.entries) - summed(case, sentence.entries)
        if left:
            yield title, sentence.text, left


def figures(text: str) -> set[str]:
    """Give the figures in a text, without zeros before or behind, so that .04 and 0.040 are one."""
    return {_plain(found) for found in FIGURE.findall(re.sub(r"(?<!\d)\.(?=\d)", "0.", text))}


def known(case: Case, entries: Iterable[int]) -> set[str]:
    """Give what entries themselves say in figures."""
    found: set[str] = set()
    for seq in entries:
        entry = case.entries[seq]
        members = written(entry)
        if seq == 0:
            members = {
                name: members[name] for name in ("sid", "patient", "tooth", "clinician", "previous") if name in members
            }
        found |= figures(json.dumps(members)) | {str(seq)} | figures(entry.off) | _asked(case, entry)
        for ago in {0, _ago_min(entry)}:
            found |= figures((local(entry) - dt.timedelta(minutes=ago)).strftime("%Y-%m-%d %H:%M"))
    return found


def summed(case: Case, entries: Iterable[int]) -> set[str]:
    """Give the volumes in entries together, how many these are, and the minutes between any two of them."""
    told = [case.entries[seq] for seq in sorted(entries)]
    volumes: dict[int, Decimal] = {}
    for one in told:
        for value in getattr(one, "values", {}).values():
            if isinstance(value, Number):
                volumes[case.root(one.seq)] = value.value  # the last word about a rinse counts
    at_min = [one.t.timestamp() / 60 - ago for one in told for ago in (0, _ago_min(one))]
    apart = {abs(one - other) for one in at_min for other in at_min}
    minutes = {str(int(one)) for one in apart} | {str(round(one)) for one in apart}
    rinses = {case.root(one.seq) for one in told}
    return {_plain(str(sum(volumes.values(), Decimal(0)))), str(len(rinses)), str(len(volumes))} | minutes


def _ago_min(entry: AnyEntry) -> int:
    return (entry.ago_min or 0) if isinstance(entry, Answer) else 0


def _asked(case: Case, entry: AnyEntry) -> set[str]:
    """Give the figures in the words of the questions that an entry answers."""
    protocol = case.protocol
    step = protocol.by_step.get(place(case, entry)[0])
    kind = protocol.incident_of(entry.what) if isinstance(entry, IncidentDetail) else None
    words: list[str] = [kind.label] if kind is not None else []
    for name in getattr(entry, "values", {}):
        question = (kind or step).asked(name) if kind or step else None  # type: ignore[union-attr]
        if question is not None:
            words += [question.prompt, *(one.label for one in question.options_of(protocol))]
    return figures(" ".join(words))


def _people(case: Case) -> list[str]:
    return [one.name for one in case.protocol.person]


def _all(note: Note) -> Iterator[tuple[str, Sentence]]:
    yield from (("", one) for one in note.heads)
    for section in note.sections:
        yield from ((section.title, one) for one in (*section.sentences, *section.cells))


def _plain(figure: str) -> str:
    whole, point, rest = figure.partition(".")
    rest = rest.rstrip("0")
    return (whole.lstrip("0") or "0") + (f".{rest}" if point and rest else "")
