"""What the canals of a session bring along to the next visit.

What would open a gate there is carried over only where the clinician has confirmed it: where the two readings of the
record, told and sure, say the same. What can only shut one (a fill, a file that was in the canal) is carried in either
case. Both ways, `left_out` says so in plain words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from msgspec.structs import replace

from stepper.case.carry_said import UNCONFIRMED, of_canal, of_tooth
from stepper.case.fit import declared_outside, master_file, measured_at
from stepper.case.gate import sure_of
from stepper.case.judge import unanswered
from stepper.case.put import reference_of
from stepper.case.state import Case
from stepper.facts.carried import (
    CarriedCanal,
    CarriedFile,
    CarriedFill,
    CarriedJoin,
    CarriedLength,
    CarriedMaster,
    CarriedReference,
)
from stepper.facts.state import FileUse, View
from stepper.facts.values import Choice, Text
from stepper.kinds.outcome import FINAL, JOINS, outcome_of
from stepper.kinds.words import plain
from stepper.sums.iso3630 import name

T = TypeVar("T")


def unfinished(case: Case) -> bool:
    """Tell whether a canal is left to go on with at another visit."""
    return any(outcome_of(case.told, number) not in FINAL for number in case.told.canals)


def carry(case: Case) -> tuple[CarriedCanal, ...]:
    """Give what each canal brings along, in the order of their numbers."""
    numbers = sorted(case.told.canals)
    found = tuple(_canal(case, number, more) for more, number in enumerate(reversed(numbers)))[::-1]
    return (replace(found[0], of_tooth=of_tooth(case)), *found[1:]) if found else ()


def fits(logged: tuple[CarriedCanal, ...], told: tuple[CarriedCanal, ...]) -> bool:
    """Tell whether what was carried over is what the earlier session told; files of before say nothing in words."""
    if not any(one.said or one.of_tooth for one in logged):
        told = tuple(replace(one, said=(), of_tooth=()) for one in told)
    return logged == told


@dataclass(frozen=True, slots=True)
class _Both:
    """One canal in both readings; without a sure one where the canal itself is not confirmed."""

    case: Case
    number: int

    @property
    def certain(self) -> bool:
        return sure_of(self.case, self.number)

    def told(self, read: Callable[[View, int], T | None]) -> T | None:
        return read(self.case.told, self.number)

    def sure(self, read: Callable[[View, int], T | None]) -> T | None:
        return read(self.case.sure, self.number) if self.certain else None

    def agreed(self, read: Callable[[View, int], T | None]) -> T | None:
        """Give what both readings say, if they say the same."""
        told = self.told(read)
        return told if told == self.sure(read) else None

    def differs(self, read: Callable[[View, int], T | None]) -> bool:
        return self.told(read) != self.sure(read)


def _canal(case: Case, number: int, more: int) -> CarriedCanal:
    both = _Both(case, number)
    moved = both.differs(_reference)
    return CarriedCanal(
        canal=number,
        name=case.told.canals[number].name,
        outcome=_outcome(both),
        length=None if moved else both.agreed(_length),
        reference=both.agreed(_reference),
        files=tuple(_files(both)),
        master=None if _why_no_master(both) else both.agreed(_master),
        fill=both.told(_fill) or both.sure(_fill),
        joins=both.agreed(_join),
        left_out=tuple(_left_out(both)),
        said=of_canal(case, number),
        more=more,
    )


def _length(view: View, number: int) -> CarriedLength | None:
    canal = view.canals[number]
    if canal.length is not None:
        return CarriedLength(mm=canal.length.mm, of=canal.length.seq)
    carried = canal.carried
    return CarriedLength(mm=carried.mm, of=carried.seq) if carried is not None and carried.mm is not None else None


def _reference(view: View, number: int) -> CarriedReference | None:
    said = reference_of(view, number)
    if said is not None:
        return CarriedReference(value=said.value, of=said.seq) if isinstance(said.value, Choice | Text) else None
    carried = view.canals[number].carried
    value = carried.reference if carried is not None else None
    return CarriedReference(value=value, of=carried.seq) if carried and isinstance(value, Choice | Text) else None


def _declared(view: View, number: int) -> CarriedMaster | None:
    found = master_file(view, number)
    if found is None:
        return None
    fact, size = found
    return CarriedMaster(size=size.size, taper=size.taper, stock=size.stock, of=fact.seq)


def _master(view: View, number: int) -> CarriedMaster | None:
    """Give the master apical file as it is in force; one that was carried waits for its length with that."""
    found, canal = master_file(view, number), view.canals[number]
    if found is None or declared_outside(view, number, found[0]):
        return None
    waits = canal.carried is not None and canal.carried.mm is not None and found[0].seq == canal.carried.seq
    stands = canal.length is not None and found[0].place >= measured_at(view, number)
    return _declared(view, number) if stands or waits else None


def _fill(view: View, number: int) -> CarriedFill | None:
    fill = view.canals[number].fill
    return CarriedFill(gate_open=fill.gate_open, of=fill.seq) if fill is not None else None


def _join(view: View, number: int) -> CarriedJoin | None:
    canal = view.canals[number]
    return CarriedJoin(into=canal.joins, at_mm=canal.join_at_mm) if canal.joins is not None else None


def _outcome(both: _Both) -> str | None:
    """Give how it ended; where a fill is told by one reading only, it goes by that fill, since it can only shut."""
    filled = both.told(_fill) or both.sure(_fill)
    if filled is None:
        return both.agreed(outcome_of)
    return outcome_of(both.case.told if both.told(_fill) else both.case.sure, both.number)


def _files(both: _Both) -> Iterator[CarriedFile]:
    """Give every file of either reading; one that the other does not have as it stands can only shut the gate."""
    told, sure = _uses(both.case.told, both.number), _uses(both.case.sure, both.number) if both.certain else []
    for one in (*told, *(use for use in sure if use not in told)):
        yield one if one in told and one in sure else replace(one, against=True)


def _uses(view: View, number: int) -> list[CarriedFile]:
    return [_use(one) for one in view.canals[number].files_of_all]


def _use(use: FileUse) -> CarriedFile:
    return CarriedFile(
        size=use.size,
        taper=use.taper,
        short_mm=use.short_mm,
        absolute_mm=use.absolute_mm,
        purpose=use.purpose,
        stock=use.stock,
        against=use.outside,
        of=use.seq,
    )


def _why_no_master(both: _Both) -> str:
    """Say why a master apical file that was declared is not carried over; nothing where it is, or there is none."""
    if both.told(_declared) is None and both.sure(_declared) is None:
        return ""
    if both.differs(_declared) or both.differs(_master):
        return UNCONFIRMED
    if both.told(_master) is None:
        return "it did not hold at the length agreed last"
    if both.differs(_length) or both.differs(_reference) or both.told(_length) is None:
        return "its length is not carried over"
    asks = _asked(both)
    return f"it was asked and not answered: {asks[0]}" if asks else ""


def _asked(both: _Both) -> list[str]:
    """Give the asks about the canal that nobody answered, up to the step that declares the master apical file."""
    case, order = both.case, [step.id for step in both.case.protocol.step]
    holder = next(one.id for one in case.protocol.step if any(q.role == "master_apical_file" for q in one.question))
    views = (case.told, case.sure) if both.certain else (case.told,)
    found = [one for view in views for one in unanswered(case, view, both.number) if one.canal == both.number]
    return [one.text for one in found if order.index(one.step) <= order.index(holder)]


def _left_out(both: _Both) -> Iterator[str]:
    if not both.certain:
        yield f"the canal itself: {UNCONFIRMED}"
    if both.differs(_fill):
        yield f"whether it is filled: {UNCONFIRMED}, and it counts as filled"
    elif both.differs(outcome_of):
        yield f"how it ended: {UNCONFIRMED}"
    if both.differs(_join) and not both.differs(outcome_of):
        yield f"that it {JOINS} another canal: {UNCONFIRMED}"
    if both.differs(_reference):
        yield f"reference point: {UNCONFIRMED}"
    length = both.told(_length) or both.sure(_length)
    if length is not None and (both.differs(_length) or both.differs(_reference)):
        yield f"working length {plain(length.mm)} mm: {UNCONFIRMED}"
    unsure = [one for one in _files(both) if not _counted(both, one)]
    if unsure:
        names = ", ".join(dict.fromkeys(name(one.size, one.taper) for one in unsure))
        yield f"files {names}: the clinician has not confirmed them; they can only shut the gate"
    master = both.told(_declared) or both.sure(_declared)
    why = _why_no_master(both)
    if master is not None and why:
        yield f"master apical file {name(master.size, master.taper)}: {why}"


def _counted(both: _Both, file: CarriedFile) -> bool:
    """Tell whether a file is in both readings as it stands."""
    return both.certain and file in _uses(both.case.told, both.number) and file in _uses(both.case.sure, both.number)
