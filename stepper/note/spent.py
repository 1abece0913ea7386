"""Where the time of a visit went: per step and canal, waiting, away, and which solution stood in which canal.

Time goes by the machine's own clock, which nobody can set; only over a restart of the machine the wall clock is left to
go by. The time before an entry belongs to the step and canal of that entry, since what is keyed was done before; the
time before going elsewhere belongs to where one was. What was keyed afterwards, and what mends an earlier entry, has no
time of its own. The visit ends where it is closed or void: what is read and signed later is no time at the chair.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from stepper.case.clocks import keyed, lapse
from stepper.case.order import MINUTE_US
from stepper.case.state import Case
from stepper.facts.entries import (
    TOOTH,
    Answer,
    AnyEntry,
    Close,
    Correction,
    Go,
    Held,
    Incident,
    Overruled,
    Resume,
    StepDone,
    Void,
)
from stepper.facts.ringing import Sound, SoundState
from stepper.note.spent_shape import Mark, Spent, Stretch, Work
from stepper.note.stood import stood
from stepper.note.words import place

SECOND_US: Final = 1_000_000

WAIT_US: Final = 5 * MINUTE_US
"""From so long on, a time in which nothing was keyed is told as waiting (common practice, no source)."""

SAME_LINE_US: Final = SECOND_US
"""Answers of one step for several canals that come this close together were keyed in one line."""


def spent(case: Case) -> Spent:
    """Reckon where the time of a visit went, as far as the record goes."""
    entries = _visit(case.entries)
    at_us, about = _positions(entries)
    whole = Stretch(0, at_us[-1], (0, entries[-1].seq) if entries[-1].seq else (0,))
    marks = (Mark(at_us[one.seq], one) for one in entries if isinstance(one, Incident | Sound))
    waits, away = _quiet(entries, at_us)
    work = tuple(_work(case, entries, at_us))
    return Spent(work, waits, away, tuple(stood(case, at_us)), tuple(marks), whole, about)


def _visit(entries: Sequence[AnyEntry]) -> Sequence[AnyEntry]:
    """Give the entries up to where the visit was closed or void."""
    ends = next((one.seq for one in entries if isinstance(one, Close | Void)), len(entries))
    return entries[: ends + 1]


def _positions(entries: Sequence[AnyEntry]) -> tuple[list[int], bool]:
    """Give when each entry was keyed, from the start on, and whether that is only about so."""
    at_us, about = [0], False
    for here, there in pairwise(entries):
        passed_us = max(there.mono_us - here.mono_us, 0)
        if here.boot != there.boot:
            passed_us, about = (lapse(keyed(here), keyed(there)).seconds or 0) * SECOND_US, True
        at_us.append(at_us[-1] + passed_us)
    return at_us, about


def _quiet(entries: Sequence[AnyEntry], at_us: Sequence[int]) -> tuple[tuple[Stretch, ...], tuple[Stretch, ...]]:
    """Give the long times in which nothing was keyed, and the times in which the session was not open."""
    waits: list[Stretch] = []
    away: list[Stretch] = []
    last = 0
    for entry in entries[1:]:
        if isinstance(entry, Sound | SoundState):
            continue
        if isinstance(entry, Resume):
            away.append(_between(at_us, entry.seq - 1, entry.seq))
        elif at_us[entry.seq] - at_us[last] >= WAIT_US:
            waits.append(_between(at_us, last, entry.seq))
        last = entry.seq
    return tuple(waits), tuple(away)


def _work(case: Case, entries: Sequence[AnyEntry], at_us: Sequence[int]) -> tuple[Work, ...]:
    """Give the stretches of work one after another: without a hole between them, but for when one was away."""
    found: list[Work] = []
    begun, here = 0, _At("", (TOOTH,))
    for entry in entries[1:]:
        there = _place(case, entry)
        if isinstance(entry, Resume):
            _put(found, here, _between(at_us, begun, entry.seq - 1))
        elif isinstance(entry, Go):
            gone, here = here, _At(entry.step, (entry.canal,))
            if not gone.step:
                continue  # what was done before one was anywhere belongs to where one went
            _put(found, gone, _between(at_us, begun, entry.seq))
        elif there is None:
            continue
        elif _same_line(found, entries, entry, _between(at_us, begun, entry.seq)):
            here = _At(there.step, (*found[-1].canals, *there.canals))
            found[-1] = Work(here.step, here.canals, _joined(found[-1].when, _between(at_us, begun, entry.seq)))
        else:
            here = there
            found.append(Work(here.step, here.canals, _between(at_us, begun, entry.seq)))
        begun = entry.seq
    _put(found, here, _between(at_us, begun, entries[-1].seq))
    return tuple(_merged(found))


@dataclass(frozen=True, slots=True)
class _At:
    """Where one is: a step, and the canals that were keyed together there."""

    step: str
    canals: tuple[int, ...]


def _put(found: list[Work], here: _At, when: Stretch) -> None:
    """Add time spent where one was, if there was any."""
    if here.step and when.us > 0:
        found.append(Work(here.step, here.canals, when))


def _place(case: Case, entry: AnyEntry) -> _At | None:
    """Tell where the time before an entry was spent, if the entry tells that."""
    if isinstance(entry, Answer):
        return None if entry.ago_min else _At(entry.step, (entry.canal,))
    if isinstance(entry, Held | Overruled | StepDone | Incident):
        return _At(entry.step, (entry.canal,))
    if isinstance(entry, Correction) and entry.how == "measured_anew":
        step, canal = place(case, entry)
        return _At(step, (canal,)) if step else None
    return None


def _same_line(found: Sequence[Work], entries: Sequence[AnyEntry], entry: AnyEntry, when: Stretch) -> bool:
    """Tell whether an answer came in one line with the one before it, for another canal."""
    if not (found and isinstance(entry, Answer) and entry.canal != TOOTH and when.us < SAME_LINE_US):
        return False
    last = found[-1]
    before = entries[last.when.entries[-1]]
    if not (isinstance(before, Answer) and before.seq == when.entries[0] and before.step == entry.step):
        return False
    return TOOTH not in last.canals and entry.canal not in last.canals


def _merged(found: Sequence[Work]) -> Iterator[Work]:
    """Make one of what follows one another at the same place."""
    runs: list[list[Work]] = []
    for one in found:
        last = runs[-1][-1] if runs else None
        if last is not None and (last.step, last.canals) == (one.step, one.canals) and _meet(last.when, one.when):
            runs[-1].append(one)
        else:
            runs.append([one])
    for run in runs:
        entries = dict.fromkeys(seq for one in run for seq in one.when.entries)
        when = Stretch(run[0].when.since_us, run[-1].when.until_us, tuple(entries))
        yield Work(run[0].step, run[0].canals, when)


def _meet(one: Stretch, other: Stretch) -> bool:
    return one.until_us == other.since_us and one.entries[-1] == other.entries[0]


def _joined(one: Stretch, other: Stretch) -> Stretch:
    return Stretch(one.since_us, other.until_us, tuple(dict.fromkeys((*one.entries, *other.entries))))


def _between(at_us: Sequence[int], since: int, until: int) -> Stretch:
    return Stretch(at_us[since], at_us[until], tuple(dict.fromkeys((since, until))))
