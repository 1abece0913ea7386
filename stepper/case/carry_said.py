"""What a second visit brings along only to be told: diagnosis, how the tooth was closed, gauging, dressing, in words.

The words are those of the earlier session's own protocol, since today's may not know its options.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from stepper.case.state import Case
from stepper.facts.carried import CarriedSaid
from stepper.facts.entries import TOOTH, Carried
from stepper.facts.state import Fact, Row
from stepper.kinds.outcome import treated
from stepper.kinds.union import AnyQuestion

UNCONFIRMED = "the clinician has not confirmed it"
GAUGE, DRESSING = "gauge_file", "dressing"
"""The roles of which a canal's rows are told."""
DIAGNOSES = ("pulpal_diagnosis", "apical_diagnosis")
OF_TOOTH = (*DIAGNOSES, "restoration")
"""The items of a record, as a protocol marks its questions with them, that are told of the tooth."""


def of_canal(case: Case, number: int) -> tuple[CarriedSaid, ...]:
    """Give what was gauged in a canal and what it was dressed with, now or at a visit before."""
    return (*_gauged(case, number), *_dressed(case, number))


def of_tooth(case: Case) -> tuple[CarriedSaid, ...]:
    """Give what is told of the tooth."""
    return tuple(one for item in OF_TOOTH for one in _marked(case, item))


def _gauged(case: Case, number: int) -> tuple[CarriedSaid, ...]:
    rows = sorted(case.told.rows_with(GAUGE, number), key=lambda row: (row.place, row.number))
    today = tuple(said for row in rows for said in _row(case, row, GAUGE))
    return today or _before(case, number, GAUGE)


def _dressed(case: Case, number: int) -> tuple[CarriedSaid, ...]:
    """Give the dressing that is in a canal: the last one, or that of before where nobody worked in the canal since."""
    row = max(case.told.rows_with(DRESSING, number), key=lambda row: (row.place, row.number), default=None)
    if row is not None:
        return tuple(_row(case, row, DRESSING))
    left = case.told.canals[number].fill is None and not treated(case.told, number)
    return _before(case, number, DRESSING) if left else ()


def _row(case: Case, row: Row, role: str) -> Iterator[CarriedSaid]:
    """Write a row: the fact of its role first, what else was answered behind it."""
    step = case.protocol.by_step[row.step]
    other = case.sure.row(row.step, row.canal, row.number)
    unsure = other is None or other.facts != row.facts
    parts: list[str] = []
    lead: tuple[AnyQuestion, Fact] | None = None
    for question in step.question:
        fact = row.facts.get(question.id)
        if fact is None or fact.absent:
            continue
        shown = question.show(fact.value, case.protocol)
        if question.role == role:
            lead = (question, fact)
            parts.insert(0, shown)
        else:
            parts.append(f"{question.prompt}: {shown}")
    if lead is not None:
        words = "; ".join(parts) + (f" ({UNCONFIRMED})" if unsure else "")
        yield CarriedSaid(about=role, asked=lead[0].prompt, words=words, of=lead[1].seq)


def _marked(case: Case, item: str) -> Iterator[CarriedSaid]:
    """Write what the questions that are marked with an item were answered; without an answer, what it was before."""
    found = False
    for step in case.protocol.step:
        for question in step.question if step.scope == "T" else ():
            place = f"{step.id}.{question.id}"
            fact = case.told.fact(place, TOOTH) if item in question.holds else None
            if fact is not None and not fact.absent:
                found = True
                words = question.show(fact.value, case.protocol)
                unsure = "" if case.sure.fact(place, TOOTH) == fact else f" ({UNCONFIRMED})"
                yield CarriedSaid(about=item, asked=question.prompt, words=words + unsure, of=fact.seq)
    if not found:
        yield from _before_of_tooth(case, item)


def _before(case: Case, number: int, about: str) -> tuple[CarriedSaid, ...]:
    """Give what a canal itself was brought from a visit before, with that one's session."""
    entry = next((one for one in case.entries if isinstance(one, Carried) and one.canal == number), None)
    return tuple(_older(case, one) for one in entry.said if one.about == about) if entry is not None else ()


def _before_of_tooth(case: Case, item: str) -> Iterator[CarriedSaid]:
    entry = next((one for one in case.entries if isinstance(one, Carried)), None)
    yield from (_older(case, one) for one in (entry.of_tooth if entry is not None else ()) if one.about == item)


def _older(case: Case, one: CarriedSaid) -> CarriedSaid:
    """Name the session that it was said in, where that was the one before."""
    previous = case.header.previous
    if one.sid is not None or previous is None:
        return one
    return replace(one, sid=previous.sid, day=previous.day)
