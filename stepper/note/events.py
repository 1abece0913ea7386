"""What was decided: departures, facts outside the chain, acts held back, remarks that wait or only tell."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest

from stepper.case.fold import fold
from stepper.case.gate import shut
from stepper.case.judge import Standing
from stepper.case.state import Case
from stepper.facts.entries import Answer, AnyEntry, Departure, Held
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import Row
from stepper.facts.values import Value
from stepper.note.phrases import Read, at, full_stop, key_of, placed, rows_outside, where, who
from stepper.note.shape import Sentence, rests_on
from stepper.note.words import show_all

TO_CONFIRM = "to be confirmed by the clinician at signing."


def departures(read: Read) -> Iterator[Sentence]:
    """Give every ask that was passed with a reason: who said it, who keyed it, when."""
    case = read.case
    for entry in case.entries:
        if isinstance(entry, Departure):
            gone = "" if entry.remark in read.remarks else " (It no longer stands.)"
            text = (
                f"{read.remark_text(entry.remark, entry.text)}{gone} Reason: {full_stop(entry.reason)} "
                f"Said by {who(case, entry.said_by)}, keyed by {who(case, entry.by)} at {at(case, entry)}; "
            )
            over = next((one for one in case.signatures if one.seq > entry.seq), None)
            text += f"confirmed by the signature of {over.name}." if over is not None else TO_CONFIRM
            signed = (over.seq,) if over is not None else ()
            yield Sentence(text, rests_on((entry.seq, *signed, *read.evidence(entry.remark))))


def outside(read: Read) -> Iterator[Sentence]:
    """Give every fact that was logged although a stop held the act: when, by whom, and what held it."""
    case = read.case
    for row in rows_outside(case):
        keyed, told = _keyed(case, row), list(_stops_about(read, row))
        values = {name: fact.value for name, fact in row.facts.items()}
        parts = [
            full_stop(f"{where(case, row.step, row.canal)}: {show_all(case.protocol, row.step, values)}"),
            f"Keyed at {at(case, keyed)} by {who(case, keyed.by)}.",
            *(full_stop(one.text) for one in told),
            *_gate_then(case, row),
        ]
        evidence = (seq for one in told for seq in one.evidence)
        yield Sentence(" ".join(parts), rests_on((keyed.seq, *row.seqs, *evidence)))


def _keyed(case: Case, row: Row) -> AnyEntry:
    """Give the entry that was logged outside the chain: as it was marked, else the fill, else the row's first."""
    answers = [one for one in case.entries if isinstance(one, Answer) and key_of(one) == key_of(row)]
    canal = case.told.canals.get(row.canal)
    fill = case.root(canal.fill.seq) if canal is not None and canal.fill is not None else -1
    marked = (one for one in answers if one.outside)
    return next(marked, next((one for one in answers if one.seq == fill), answers[0]))


def _stops_about(read: Read, row: Row) -> Iterator[Remark]:
    for one in (judged.remark for judged in read.judged):
        here = (one.step, one.canal) == (row.step, row.canal) and bool(set(one.evidence) & set(row.seqs))
        if one.weight is Weight.STOP and here:
            yield one


def _gate_then(case: Case, row: Row) -> Iterator[str]:
    """Say why the gate was shut when a canal was filled."""
    canal = case.told.canals.get(row.canal)
    if canal is None or canal.fill is None or canal.fill.seq not in row.seqs:
        return
    reasons = shut(fold(case.protocol, case.entries[: case.root(canal.fill.seq)]), row.canal)
    if reasons:
        yield full_stop(f"Its gate was shut: {'; '.join(reasons.values())}")


def held_back(read: Read) -> Iterator[Sentence]:
    """Give every act that was not done because of what the record said."""
    case = read.case
    for entry in case.held:
        values, earlier = _given_up(read, entry)
        told = zip_longest(entry.remarks, entry.texts[: len(entry.remarks)], fillvalue="")
        why = " ".join(read.remark_text(key, text) for key, text in told)
        given_up = " and given up" if entry.drops else ""
        text = (
            f"{where(case, entry.step, entry.canal)}, {show_all(case.protocol, entry.step, values)}: "
            f"not done{given_up}, held back at {at(case, entry)}, keyed by {who(case, entry.by)}. {why}"
        )
        evidence = (seq for key in entry.remarks for seq in read.evidence(key))
        yield Sentence(text.rstrip(), rests_on((entry.seq, *earlier, *evidence)))


def unanswered(read: Read) -> Iterator[Sentence]:
    """Give every ask that nobody has answered."""
    yield from _standing(read, Weight.ASK)


def noticed(read: Read) -> Iterator[Sentence]:
    """Give what the rules only tell."""
    yield from _standing(read, Weight.TELL)


def _standing(read: Read, weight: Weight) -> Iterator[Sentence]:
    for one in read.judged:
        remark = one.remark
        if remark.weight is weight and one.standing is Standing.OPEN:
            yield Sentence(placed(read.case, remark), rests_on(remark.evidence))


def _given_up(read: Read, held: Held) -> tuple[dict[str, Value], tuple[int, ...]]:
    """Give what an act was to be; a row given up also takes along what had been logged in it."""
    values: dict[str, Value] = {}
    seqs: list[int] = []
    for entry in read.case.entries[: held.seq] if held.drops else ():
        if isinstance(entry, Answer) and key_of(entry) == key_of(held):
            values.update(entry.values)
            seqs.append(entry.seq)
    return {**values, **held.values}, tuple(seqs)
