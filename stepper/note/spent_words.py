"""Where the time of a visit went, in sentences: each row of the timeline, for a reader who does not see it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence

from stepper.case.order import MINUTE_US
from stepper.case.sounds import rang
from stepper.case.state import Case
from stepper.facts.entries import TOOTH, Incident, IncidentDetail
from stepper.facts.ringing import Sound
from stepper.lines.refusal import visible
from stepper.note.phrases import full_stop, where
from stepper.note.shape import Sentence, rests_on
from stepper.note.spent import spent
from stepper.note.spent_shape import Mark, Spent, Standing, Stretch
from stepper.note.words import canal_name, incident_label, local, title

KEYED = "All of it goes by when things were keyed, solutions too: it is no measurement of how long they acted."
SHARED = "Time keyed for several canals at once is shared equally between them."
ABOUT = "The machine was started again in between, so times are about so."


def spent_rows(case: Case) -> tuple[Sentence, ...]:
    """Say where the time went: per step and canal, waiting, away, solutions in the canals, incidents, what rang."""
    return tuple(_rows(case, spent(case)))


def in_one(case: Case, known: Spent) -> Sentence:
    """Say the same in one go, step by step with its canals."""
    said = [f"In all {_long(known.whole.us)}, {span(case, known.whole)}"]
    for step in dict.fromkeys(one.step for one in known.shares):
        parts = [one for one in known.shares if one.step == step]
        canals = [f"{canal_name(case, one.canal)} {minutes(one.us)}" for one in parts if one.canal != TOOTH]
        each = f" ({', '.join(canals)})" if canals and len(case.told.canals) > 1 else ""
        said.append(f"{title(case.protocol, step)} {_long(sum(one.us for one in parts))}{each}")
    rest = tuple(_rest(case, known))
    seqs = (seq for when in (known.whole, *(one.when for one in known.work)) for seq in when.entries)
    text = " ".join(visible(full_stop(one)) for one in (*said, *(one.text for one in rest)))
    return Sentence(text, rests_on((*seqs, *(seq for one in rest for seq in one.entries))))


def _rows(case: Case, known: Spent) -> Iterator[Sentence]:
    yield Sentence(f"In all: {_long(known.whole.us)}, {span(case, known.whole)}.", known.whole.entries)
    for one in known.shares:
        place = where(case, one.step, one.canal)
        yield _said(f"{place}: {_long(one.us)}, {span(case, one.when)}.", one.when.entries)
    yield from _rest(case, known)


def _rest(case: Case, known: Spent) -> Iterator[Sentence]:
    """Say how shares were made, when nothing was keyed, what stood in the canals, and what was marked."""
    yield Sentence(KEYED, known.whole.entries)
    several = [one for one in known.work if len(one.canals) > 1]
    if several:
        yield Sentence(SHARED, rests_on(seq for one in several for seq in one.when.entries))
    for wait in known.waits:
        yield Sentence(f"Nothing was keyed for {_long(wait.us)}, {span(case, wait)}.", wait.entries)
    for wait in known.away:
        yield Sentence(f"The session was not open for {_long(wait.us)}, {span(case, wait)}.", wait.entries)
    for stood in together(known.solutions):
        yield _said(solution(case, stood), rests_on(seq for one in stood for seq in one.when.entries))
    for mark, said, entries in marks(case, known):
        yield _said(full_stop(f"{moment(case, mark.at_us)}: {said}"), entries)
    if known.about:
        yield Sentence(ABOUT, known.whole.entries)


def _said(text: str, entries: tuple[int, ...]) -> Sentence:
    return Sentence(visible(text), entries)


def together(solutions: Iterable[Standing]) -> list[list[Standing]]:
    """Put together what stood in several canals from the same minute until the same minute."""
    found: dict[tuple[str, int, int, bool], list[Standing]] = {}
    for one in solutions:
        since, until = one.when.since_us // MINUTE_US, one.when.until_us // MINUTE_US
        found.setdefault((one.item, since, until, one.ended), []).append(one)
    return list(found.values())


def solution(case: Case, stood: Sequence[Standing]) -> str:
    """Say how long a solution stood in one or several canals."""
    one = stood[0]
    ended = "" if one.ended else ", its end is not recorded"
    canals = ", ".join(canal_name(case, other.canal) for other in stood)
    return f"{label(case, one.item)} in {canals}: {_long(one.when.us)}, {span(case, one.when)}{ended}."


def label(case: Case, item: str) -> str:
    """Name an item of the stock."""
    known = case.protocol.by_id(item)
    return known.label if known is not None else item


def marks(case: Case, known: Spent) -> Iterator[tuple[Mark, str, tuple[int, ...]]]:
    """Say of each incident what it was, of each sound what it rang for, with the entries that tell it."""
    rung = (
        {one.sound.seq: one for one in rang(case)} if any(isinstance(one.entry, Sound) for one in known.marks) else {}
    )
    for mark in known.marks:
        seq = mark.entry.seq
        if isinstance(mark.entry, Incident):
            what = case.incidents.get(seq)
            details = (one.seq for one in case.entries if isinstance(one, IncidentDetail) and one.of == seq)
            said = incident_label(case.protocol, what) if what else "what it was is not recorded"
            yield mark, f"incident, {said}", (seq, *details)
        elif seq in rung:
            one = rung[seq]
            times = "twice" if one.sound.times == 2 else "once"
            rings = "would have rung, sound off" if one.sound.silent else f"rang {times}"
            text = one.text or one.sound.remark.split(":")[0].replace("_", " ")
            yield mark, f"{rings}: {text}", rests_on((seq, *((one.by.seq,) if one.by is not None else ())))


def moment(case: Case, at_us: int) -> str:
    """Give the time of day, so long after the start, on the clock as it stood at the start."""
    day = local(case.header)
    then = day + dt.timedelta(microseconds=at_us)
    return f"{'' if then.date() == day.date() else f'{then.date().isoformat()} '}{then.strftime('%H:%M')}"


def span(case: Case, when: Stretch) -> str:
    """Give from when until when, in whole minutes."""
    since, until = moment(case, when.since_us), moment(case, when.until_us)
    return since if since == until else f"{since} to {until}"


def minutes(us: int) -> str:
    """Write a time in whole minutes, of two equally near ones the longer one."""
    whole = (us + MINUTE_US // 2) // MINUTE_US
    return str(whole) if whole or not us else "<1"


def _long(us: int) -> str:
    whole = minutes(us)
    return "under 1 min" if whole == "<1" else f"{whole} min"
