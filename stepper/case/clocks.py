"""The clocks of a visit, from the case and a moment alone: a replay shows them as they stood.

Durations go by the machine's own clock, which runs on while the machine sleeps and which nobody can set. Across a
restart of the machine only the wall clocks are left to go by, and those can have been set: what they say is `about`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from msgspec import structs

from stepper.case.order import MINUTE_US
from stepper.case.state import Case
from stepper.facts.entries import TOOTH, Answer, AnyEntry, Correction, Go, StepDone
from stepper.facts.state import Fact, Place, Rinse, joined
from stepper.facts.values import Choice, Value
from stepper.kinds.rules.computed import ComputedValue
from stepper.kinds.tables import AnyItem, Sealer
from stepper.record.clock import Moment, since_1970_us

SECOND_US = 1_000_000


class Timed(StrEnum):
    """What is timed, the one that is needed most first."""

    SEALER = "sealer"
    SOLUTION = "solution"
    DAM = "dam"
    STEP = "step"
    VISIT = "visit"


@dataclass(frozen=True, slots=True)
class Lapse:
    """Whole seconds between two moments, `about` where wall clocks tell them; None where they cannot tell either."""

    seconds: int | None
    about: bool = False


@dataclass(frozen=True, slots=True)
class Timing:
    """One clock. `item` is the solution or sealer; `limit_min` are the minutes that the practice goes by, if it does.

    `reached`: the limit is; of a sealer it is its working time, of a solution the least time that a rule wants from the
    first rinse on. `stopped`: the clock stands still, as once the dam is off.
    """

    timed: Timed
    lapse: Lapse
    item: AnyItem | None = None
    limit_min: Decimal | None = None
    reached: bool = False
    stopped: bool = False


def timings(case: Case, canal: int, now: Moment, at_step: Moment) -> tuple[Timing, ...]:
    """Give the clocks that run at a moment, for the canal at hand, in the order of `Timed`.

    `at_step` is when one came to the step.
    """
    found = (
        _sealer(case, canal, now),
        _solution(case, canal, now),
        _dam_worn(case, now),
        Timing(Timed.STEP, lapse(at_step, now)),
        Timing(Timed.VISIT, lapse(keyed(case.header), now)),
    )
    return tuple(one for one in found if one is not None)


def lapse(since: Moment, until: Moment) -> Lapse:
    """Give the time between two moments."""
    if since.boot == until.boot:
        return Lapse(max(until.mono_us - since.mono_us, 0) // SECOND_US)
    by_wall = (until.wall_us - since.wall_us) // SECOND_US
    return Lapse(by_wall, about=True) if by_wall >= 0 else Lapse(None, about=True)


def keyed(entry: AnyEntry) -> Moment:
    """Tell when an entry was keyed."""
    return Moment(since_1970_us(entry.t), entry.off, entry.tz, entry.mono_us, entry.boot)


def happened(case: Case, seq: int) -> Moment:
    """Tell when what an entry says happened: earlier than it was keyed if it says so, whatever was corrected since."""
    entry = case.entries[case.root(seq)]
    ago_min = (entry.ago_min or 0) if isinstance(entry, Answer) else 0
    at = keyed(entry)
    ago_us = ago_min * MINUTE_US
    return structs.replace(at, wall_us=at.wall_us - ago_us, mono_us=at.mono_us - ago_us)


def came_to_step(case: Case) -> Moment:
    """Tell by the record since when one has been at the step and canal at hand."""
    since: AnyEntry = case.header
    here: tuple[str, int] | None = None
    for entry in reversed(case.entries):
        if isinstance(entry, Go) and here in (None, (entry.step, entry.canal)):
            here, since = (entry.step, entry.canal), entry
        elif isinstance(entry, StepDone) and here is None:
            since = entry  # one went on from what was declared
            break
        elif isinstance(entry, Go) or (isinstance(entry, StepDone) and here == (entry.step, entry.canal)):
            break
    return keyed(since)


def _sealer(case: Case, canal: int, now: Moment) -> Timing | None:
    """Time the sealer from when its lot was keyed for the canal to be filled, until that canal is.

    It is mixed then: the lot is asked for in the step of the fill. One lot keyed for several canals is one mix for all.
    """
    evidence = case.told.canals.get(canal)
    lot = _lot(case, canal)
    if evidence is None or evidence.fill is not None or lot is None:
        return None
    chosen = case.told.role("sealer", canal)
    options = chosen.value.options if chosen is not None and isinstance(chosen.value, Choice) else ()
    item = case.protocol.by_id(options[0]) if options else None
    working_min = item.working_min if isinstance(item, Sealer) else None
    return _limited(Timing(Timed.SEALER, lapse(happened(case, lot.seq), now), item), working_min)


def _lot(case: Case, canal: int) -> Fact | None:
    """Give the last lot that was keyed in the step of the fill."""
    steps = [step for step in case.protocol.step if any(one.role == "fill" for one in step.question)]
    asked = [f"{step.id}.{one.id}" for step in steps for one in step.question if one.kind == "lot"]
    facts = [fact for name in asked if (fact := case.told.fact(name, canal)) is not None and not fact.absent]
    return max(facts, key=lambda fact: fact.place, default=None)


def _limited(timing: Timing, limit_min: Decimal | None, since_first: Lapse | None = None) -> Timing:
    counted = (since_first or timing.lapse).seconds
    reached = limit_min is not None and counted is not None and counted >= limit_min * 60
    return replace(timing, limit_min=limit_min, reached=reached)


def _solution(case: Case, canal: int, now: Moment) -> Timing | None:
    """Time the solution in the canal from its last rinse on, until it is dried, dressed or filled."""
    evidence = case.told.canals.get(canal)
    if evidence is None or evidence.fill is not None:
        return None
    together = [case.told.canals[number] for number in joined(case.told, canal)]
    lasts = [one.rinses[-1] for one in together if one.rinses]
    last = max(lasts, key=lambda one: one.place, default=None)
    if last is None or _gone(case, canal, last):
        return None
    timing = Timing(Timed.SOLUTION, lapse(happened(case, last.seq), now), case.protocol.by_id(last.item))
    first = next((one for one in evidence.rinses if not one.outside), None)
    return _limited(timing, _least_min(case), lapse(happened(case, first.seq), now)) if first is not None else timing


def _gone(case: Case, canal: int, rinse: Rinse) -> bool:
    """Tell whether a solution is in the canal no more."""
    found = {role: case.told.role(role, canal) for role in ("dryness", "dressing", "outcome")}
    later = {role: fact.value for role, fact in found.items() if fact is not None and fact.place > rinse.place}
    dryness = later.pop("dryness", None)
    return bool(later) or (isinstance(dryness, Choice) and dryness.options == ("dry",))


def _least_min(case: Case) -> Decimal | None:
    """Give the minutes of solution below which a rule of the protocol speaks, the longest if there are several."""
    rules = (rule for _, rule in case.protocol.rules_of(ComputedValue) if rule.value == "solution_minutes")
    return max((rule.below for rule in rules if rule.below is not None), default=None)


def _dam_worn(case: Case, now: Moment) -> Timing | None:
    """Time from when the dam went on; it stands still from when the dam came off."""
    worn: list[tuple[Place, bool, int]] = []
    for one in sorted(_said_of_dam(case)):
        if one[1] and (not worn or not worn[-1][1]):
            worn = [one]
        elif not one[1] and worn and worn[-1][1]:
            worn.append(one)
    if not worn:
        return None
    since = happened(case, worn[0][2])
    if len(worn) == 1:
        return Timing(Timed.DAM, lapse(since, now))
    return Timing(Timed.DAM, lapse(since, happened(case, worn[1][2])), stopped=True)


def _said_of_dam(case: Case) -> Iterator[tuple[Place, bool, int]]:
    """Give everything that was said of the dam and stands, or stood until it was measured anew."""
    for step in case.protocol.step:
        for question in step.question:
            if question.role == "dam":
                for row in case.told.rows_of(step.id, TOOTH):
                    fact = row.facts.get(question.id)
                    if fact is not None:
                        yield (fact.place, _is_on(fact.value), fact.seq)
                        yield from _before(case, fact.seq, question.id)


def _before(case: Case, seq: int, question: str) -> Iterator[tuple[Place, bool, int]]:
    """Give what a fact was before it was measured anew, back to the answer."""
    entry = case.entries[case.root(seq)]
    while isinstance(entry, Correction) and 0 < entry.of < entry.seq:
        below = case.entries[entry.of]
        entry = case.entries[case.root(entry.of)]
        if isinstance(below, Answer | Correction) and question in below.values:
            yield (case.places[entry.seq], _is_on(below.values[question]), entry.seq)


def _is_on(value: Value) -> bool:
    return isinstance(value, Choice) and value.options[:1] == ("on",)
