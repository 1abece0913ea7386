"""What the canals brought along from the visit before, told as what that session said, and what of it holds today."""

from __future__ import annotations

from collections.abc import Iterator

from stepper.case.state import Case
from stepper.facts.carried import Previous
from stepper.facts.entries import Carried
from stepper.facts.state import Canal
from stepper.kinds.outcome import outcome_of
from stepper.note.shape import Sentence, rests_on
from stepper.note.words import brought


def carried(case: Case) -> Iterator[Sentence]:
    """Give a sentence for each canal that brought something along."""
    session = session_before(case.header.previous) if case.header.previous is not None else "an earlier session"
    told: set[int] = set()
    for entry in case.entries:
        if isinstance(entry, Carried) and entry.canal not in told:
            told.add(entry.canal)
            there = _entries_there(entry)
            numbers = f" Its entries there: {', '.join(str(seq) for seq in there)}." if there else ""
            today, seqs = _today(case.told.canals[entry.canal], entry)
            text = f"From {session}: {brought(case.protocol, entry)}.{numbers}{today}"
            yield Sentence(text, rests_on((entry.seq, *seqs)))


def session_before(previous: Previous) -> str:
    """Name the session that one goes on from, and its day where it is known."""
    return f"session {previous.sid}" + (f" of {previous.day.isoformat()}" if previous.day is not None else "")


def ended_earlier(case: Case, number: int) -> bool:
    """Tell whether a canal's outcome is that of an earlier visit: it was filled, or given up, there and not today."""
    canal = case.told.canals[number]
    if canal.fill is not None:
        return isinstance(case.entries[canal.fill.seq], Carried)
    today = canal.joins is not None or any(case.told.role(role, number) for role in ("outcome", "dressing"))
    return not today and outcome_of(case.told, number) is not None


def _entries_there(entry: Carried) -> list[int]:
    parts = (entry.length, entry.reference, entry.master, entry.fill, *entry.files)
    return sorted({part.of for part in parts if part is not None})


def _today(canal: Canal, entry: Carried) -> tuple[str, tuple[int, ...]]:
    """Say whether the length of then was agreed again."""
    if entry.length is None or canal.carried is None:
        return "", ()
    if canal.carried.mm is not None:
        return " That length has not been agreed today and is not in force.", ()
    if canal.length is None:
        return " Its reference point was left; no length is in force.", ()
    if canal.length.anew == canal.carried.place:
        return " The same length was agreed today.", (canal.length.seq,)
    void = ", so that the master apical file of then is void" if entry.master is not None else ""
    return f" The length was measured anew today{void}.", (canal.length.seq,)
