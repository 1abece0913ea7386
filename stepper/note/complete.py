"""What a root canal record should hold, held against a case: present, absent, or without a place in it.

The list is in `protocol/holding.py`: a composite one, from memory and common practice, without a source. It says what
the record holds, never whether that is right, and nothing of it stands in the note.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import replace

from stepper.case.fit import master_file
from stepper.case.state import Case
from stepper.facts.entries import TOOTH, Carried, Joined
from stepper.kinds.outcome import FILLED, FILLED_OUTSIDE, JOINS, outcome_of
from stepper.lines.refusal import visible
from stepper.note.carried import ended_earlier
from stepper.note.complete_asked import asked_item, marked, places
from stepper.note.complete_item import Item, State
from stepper.note.complete_own import of_incidents, own_item
from stepper.note.outcomes import NOT_TREATED
from stepper.note.shape import rests_on
from stepper.note.words import canal_name
from stepper.protocol.holding import ITEMS, SOURCE, Held

WIDTH = 80


def completeness(case: Case) -> tuple[Item, ...]:
    """Give every item of the list, those of a canal once for each canal, in the order of the list."""
    canals = sorted(case.told.canals)
    return tuple(
        _item(case, name, canal)
        for name, one in ITEMS.items()
        for canal in ((TOOTH,) if one.scope == "T" else canals or ((TOOTH,) if name == "canal_name" else ()))
    )


def complete_rows(case: Case) -> tuple[str, ...]:
    """Write the list for a page of 80 columns: what is absent first; canals that stand alike in one row."""
    found = completeness(case)
    counts = ", ".join(f"{sum(one.state is state for one in found)} {state.value}" for state in State)
    rows = ["What a root canal record should hold", f"The list: {SOURCE}.", f"{counts}."]
    for state in State:
        alike = _alike([one for one in found if one.state is state])
        rows += ["", f"{state.value.capitalize()}:"] if alike else []
        for items in alike:
            rows += textwrap.wrap(visible(_row(case, items)), WIDTH, initial_indent="- ", subsequent_indent="  ")
    return tuple(line for row in rows for line in (textwrap.wrap(row, WIDTH) if len(row) > WIDTH else [row]))


def _alike(found: Sequence[Item]) -> list[list[Item]]:
    """Put the canals together of which the same is said."""
    together: dict[tuple[object, ...], list[Item]] = {}
    for one in found:
        together.setdefault((one.item, one.why, one.where), []).append(one)
    return list(together.values())


def _row(case: Case, items: Sequence[Item]) -> str:
    first = items[0]
    names = ", ".join(canal_name(case, one.canal) for one in items if one.canal != TOOTH)
    text = first.label + (f" ({names})" if names else "") + (f": {first.why}" if first.why else "")
    entries = sorted({seq for one in items for seq in one.entries})
    told = f", {_numbers(entries)}" if entries and entries != [0] else ""
    return f"{text}{told}." + (f" Keyed at {' or '.join(first.where)}." if first.where else "")


def _numbers(entries: Sequence[int]) -> str:
    """Write entry numbers, those that follow one another as from the first to the last; the header goes without."""
    runs: list[list[int]] = []
    for seq in entries:
        if runs and seq == runs[-1][-1] + 1:
            runs[-1].append(seq)
        else:
            runs.append([seq])
    parts = (str(run[0]) if len(run) == 1 else f"{run[0]}{'-' if len(run) > 2 else ', '}{run[-1]}" for run in runs)
    return f"{'entry' if len(entries) == 1 else 'entries'} {', '.join(parts)}"


def _item(case: Case, name: str, canal: int) -> Item:
    """Tell where the record stands with an item."""
    one = ITEMS[name]
    blank = Item(name, one.label, canal, State.UNTOLD)
    if one.own:
        return own_item(case, blank)
    if canal != TOOTH and (why := _no_place(case, one, canal)) is not None:
        return replace(blank, state=State.NOT_APPLICABLE, why=why[0], entries=rests_on(why[1]))
    found = asked_item(case, one, blank)
    if name == "patient_told":
        return of_incidents(case, found)
    return _carried_item(case, found) if canal != TOOTH else found


def _no_place(case: Case, one: Held, canal: int) -> tuple[str, tuple[int, ...]] | None:
    """Say why an item has no place in a canal, by how that ended, and what says so."""
    told, state = case.told, case.told.canals[canal]
    outcome = outcome_of(told, canal)
    if ended_earlier(case, canal) and state.carried is not None:
        return "ended at the earlier visit", (state.carried.seq,)
    if outcome == NOT_TREATED:
        stated = told.role("outcome", canal)
        return "not treated", (stated.seq,) if stated is not None else ()
    if one.of and outcome == JOINS:
        joins = [entry.seq for entry in case.entries if isinstance(entry, Joined | Carried) and entry.canal == canal]
        return f"joins {canal_name(case, state.joins or TOOTH)}", tuple(joins[-1:])
    if one.of == "filled" and state.fill is None:
        return "not filled", (0,)
    if one.of == "not_filled" and outcome in (FILLED, FILLED_OUTSIDE) and state.fill is not None:
        return "filled", (state.fill.seq,)
    return None


def _carried_item(case: Case, found: Item) -> Item:
    """Take in what an earlier visit brought and is in force; a length that is void is none."""
    canal = case.told.canals[found.canal]
    if found.item == "length" and found.state is State.PRESENT:
        if canal.length is None:
            where = places(case, marked(case, ITEMS[found.item].role, found.item))
            return replace(found, state=State.ABSENT, why="none is in force", where=where)
        return replace(found, entries=(canal.length.seq,))
    if found.item == "last_file" and found.state is not State.PRESENT:
        declared = master_file(case.told, found.canal)
        if declared is not None:
            return Item(found.item, found.label, found.canal, State.PRESENT, (declared[0].seq,), "at the earlier visit")
    carried = canal.carried
    if found.item == "reference_point" and found.state is not State.PRESENT and carried and carried.reference:
        return Item(found.item, found.label, found.canal, State.PRESENT, (carried.seq,), "at the earlier visit")
    return found
