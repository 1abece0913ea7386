"""What was decided and what went wrong: departures, acts held back, incidents, remarks that wait or only tell."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest

from stepper.case.judge import Standing
from stepper.facts.entries import Answer, Departure, Held, Incident, IncidentDetail
from stepper.facts.remarks import Weight
from stepper.facts.values import Value
from stepper.note.phrases import Read, at, full_stop, placed, where, who
from stepper.note.shape import Sentence, rests_on
from stepper.note.words import incident_label, show_all


def departures(read: Read) -> Iterator[Sentence]:
    """Give every ask that was passed with a reason: who said it, who keyed it, when."""
    case = read.case
    for entry in case.entries:
        if isinstance(entry, Departure):
            gone = "" if entry.remark in read.remarks else " (It no longer stands.)"
            text = (
                f"{read.remark_text(entry.remark, entry.text)}{gone} Reason: {full_stop(entry.reason)} "
                f"Said by {who(case, entry.said_by)}, keyed by {who(case, entry.by)} at {at(case, entry)}; "
                "to be confirmed by the clinician at signing."
            )
            yield Sentence(text, rests_on((entry.seq, *read.evidence(entry.remark))))


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
            f"not done{given_up}, held back at {at(case, entry)}. {why}"
        )
        evidence = (seq for key in entry.remarks for seq in read.evidence(key))
        yield Sentence(text.rstrip(), rests_on((entry.seq, *earlier, *evidence)))


def incidents(read: Read) -> Iterator[Sentence]:
    """Give every incident, when it was marked, and what it was."""
    case = read.case
    details = {one.of: one for one in case.entries if isinstance(one, IncidentDetail)}
    for entry in case.entries:
        if isinstance(entry, Incident):
            detail = details.get(entry.seq)
            what = incident_label(case.protocol, detail.what) if detail is not None else "what it was is not recorded"
            text = f"Marked at {at(case, entry)}, {where(case, entry.step, entry.canal)}: {full_stop(what)}"
            yield Sentence(text, rests_on((entry.seq, *((detail.seq,) if detail is not None else ()))))


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
    key = (held.step, held.canal, held.row)
    values: dict[str, Value] = {}
    seqs: list[int] = []
    for entry in read.case.entries[: held.seq] if held.drops else ():
        if isinstance(entry, Answer) and (entry.step, entry.canal, entry.row) == key:
            values.update(entry.values)
            seqs.append(entry.seq)
    return {**values, **held.values}, tuple(seqs)
