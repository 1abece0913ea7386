"""Taking in what canals bring along from an earlier session, and what today's length and reference point make of it.

`CarriedCanal` in the facts says what each part means today; `carry` makes these entries from the earlier session.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from stepper.case.order import place_of
from stepper.facts.entries import Carried
from stepper.facts.state import Canal, Carry, Fact, FileUse, Fill, Place, View
from stepper.facts.values import Size
from stepper.kinds.outcome import ENDED

MASTER = "master_apical_file"
"""The role of the master apical file."""


def bring(view: View, entries: Sequence[Carried]) -> None:
    """Take what canals bring along into a view in which nothing else is yet."""
    first: dict[int, Carried] = {}
    for entry in entries:
        first.setdefault(entry.canal, entry)
    for entry in first.values():
        view.canals[entry.canal] = _canal(entry)
        if entry.master is not None:
            size = Size(size=entry.master.size, taper=entry.master.taper, stock=entry.master.stock)
            view.by_role[(MASTER, entry.canal)] = Fact(size, entry.seq, place_of(entry, ()), MASTER)
    for entry in first.values():
        if entry.joins is not None and entry.joins.into in first:
            view.canals[entry.canal].joins = entry.joins.into
            view.canals[entry.canal].join_at_mm = entry.joins.at_mm


def settle_length(view: View, canal: Canal) -> None:
    """Hold the first length agreed today against the carried one: the same is confirmed, another is measured anew."""
    carried = canal.carried
    if carried is None or carried.mm is None or canal.length is None:
        return
    if canal.length.mm == carried.mm:
        canal.length = replace(canal.length, anew=carried.place)
    else:
        _void_master(view, canal, carried)
    carried.mm = None


def leave_point(view: View, canal: Canal, agreed: Place) -> None:
    """Void what was measured from the reference point of an earlier session; `agreed` is where today's length was."""
    carried = canal.carried
    if carried is None:
        return
    carried.mm = None
    carried.files = [replace(use, absolute_mm=None) for use in carried.files]
    _void_master(view, canal, carried)
    if canal.length is not None and canal.length.anew == carried.place:
        canal.length = replace(canal.length, anew=agreed)


def _void_master(view: View, canal: Canal, carried: Carry) -> None:
    declared = view.by_role.get((MASTER, canal.number))
    if declared is not None and declared.seq == carried.seq:
        del view.by_role[(MASTER, canal.number)]


def _canal(entry: Carried) -> Canal:
    place = place_of(entry, ())
    files = [
        FileUse(
            one.size, one.taper, one.short_mm, one.absolute_mm, one.purpose, place, entry.seq, one.stock, one.against
        )
        for one in entry.files
    ]
    outcome = entry.outcome if entry.outcome in ENDED else None
    mm = entry.length.mm if entry.length is not None else None
    reference = entry.reference.value if entry.reference is not None else None
    canal = Canal(entry.canal, entry.name, carried=Carry(entry.seq, place, outcome, mm, reference, files))
    if entry.fill is not None:
        canal.fill = Fill(entry.seq, entry.fill.gate_open)
    return canal
