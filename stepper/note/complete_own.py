"""Where the record stands with what the program keeps itself: whose it is, who keyed, its canals, what went wrong."""

from __future__ import annotations

from dataclasses import replace

from stepper.case.state import Case
from stepper.facts.entries import TOOTH, CanalFound, Carried, Correction, Relief
from stepper.note.complete_asked import marked, places
from stepper.note.complete_item import Item, State
from stepper.note.incidents import SLIP
from stepper.note.shape import rests_on


def own_item(case: Case, blank: Item) -> Item:
    """Tell where it stands with what the program itself keeps."""
    there = replace(blank, state=State.PRESENT)
    if blank.item == "identity":
        mended = [one.seq for one in case.entries if isinstance(one, Correction) and case.root(one.of) == 0]
        return replace(there, entries=rests_on((0, *mended)))
    if blank.item == "author":
        return replace(there, entries=rests_on((0, *(one.seq for one in case.entries if isinstance(one, Relief)))))
    return _complications(case, blank) if blank.item == "complications" else _canal(case, blank)


def _canal(case: Case, blank: Item) -> Item:
    """Say which entry named a canal: the access, a word of its own, or an earlier visit."""
    if blank.canal == TOOTH:
        where = places(case, marked(case, "canals", ""))
        return replace(blank, state=State.ABSENT, why="no canal is on record", where=where, entries=(0,))
    named = [one.seq for one in case.entries if isinstance(one, Carried | CanalFound) and one.canal == blank.canal]
    fact = case.told.role("canals", TOOTH)
    return replace(blank, state=State.PRESENT, entries=rests_on(named[:1] or ([fact.seq] if fact is not None else [])))


def _complications(case: Case, blank: Item) -> Item:
    """Tell whether it is said of everything that was stamped what it was."""
    stamped = _stamped(case)
    if not stamped:
        return replace(blank, state=State.NOT_APPLICABLE, why="no incident was logged", entries=(0,))
    details = [fact.seq for seq in stamped for fact in case.details.get(seq, {}).values()]
    unnamed = [seq for seq in stamped if case.incidents[seq] is None]
    if unnamed:
        return replace(blank, state=State.ABSENT, why="nobody has said what an incident was", entries=rests_on(unnamed))
    return replace(blank, state=State.PRESENT, entries=rests_on((*stamped, *details)))


def of_incidents(case: Case, found: Item) -> Item:
    """Tell of each incident whether it is logged what the patient was told, where the protocol asks for it there."""
    stamped = _stamped(case)
    if not stamped:
        return replace(found, state=State.NOT_APPLICABLE, why="no incident was logged", entries=(0,), where=())
    if found.state is State.PRESENT:
        return found
    told: list[int] = []
    lacking: list[int] = []
    where: list[str] = []
    for seq in stamped:
        kind = case.protocol.incident_of(case.incidents[seq] or "")
        for question in kind.question if kind is not None else ():
            if found.item in question.holds and kind is not None:
                fact = case.details.get(seq, {}).get(question.id)
                (told if fact is not None and not fact.absent else lacking).append(seq if fact is None else fact.seq)
                where.append(f"{kind.label}: {question.prompt}")
    if not told and not lacking:
        return found
    if lacking:
        where = list(dict.fromkeys((*found.where, *where)))
        return replace(found, state=State.ABSENT, why="", entries=rests_on(lacking), where=tuple(where))
    return replace(found, state=State.PRESENT, why="", entries=rests_on(told), where=())


def _stamped(case: Case) -> list[int]:
    return [seq for seq, what in case.incidents.items() if what != SLIP]
