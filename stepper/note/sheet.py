"""The sheet for the patient: what was done and what comes next, in the protocol's own plain sentences.

A sentence with a condition tells what was logged, and knows the entries; one without is a usual caution of the
practice's, and rests on the header, which carries the protocol. Nothing else is said.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from string import Formatter

from stepper.case.state import Case
from stepper.facts.entries import TOOTH as OF_TOOTH
from stepper.facts.entries import Carried, Joined, Void
from stepper.facts.state import Fact
from stepper.facts.values import Choice, Day
from stepper.kinds.outcome import DRESSED, GIVEN_UP, outcome_of
from stepper.kinds.union import AnyQuestion
from stepper.note.addendum import not_signed
from stepper.note.carried import ended_earlier
from stepper.note.head import heading_of
from stepper.note.shape import Note, Section, Sentence, rests_on
from stepper.note.tooth_words import in_plain_words
from stepper.note.words import show
from stepper.protocol.models import Occasion, SheetLine
from stepper.protocol.sheets import ALL, COUNT, NOT_RECORDED, PRACTICE, TOOTH, gaps, of_tooth
from stepper.sums.iso3950 import is_tooth

TITLE = "For you: your tooth and your visit"
ABOUT = "About this sheet"
FOR_PRACTICE = "this sheet is not about a real treatment."
VOID = "This visit does not count. There is nothing to tell about it."
NOT_CLOSED = "The visit had not ended when this sheet was made."
CAUTION = "This sheet is made from what was noted during the visit. What your dentist tells you comes first."
UNSIGNED = "The dentist has not signed these notes yet."
ADDED = "Something was added after the dentist had signed."
DEVICE = "It was written with a program for keeping notes. That program is not a medical device."
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

Words = tuple[str, tuple[int, ...]]
"""Some words, and the entries they came from."""


def sheet(case: Case) -> Note:
    """Compose the sheet of a case as it stands; sections without a sentence are left out."""
    sections: dict[str, list[Sentence]] = {}
    for line in case.protocol.sheet if case.void is None else ():
        written = _written(case, line)
        if written is not None:
            sections.setdefault(line.under, []).append(written)
    found = tuple(Section(title, tuple(sentences)) for title, sentences in sections.items())
    return Note(TITLE, tuple(_heads(case)), (*found, Section(ABOUT, tuple(_foot(case)))))


def in_words(day: dt.date) -> str:
    """Write a date with the month by name, so that no day is taken for a month."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _heads(case: Case) -> Iterator[Sentence]:
    heading = heading_of(case)
    if heading:
        yield Sentence(heading, (0,))
    if case.header.practice:
        yield Sentence(FOR_PRACTICE, (0,), "PRACTICE")
    yield Sentence(f"Visit of {in_words(case.today)}.", (0,))
    yield Sentence(f"Patient number {case.told.patient}.", (0,))
    for entry in case.entries:
        if isinstance(entry, Void):
            yield Sentence(VOID, (entry.seq,))
    if case.void is None and not case.closed:
        yield Sentence(NOT_CLOSED, (0,))


def _foot(case: Case) -> Iterator[Sentence]:
    yield Sentence(CAUTION, (0,), fixed=True)
    if not case.signatures:
        yield Sentence(UNSIGNED, (0,), fixed=True)
    added = not_signed(case)
    if added:
        yield Sentence(ADDED, rests_on(one.seq for one in added))
    yield Sentence(DEVICE, (0,), fixed=True)


def _written(case: Case, line: SheetLine) -> Sentence | None:
    """Write a sentence, if its condition holds and all its gaps are filled."""
    counted: Sequence[int] = ()
    entries: tuple[int, ...] = ()
    if line.when is not None:
        found = _held(case, line.when)
        if found is None:
            return None
        counted, entries = found
    filled = {name: _gap(case, name, counted) for name in gaps(line.text)}
    words = [(name, one) for name, one in filled.items() if one is not None]
    if len(words) < len(filled):
        return None
    known = {name: text for name, (text, _) in words}
    parts = Formatter().parse(line.text)
    text = "".join(before + (known[name] if name is not None else "") for before, name, _, _ in parts)
    return Sentence(text, rests_on((*entries, *(seq for _, (_, seqs) in words for seq in seqs))))


def _gap(case: Case, name: str, counted: Sequence[int]) -> Words | None:
    """Fill a gap; None where nothing does."""
    if name == TOOTH:
        tooth = case.told.tooth
        return (f"{in_plain_words(tooth)} (number {tooth})" if is_tooth(tooth) else f"number {tooth}"), (0,)
    if name == PRACTICE:
        heading = heading_of(case)
        return (heading, (0,)) if heading else None
    if name in (COUNT, ALL):
        return str(len(counted if name == COUNT else case.told.canals)), ()
    question = of_tooth(case.protocol)[name]
    fact = case.told.fact(name, OF_TOOTH)
    return (_shown(case, question, fact), (fact.seq,)) if fact is not None and not fact.absent else None


def _shown(case: Case, question: AnyQuestion, fact: Fact) -> str:
    return in_words(fact.value.value) if isinstance(fact.value, Day) else show(case.protocol, question, fact.value)


def _held(case: Case, when: Occasion) -> tuple[Sequence[int], tuple[int, ...]] | None:
    """Give the canals that a condition counts and the entries that say that it holds; None where it does not."""
    seqs: list[int] = []
    if when.ended_early is not None:
        if (case.ending is not None) is not when.ended_early:
            return None
        seqs += [case.ending.seq] if case.ending is not None else []
    if when.question is not None:
        fact = case.told.fact(when.question, OF_TOOTH)
        if fact is None or not _answers(fact, when):
            return None
        seqs.append(fact.seq)
    if when.incident:
        stamped = [seq for seq, what in case.incidents.items() if what in when.incident]
        if not stamped:
            return None
        seqs += stamped
    canals = [number for number in sorted(case.told.canals) if _ended_so(case, number, when)] if when.ended else []
    wanted = len(case.told.canals) if when.canals == "all" else 1
    if when.ended and len(canals) < max(wanted, 1):
        return None
    return canals, (*seqs, *(seq for number in canals for seq in _says(case, number)))


def _answers(fact: Fact, when: Occasion) -> bool:
    chosen = fact.value.options if isinstance(fact.value, Choice) else ()
    return not fact.absent and (not when.any or bool(set(chosen) & set(when.any)))


def _ended_so(case: Case, number: int, when: Occasion) -> bool:
    ended = {outcome_of(case.told, number) or NOT_RECORDED}
    if _dressing_in(case, number) is not None:
        ended.add(DRESSED)
    return bool(ended & set(when.ended)) and when.earlier_visit in (None, ended_earlier(case, number))


def _dressing_in(case: Case, number: int) -> Fact | None:
    """Give what was left in a canal that was given up: how it ended and the medicine in it are two things to tell."""
    return case.told.role("dressing", number) if outcome_of(case.told, number) in GIVEN_UP else None


def _says(case: Case, number: int) -> tuple[int, ...]:
    """Give the entries that say how a canal ended; where none does, that is the header's."""
    canal = case.told.canals[number]
    if canal.fill is not None:
        return (canal.fill.seq,)
    if canal.joins is not None:
        joins = [one.seq for one in case.entries if isinstance(one, Joined | Carried) and one.canal == number]
        return tuple(joins[-1:])
    facts = (case.told.role(role, number) for role in ("outcome", "dressing"))
    stated = next((fact for fact in facts if fact is not None), None)
    if stated is not None:
        dressing = _dressing_in(case, number)
        return (stated.seq,) if dressing is None else (stated.seq, dressing.seq)
    ended = outcome_of(case.told, number) is not None and canal.carried is not None
    return (canal.carried.seq,) if ended and canal.carried is not None else (0,)
