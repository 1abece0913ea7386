"""Bugs planted in the program on purpose, each of a kind that has a name: the walk has to notice every one.

with PLANTED["a rinse through a joined canal reopens nothing"]():
    assert run(20_000, 1, stop_at=1).violations
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any
from unittest.mock import patch

from stepper.case import alarms, carried, fit, fold, gate, put
from stepper.case.judge import unanswered
from stepper.case.state import Case
from stepper.facts.entries import AnyEntry, Carried, Close, Correction, Departure, Incident
from stepper.facts.entry import Entry
from stepper.facts.state import Canal, Fill, Length, Row, View
from stepper.facts.values import Choice
from stepper.kinds.touched import NEVER

Planting = Callable[[], Any]


def _instead(where: object, name: str, new: Callable[..., Any]) -> Planting:
    """Put something else in the place of a function; `new` gets the old one first."""
    old = getattr(where, name)
    return lambda: patch.object(where, name, lambda *args, **named: new(old, *args, **named))


def _confirmed(which: Callable[[Case], set[int]]) -> Planting:
    def folded(old: Callable[..., View], case: Case, **named: Any) -> View:
        return old(replace(case, confirmed=case.confirmed | which(case)), **named)

    return _instead(fold, "_folded", folded)


def _wrong(case: Case) -> set[int]:
    return {one.seq for one in case.entries if isinstance(one, Correction) and one.how == "keyed_wrong"}


def _carried(change: Callable[[Canal, Carried], None]) -> Planting:
    def canal(old: Callable[[Carried], Canal], entry: Carried) -> Canal:
        found = old(entry)
        change(found, entry)
        return found

    return _instead(carried, "_canal", canal)


def _length_counts(canal: Canal, entry: Carried) -> None:
    if entry.length is not None:
        canal.length = Length(entry.length.mm, entry.seq, (0, 0, entry.seq))


def _fill_forgotten(canal: Canal, entry: Carried) -> None:  # noqa: ARG001 - it is whatever was carried
    canal.fill = None


def _same_length(old: Callable[..., None], view: View, canal: Canal) -> None:
    if canal.carried is not None and canal.carried.mm is not None and canal.length is not None:
        canal.carried.mm = canal.length.mm
    old(view, canal)


def _length_as_before(old: Callable[..., Any], protocol: object, view: View, event: put.Event) -> Any:
    """Keep where the length was measured, though it was measured anew."""
    canal = view.canals.get(event.canal)
    before = canal.length if canal is not None else None
    row = old(protocol, view, event)
    if canal is not None and before is not None and canal.length is not None and event.anew:
        canal.length = replace(canal.length, anew=before.anew)
    return row


def _taking(kind: type[AnyEntry], act: Callable[[Case], None]) -> Planting:
    def take(old: Callable[..., None], case: Case, entry: AnyEntry) -> None:
        old(case, entry)
        if isinstance(entry, kind):
            act(case)

    return _instead(fold, "take", take)


def _all_confirmed(case: Case) -> None:
    case.confirmed |= set(case.unconfirmed)
    case.behind = True
    fold._catch_up(case)


def _all_passed(case: Case) -> None:
    stamp = {name: getattr(case.entries[-1], name) for name in Entry.__struct_fields__}
    for canal in case.told.canals:
        for one in unanswered(case, case.told, canal):
            case.departures[one.key] = Departure(**stamp, remark=one.key, reason="", said_by=1)


def _dam_ever_on(old: object, view: View, row: object = None) -> bool:  # noqa: ARG001 - it is asked as the gate asks it
    facts = [fact for rows in view.rows.values() for one in rows for fact in one.facts.values() if fact.role == "dam"]
    return any(isinstance(fact.value, Choice) and fact.value.options == ("on",) for fact in facts)


def _only_today() -> Any:
    return patch.object(Canal, "kinds_of_files", property(lambda canal: canal.file_rows.firsts))


@contextmanager
def _no_step_back() -> Iterator[None]:
    """A second fill is as good as the first, whatever the gate said of it."""
    with patch.object(put, "_filled", lambda before, event, fact: Fill(fact.seq, _once_open(before, event))):
        yield


def _once_open(before: Fill | None, event: put.Event) -> bool:
    return event.fill_open or (before is not None and before.gate_open)


def _first_row(old: object, view: View, canal: int, roles: frozenset[str]) -> list[Row]:  # noqa: ARG001 - see _instead
    """Fall back on the first row and pass every later one over."""
    return sorted(fit._rows(view, canal, roles), key=lambda row: row.place)[:1]


PLANTED: dict[str, Planting] = {
    "a carried length counts as confirmed": _carried(_length_counts),
    "a carried master apical file outlives another length": _instead(put, "settle_length", _same_length),
    "a carried depth outlives its reference point": _instead(put, "leave_point", lambda *_: None),
    "a file of an earlier visit is forgotten": _only_today,
    "a fill of an earlier visit is forgotten": _carried(_fill_forgotten),
    "a rinse through a joined canal reopens nothing": _instead(gate, "joined", lambda _, __, canal: (canal,)),
    "a file in the shared part reopens nothing": _instead(put, "reached", lambda _, __, number, *___: (number,)),
    "a late entry opens a gate without the yes": _confirmed(lambda case: case.late),
    "a keyed-wrong correction opens a gate without the yes": _confirmed(_wrong),
    "an ask that is owed counts as answered": _instead(
        gate,
        "unanswered",
        lambda old, case, view, canal: [one for one in old(case, view, canal) if one.key not in case.owed],
    ),
    "an ask of the tooth shuts no canal": _instead(
        gate, "unanswered", lambda old, case, view, canal: [one for one in old(case, view, canal) if one.canal]
    ),
    "the dam stays on once it was on": _instead(gate, "dam_on", _dam_ever_on),
    "an altered header leaves the time-out as it was": _instead(alarms, "stale", lambda *_: False),
    "an earlier good fit or drying is fallen back on": _instead(gate, "last_rows", _first_row),
    "a rinse does not reopen the drying": _instead(gate, "_last_rinse", lambda *_: NEVER),
    "only a cut reopens the drying": _instead(gate, "last_touch", lambda old, view, canal, *_: old(view, canal, "cut")),
    "a broken reference point leaves the depths": _instead(put, "_void_depths", lambda *_: None),
    "a length measured anew is no new one": _instead(fold, "put", _length_as_before),
    "a fact outside the chain counts": _instead(
        fold, "_event", lambda old, *args: replace(found, outside=False) if (found := old(*args)) else None
    ),
    "a row that was given up stays evidence": _instead(
        fold, "_event", lambda old, case, *args: old(replace(case, dropped=set()), *args)
    ),
    "a row whose stop was overruled counts": _instead(
        fold, "_event", lambda old, case, *args: old(replace(case, overruled=set()), *args)
    ),
    "a fill some minutes ago is judged as of now": _instead(
        fold, "_fill_open", lambda _, case, entry: not entry.outside and not gate.shut(case, entry.canal)
    ),
    "a fill through a shut gate counts": _instead(fold, "_fill_open", lambda _, __, entry: not entry.outside),
    "a second fill is as good as the first": _no_step_back,
    "closing confirms what waits": _taking(Close, _all_confirmed),
    "an incident passes the asks": _taking(Incident, _all_passed),
}
"""Each planted bug, by what it does."""
