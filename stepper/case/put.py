"""Putting facts into a view: the rows, what stands latest, and each canal's evidence."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from stepper.facts.state import Canal, Fact, FileUse, Fill, Length, Place, Rinse, Row, View
from stepper.facts.values import Choice, Instrument, Number, Value
from stepper.kinds.tables import Solution
from stepper.protocol.models import Protocol, Step


@dataclass(frozen=True, slots=True)
class Event:
    """Facts of one entry as they enter a view. `anew`: the world has changed, as a measured-anew correction says."""

    step: str
    canal: int
    row: int
    values: Mapping[str, Value]
    seqs: Mapping[str, int]
    place: Place
    outside: bool
    anew: bool
    fill_open: bool


def put(protocol: Protocol, view: View, event: Event) -> Row | None:
    """Put an event's facts into a view and give the row they went into, or None where the protocol has no such step."""
    step = protocol.by_step.get(event.step)
    if step is None:
        return None
    row = _row(view, event)
    row.outside = row.outside or event.outside
    for name, value in event.values.items():
        question = step.asked(name)
        fact = Fact(value, event.seqs[name], event.place, question.role if question else None)
        row.facts[name] = fact
        view.latest[(f"{event.step}.{name}", event.canal)] = fact
        if fact.role is not None:
            view.by_role[(fact.role, event.canal)] = fact
            _evidence(view, event, fact)
        if question is not None and question.role == "canals" and isinstance(value, Choice):
            labels = {option.id: option.label for option in question.options_of(protocol)}
            _name_canals(view, [labels.get(option, option) for option in value.options])
    _file(view, row)
    _rinse(protocol, view, row)
    _touch(view, step, event, row)
    return row


def add_canal(view: View, number: int, name: str) -> None:
    """Add a canal, unless its number is taken."""
    view.canals.setdefault(number, Canal(number, name))


def joined(view: View, canal: int) -> tuple[int, ...]:
    """Give the canals that join with a canal, itself first: what happens in the shared part happens to all."""
    mine = view.canals.get(canal)
    if mine is None:
        return (canal,)
    together = {canal}
    while more := {
        one.number
        for one in view.canals.values()
        if one.number not in together
        and (one.joins in together or any(view.canals[n].joins == one.number for n in together))
    }:
        together |= more
    return (canal, *sorted(together - {canal}))


def _row(view: View, event: Event) -> Row:
    rows = view.rows.setdefault((event.step, event.canal), [])
    found = next((row for row in reversed(rows) if row.number == event.row), None)
    if found is None:
        found = Row(event.step, event.canal, event.row)
        rows.append(found)
        rows.sort(key=lambda row: row.number)
    return found


def _evidence(view: View, event: Event, fact: Fact) -> None:
    """Take in the facts that a whole canal goes by."""
    canal = view.canals.get(event.canal)
    if canal is None:
        return
    if fact.role == "working_length" and not event.outside:
        canal.length = Length(fact.value.value, fact.seq, event.place) if isinstance(fact.value, Number) else None
    elif fact.role == "reference" and event.anew:
        _void_length(canal)
    elif fact.role == "fill":
        canal.fill = None if fact.absent else Fill(fact.seq, event.fill_open)


def _name_canals(view: View, names: list[str]) -> None:
    """Give canals their numbers in the order named; one that is there already keeps its own."""
    known = {canal.name for canal in view.canals.values()}
    for name in names:
        if name not in known:
            add_canal(view, max(view.canals, default=0) + 1, name)


def _void_length(canal: Canal) -> None:
    """Void the length and every depth measured from a reference point that broke."""
    canal.length = None
    for key, use in canal.file_rows.items():
        canal.file_rows[key] = replace(use, absolute_mm=None)


def _file(view: View, row: Row) -> None:
    """Keep the file of a row; while its purpose is not said it counts as having cut."""
    canal, fact = view.canals.get(row.canal), row.get("file")
    if canal is None:
        return
    if fact is None or not isinstance(fact.value, Instrument):
        canal.file_rows.pop((row.step, row.number), None)
        return
    value = fact.value
    purpose = next(iter(row.options("purpose")), "cut")
    absolute = canal.length.mm - value.short_mm if canal.length is not None else None
    before = canal.file_rows.get((row.step, row.number))
    if before is not None and before.seq == fact.seq:
        absolute = before.absolute_mm
    canal.file_rows[(row.step, row.number)] = FileUse(
        value.size, value.taper, value.short_mm, absolute, purpose, fact.place, fact.seq, value.stock, row.outside
    )


def _rinse(protocol: Protocol, view: View, row: Row) -> None:
    canal, fact = view.canals.get(row.canal), row.get("irrigant")
    if canal is None:
        return
    item = protocol.by_id(fact.value.options[0]) if fact is not None and isinstance(fact.value, Choice) else None
    if fact is None or item is None:
        canal.rinse_rows.pop((row.step, row.number), None)
        return
    family = item.family if isinstance(item, Solution) else item.id
    canal.rinse_rows[(row.step, row.number)] = Rinse(item.id, family, fact.place, fact.seq, row.outside)


def _touch(view: View, step: Step, event: Event, row: Row) -> None:
    """Note that something happened in a step, for the steps that rest on it; joined canals are touched together."""
    telling = {question.id for question in step.question if question.evidence}
    names = set(event.values) & telling if telling else set(event.values)
    if not names:
        return
    seq = max(event.seqs[name] for name in names)
    purpose = next(iter(row.options("purpose")), "cut" if row.get("file") else "")
    tags = [step.id, *([f"{step.id}.{purpose}"] if purpose else [])]
    for canal in _touched(view, event.canal, row):
        for tag in tags:
            view.touched[(tag, canal)] = max((event.place, seq), view.touched.get((tag, canal), ((-1, 0, 0), 0)))


def _touched(view: View, canal: int, row: Row) -> Iterable[int]:
    """Give the canals an act reaches: a rinse runs into all that join, a file as far as it went past the join."""
    shared = joined(view, canal)
    if len(shared) == 1 or row.get("irrigant") is not None:
        return shared
    use = view.canals[canal].file_rows.get((row.step, row.number))
    if use is None:
        return (canal,)
    meets = next((view.canals[one].join_at_mm for one in shared if view.canals[one].join_at_mm is not None), None)
    reaches = use.absolute_mm is None or meets is None or use.absolute_mm >= meets
    return shared if reaches else (canal,)
