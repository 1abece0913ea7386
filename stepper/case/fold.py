"""The fold: entries into a case, one at a time.

In order, an entry costs the same however long the log is; a late entry, a correction or a spoken yes folds again from
the start, since it changes what stood before.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import replace
from itertools import chain

from stepper.case import alarms
from stepper.case.carried import bring
from stepper.case.gate import shut
from stepper.case.judge import row_remarks
from stepper.case.order import overtakes, place_of
from stepper.case.put import Event, name_canals, put
from stepper.case.state import Case
from stepper.case.take import mark, take
from stepper.facts.entries import (
    Answer,
    AnyEntry,
    CanalFound,
    Carried,
    Confirm,
    Correction,
    Held,
    Joined,
    Open,
    Overruled,
    StepDone,
)
from stepper.facts.state import Place, View
from stepper.facts.values import Absent, Digits
from stepper.kinds.touched import NEVER
from stepper.protocol.models import Protocol

_AS_KEYED: Mapping[str, int] = {}


def begin(protocol: Protocol, header: Open) -> Case:
    """Start a case from its header."""
    view = _blank(header)
    case = Case(protocol, header, view, view)
    case.keyed_by = header.by
    case.entries.append(header)
    case.places[0] = (0, 0, 0)
    return case


def fold(protocol: Protocol, entries: Iterable[AnyEntry]) -> Case:
    """Fold a log from its header on."""
    first, *rest = entries
    if not isinstance(first, Open):
        raise ValueError("a session opens with its header")
    case = begin(protocol, first)
    for entry in rest:
        _take_in(case, entry)
    _catch_up(case)
    return case


def apply(case: Case, entry: AnyEntry) -> None:
    """Take in the next entry."""
    _take_in(case, entry)
    _catch_up(case)


def _take_in(case: Case, entry: AnyEntry) -> None:
    """Take in an entry, and leave the views behind where it changes what stood before: one folding does for several."""
    case.places[entry.seq] = place_of(entry, case.entries)
    case.fill_said = case.fill_said or _may_fill(case, entry)
    known = set(case.told.canals)
    if isinstance(entry, Answer):
        _answer(case, entry)
    else:
        _other(case, entry)
    new = case.told.canals.keys() - known
    if new and _spoken_of(case, new):
        case.behind = True  # something was said of a canal before it was named
    case.told.judged = case.sure.judged = None


def _spoken_of(case: Case, canals: Set[int]) -> bool:
    joins = (one for one in case.entries if isinstance(one, Joined))
    joined = (number for one in joins for number in (one.canal, one.into))
    return any(number in canals for number in chain((canal for _, canal in case.told.rows), joined))


def _catch_up(case: Case) -> None:
    """Fold again from the start what is behind."""
    _catch_up_told(case)
    if case.unsure:
        case.unsure = False
        case.sure = _folded(case, sure=True) if case.unconfirmed else case.told


def _catch_up_told(case: Case) -> None:
    """Fold only what was told; what is sure is not asked for at every entry."""
    if case.behind:
        case.behind, case.unsure = False, True
        case.told = _folded(case, sure=False)


def _may_fill(case: Case, entry: AnyEntry) -> bool:
    if isinstance(entry, Answer | Correction):
        return not case.protocol.fills.isdisjoint(entry.values)
    return isinstance(entry, Carried)


def _other(case: Case, entry: AnyEntry) -> None:
    if isinstance(entry, Correction) and entry.how == "keyed_wrong":
        case.keyed_wrong.add(entry.seq)
    elif isinstance(entry, Correction) and _after_fill(case, answered(case, entry)):
        case.late.add(entry.seq)
    case.entries.append(entry)
    take(case, entry)
    if isinstance(entry, Correction | Carried | Overruled) or (isinstance(entry, Held) and entry.drops):
        case.behind = True
    elif isinstance(entry, Confirm):
        case.unsure = True
        case.behind = case.behind or case.told.header_unconfirmed


def answered(case: Case, entry: Answer | Correction) -> Answer | None:
    """Give the answer that an entry belongs to, through corrections of corrections."""
    while isinstance(entry, Correction):
        below = case.entries[entry.of] if 0 < entry.of < entry.seq else None
        if not isinstance(below, Answer | Correction):
            return None
        entry = below
    return entry


def _blank(header: Open) -> View:
    return View(header.patient, header.tooth, header_place=NEVER)


def _answer(case: Case, entry: Answer) -> None:
    if _is_fill(case, entry):
        _catch_up(case)
        case.fills[entry.seq] = _fill_open(case, entry)
    if overtakes(entry, case.places, case.entries) or _after_fill(case, entry):
        case.late.add(entry.seq)
    _count_misses(case, entry)
    case.entries.append(entry)
    if entry.seq in case.late or entry.ago_min:
        case.behind = True
    event = _event(case, entry, {}) if not case.behind else None
    if event is not None:
        for view in case.views:
            _put(case, view, event)


def _is_fill(case: Case, entry: Answer) -> bool:
    step = case.protocol.by_step.get(entry.step)
    if step is None:
        return False
    fills = [question.id for question in step.question if question.role == "fill" and question.id in entry.values]
    return any(not isinstance(entry.values[name], Absent) for name in fills)


def _after_fill(case: Case, answer: Answer | None) -> bool:
    """Tell whether what a fill rested on, by the order of the steps, is being keyed after that fill."""
    if not case.fill_said:
        return False
    _catch_up_told(case)
    canal = case.told.canals.get(answer.canal) if answer is not None else None
    if answer is None or canal is None or canal.fill is None or isinstance(case.entries[canal.fill.seq], Carried):
        return False
    order = [one.id for one in case.protocol.step]
    fill = next(one.id for one in case.protocol.step if any(question.role == "fill" for question in one.question))
    return answer.step in order and order.index(answer.step) < order.index(fill)


def _fill_open(case: Case, entry: Answer) -> bool:
    """Judge the gate at the moment the fill is logged, and also where it is said to have happened."""
    if entry.outside or shut(case, entry.canal):
        return False
    if not entry.ago_min:
        return True
    place = case.places[entry.seq]
    told, sure = _folded(case, sure=False, before=place), _folded(case, sure=True, before=place)
    return not shut(replace(case, told=told, sure=sure), entry.canal)


def _count_misses(case: Case, entry: Answer) -> None:
    step = case.protocol.by_step.get(entry.step)
    for name, value in entry.values.items():
        question = step.asked(name) if step is not None else None
        if question is None or question.role not in alarms.CHECKS or not isinstance(value, Digits):
            continue
        _catch_up_told(case)
        if alarms.differs(case.told, question.role, value.value):
            key = f"{entry.step}.{name}"
            case.misses[key] = case.misses.get(key, 0) + 1


def _put(case: Case, view: View, event: Event) -> None:
    row = put(case.protocol, view, event)
    if row is None:
        return
    act = row.get("file") is not None or row.get("irrigant") is not None
    for key in [key for key in view.row_remarks if key[1:] == (row.step, row.canal, row.number)]:
        if not (act and event.anew):  # what was done stays done, and what was asked about it stays asked
            del view.row_remarks[key]
    for name, remark in row_remarks(case, view, row).items():
        view.row_remarks[(name, row.step, row.canal, row.number)] = remark


def _folded(case: Case, *, sure: bool, before: Place | None = None) -> View:
    """Fold the entries into a fresh view, in the order of their places; `before` leaves out facts from there on.

    A keyed-wrong correction says what a fact was all along, so it counts whenever it was keyed.
    """
    view = _blank(case.header)
    wrong = _keyed_wrong(case, sure=sure)
    _header(case, view, wrong)
    bring(view, [one for one in case.entries if isinstance(one, Carried)])
    ordered = sorted(case.entries, key=lambda one: case.places[one.seq])
    counted = [one for one in ordered if not (sure and one.seq in case.late and one.seq not in case.confirmed)]
    acting = [one for one in counted if not isinstance(one, Correction) or one.how == "measured_anew"]

    def events() -> Iterator[tuple[AnyEntry, Event | None]]:  # made twice: all at once are as large as the view
        for one in acting:
            event = _event(case, one, wrong) if isinstance(one, Answer | Correction) else None
            yield one, event if event is not None and (before is None or event.place < before) else None

    for entry, event in events():  # a fact keyed late can stand before its canal was named: it was there all the same
        if event is not None:
            name_canals(case.protocol, view, event)
        elif isinstance(entry, CanalFound):
            mark(case, view, entry)
    for entry, event in events():
        if event is not None:
            _put(case, view, event)
        elif isinstance(entry, StepDone | Joined):
            mark(case, view, entry)
    return view


def _keyed_wrong(case: Case, *, sure: bool) -> dict[int, list[Correction]]:
    """Give the keyed-wrong corrections by the entry that they come down to, oldest first."""
    found: dict[int, list[Correction]] = {}
    for entry in case.entries:
        if not isinstance(entry, Correction) or entry.how != "keyed_wrong" or entry.of >= entry.seq:
            continue
        if not sure or entry.of == 0 or entry.seq in case.confirmed:
            found.setdefault(case.root(entry.of), []).append(entry)
    return found


def _header(case: Case, view: View, wrong: dict[int, list[Correction]]) -> None:
    """Put the last word on patient and tooth into a view; each waits for the yes to the correction that said it."""
    said: dict[str, int] = {}
    for correction in wrong.get(0, []):
        for name, value in correction.values.items():
            if isinstance(value, Digits) and name in ("patient", "tooth"):
                setattr(view, name, value.value)
                said[name] = correction.seq
        view.header_place = case.places[correction.seq]
    view.header_unconfirmed = any(seq not in case.confirmed for seq in said.values())


def _event(case: Case, entry: Answer | Correction, wrong: dict[int, list[Correction]]) -> Event | None:
    """Make an entry's event, with the values that keyed-wrong corrections put in the place of its own."""
    target = answered(case, entry)
    if target is None:
        return None
    if (target.step, target.canal, target.row) in case.dropped and entry.seq not in case.fills:
        return None
    values, said_by = entry.values, _AS_KEYED
    for correction in wrong.get(entry.seq, []):
        values = {**values, **correction.values}
        said_by = {**said_by, **dict.fromkeys(correction.values, correction.seq)}
    return Event(
        target.step,
        target.canal,
        target.row,
        values,
        entry.seq,
        case.places[entry.seq],
        target.outside or (target.step, target.canal, target.row) in case.overruled,
        isinstance(entry, Correction),
        case.fills.get(entry.seq, False),
        said_by,
    )
