"""Putting facts into a view: the rows, what stands latest, and each canal's evidence."""

from __future__ import annotations

from bisect import insort
from collections.abc import Mapping
from dataclasses import dataclass

from msgspec.structs import replace

from stepper.case.carried import leave_point, settle_length
from stepper.facts.state import Canal, Fact, FileUse, Fill, Length, Place, Rinse, Row, Tally, View, joined, reached
from stepper.facts.values import Choice, Instrument, Number, Value
from stepper.kinds.tables import Solution
from stepper.protocol.models import Protocol, Step

GAUGING = frozenset({"file", "purpose", "gauge_file", "gauge_held", "working_length", "reference", "apex"})
"""The roles that what gauging comes to rests on."""


@dataclass(frozen=True, slots=True)
class Event:
    """Facts of one entry as they enter a view. `anew`: the world has changed, as a measured-anew correction says.

    `said_by` are the keyed-wrong corrections that some of them come from, by the question.
    """

    step: str
    canal: int
    row: int
    values: Mapping[str, Value]
    seq: int
    place: Place
    outside: bool
    anew: bool
    fill_open: bool
    said_by: Mapping[str, int]

    def seq_of(self, name: str) -> int:
        """Give the entry that says a fact: this one, or the correction of it."""
        return self.said_by.get(name, self.seq)


def put(protocol: Protocol, view: View, event: Event) -> Row | None:
    """Put an event's facts into a view and give the row they went into, or None where the protocol has no such step."""
    step = protocol.by_step.get(event.step)
    if step is None:
        return None
    name_canals(protocol, view, event)
    row = _row(view, event)
    row.outside = row.outside or event.outside
    asked = {name: step.asked(name) for name in event.values}
    purposed = bool(row.options("purpose"))
    moved = any(question is not None and question.role == "reference" for question in asked.values())
    reference = _reference(view, event) if moved else None
    for name, value in event.values.items():
        question = asked[name]
        fact = Fact(value, event.seq_of(name), event.place, question.role if question else None)
        view.keep(row, name, fact)
        view.latest[(f"{event.step}.{name}", event.canal)] = fact
        if fact.role is not None:
            view.by_role[(fact.role, event.canal)] = fact
            _evidence(view, event, row, fact, reference)
            if fact.role in GAUGING:
                for canal in joined(view, event.canal):
                    view.gauging.pop(canal, None)
    view.tallies.setdefault((row.step, row.canal), Tally()).take(row)
    _file(view, row, event, purposed)
    _rinse(protocol, view, row)
    _touch(view, step, event)
    return row


def add_canal(view: View, number: int, name: str) -> None:
    """Add a canal, unless its number is taken."""
    view.canals.setdefault(number, Canal(number, name))


def name_canals(protocol: Protocol, view: View, event: Event) -> None:
    """Give canals their numbers in the order named; one that is there already keeps its own."""
    step = protocol.by_step.get(event.step)
    for question in step.question if step is not None else ():
        value = event.values.get(question.id)
        if question.role != "canals" or not isinstance(value, Choice):
            continue
        labels = {option.id: option.label for option in question.options_of(protocol)}
        for option in value.options:
            name = labels.get(option, option)
            if name not in {canal.name for canal in view.canals.values()}:
                add_canal(view, max(view.canals, default=0) + 1, name)


def _row(view: View, event: Event) -> Row:
    rows = view.rows.setdefault((event.step, event.canal), [])
    found = view.row(event.step, event.canal, event.row)
    if found is None:
        found = Row(event.step, event.canal, event.row)
        insort(rows, found, key=lambda row: row.number)
    return found


def reference_of(view: View, canal: int) -> Fact | None:
    """Give the reference point that a canal is measured from, if one was said today."""
    facts = [row.get("reference") for row in view.rows_with("reference", canal)]
    return max((fact for fact in facts if fact is not None), key=lambda fact: fact.place, default=None)


def _reference(view: View, event: Event) -> Value | None:
    """Give the reference point that a canal was measured from before an event, today or at an earlier visit."""
    said, canal = reference_of(view, event.canal), view.canals.get(event.canal)
    if said is not None:
        return said.value
    return canal.carried.reference if canal is not None and canal.carried is not None else None


def _evidence(view: View, event: Event, row: Row, fact: Fact, reference: Value | None) -> None:
    """Take in the facts that a whole canal goes by."""
    canal = view.canals.get(event.canal)
    if canal is None:
        return
    if fact.role == "working_length" and not event.outside:
        canal.length = Length(fact.value.value, fact.seq, event.place) if isinstance(fact.value, Number) else None
        settle_length(view, canal)
    elif fact.role == "reference" and (event.anew or (reference and not fact.absent and reference != fact.value)):
        _void_depths(view, canal, event, row)
        retouch(view)
    elif fact.role == "fill" and not fact.absent:
        canal.fill = _filled(canal.fill, event, fact)


def _filled(before: Fill | None, event: Event, fact: Fact) -> Fill:
    """Give the fill after one more word of it: a second one was through a shut gate, measured anew is no second one."""
    if before is not None and event.anew:
        return before
    return Fill(fact.seq, event.fill_open and (before is None or before.gate_open))


def _void_depths(view: View, canal: Canal, event: Event, row: Row) -> None:
    """Void every depth from a reference point that broke or was left, and the length unless it is from the new one."""
    agreed = next((fact for fact in row.facts.values() if fact.role == "working_length"), None)
    new = agreed is not None and (agreed.place == event.place or not event.anew)
    if canal.length is not None and not (new and agreed is not None and agreed.seq == canal.length.seq):
        canal.length = None
    leave_point(view, canal, agreed.place if agreed is not None else event.place)
    for key, use in canal.file_rows.items():
        canal.file_rows[key] = replace(use, absolute_mm=None)


def _file(view: View, row: Row, event: Event, purposed: bool) -> None:
    """Keep the file of a row by the entry that said it; while its purpose is not said it counts as having cut.

    A file or a purpose that is said once more, or measured anew, is one more use: what was in the canal was in it.
    """
    canal, fact = view.canals.get(row.canal), row.get("file")
    if canal is None or fact is None or not isinstance(fact.value, Instrument):
        return
    purpose = next((one for one in row.facts.values() if one.role == "purpose"), None)
    named = {one.role for name, one in row.facts.items() if name in event.values}
    once_more = "purpose" in named and "file" not in named and (event.anew or purposed)
    said = fact
    if purpose is not None and purpose.place > fact.place and (once_more or (row.step, purpose.seq) in canal.file_rows):
        said = purpose
    absolute = canal.length.mm - fact.value.short_mm if canal.length is not None else None
    before = canal.file_rows.get((row.step, said.seq)) or canal.file_rows.get((row.step, fact.seq))
    use = FileUse(
        fact.value.size,
        fact.value.taper,
        fact.value.short_mm,
        before.absolute_mm if before is not None else absolute,
        next(iter(row.options("purpose")), "cut"),
        said.place,
        said.seq,
        fact.value.stock,
        row.outside,
    )
    canal.file_rows[(row.step, said.seq)] = use
    if before is not None and before.seq == use.seq and before.purpose != use.purpose:
        retouch(view)
    _touch_use(view, row.canal, row.step, use)


def _rinse(protocol: Protocol, view: View, row: Row) -> None:
    """Keep the irrigant of a row by the entry that said it: one measured anew is one more."""
    canal, fact = view.canals.get(row.canal), row.get("irrigant")
    item = protocol.by_id(fact.value.options[0]) if fact is not None and isinstance(fact.value, Choice) else None
    if canal is None or fact is None or item is None:
        return
    family = item.family if isinstance(item, Solution) else item.id
    use = Rinse(item.id, family, fact.place, fact.seq, row.outside)
    canal.rinse_rows[(row.step, fact.seq)] = use
    _touch_use(view, row.canal, row.step, use)


ACTS = frozenset({"file", "purpose", "irrigant"})
"""The roles of what was in a canal: it reopens by what was in it, not by what was said of it."""


def _touch(view: View, step: Step, event: Event) -> None:
    """Note that something was said in a step, for the steps that rest on it."""
    roles = {question.id: question.role for question in step.question}
    telling = {question.id for question in step.question if question.evidence} or set(event.values)
    names = {name for name in set(event.values) & telling if roles.get(name) not in ACTS}
    if names:
        _mark_touched(view, step.id, event.canal, event.place, max(map(event.seq_of, names)))


def retouch(view: View) -> None:
    """Note once more what every file and irrigant reached: a canal joins another, or a purpose was said afterwards."""
    view.gauging.clear()
    for tag in [tag for tag in view.touched if "." in tag[0]]:
        del view.touched[tag]
    for number, canal in view.canals.items():
        for (step, _), file in canal.file_rows.items():
            _touch_use(view, number, step, file)
        for (step, _), rinse in canal.rinse_rows.items():
            _touch_use(view, number, step, rinse)


def _touch_use(view: View, number: int, step: str, use: FileUse | Rinse) -> None:
    """Note that something was in a canal; the canals that join it are touched as far as it reached them."""
    for canal in reached(view, number, use):
        _mark_touched(view, step, canal, use.place, use.seq)
        if isinstance(use, FileUse):
            _mark_touched(view, f"{step}.{use.purpose}", canal, use.place, use.seq)


def _mark_touched(view: View, tag: str, canal: int, place: Place, seq: int) -> None:
    view.touched[(tag, canal)] = max((place, seq), view.touched.get((tag, canal), ((-1, 0, 0), 0)))
