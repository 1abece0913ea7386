"""Irrigation by solution: what each canal had of it, how much in all, over how long, and what was activated.

A rinse that was logged outside the chain is told apart and counts in no sum.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from stepper.case.state import Case
from stepper.facts.entries import Answer, AnyEntry
from stepper.facts.state import Canal, Fact, Rinse, Row
from stepper.facts.values import Choice, Number, Span, Value
from stepper.kinds.words import plain
from stepper.note.phrases import clock_at
from stepper.note.shape import Sentence, Table, rests_on
from stepper.note.words import local, show
from stepper.protocol.models import Step
from stepper.sums.solution_time import minutes

DAY_MIN = 24 * 60
NOT_ACTIVATED = "none"
"""The option of the role `activation` that says that nothing was activated."""

COLUMNS = ("Solution", "Canal", "Rinses", "In all", "First keyed, time to the last", "Activated")


def rinsing(case: Case) -> Step | None:
    """Give the first step in which irrigants are logged: its section tells them all."""
    steps = case.protocol.step
    return next((step for step in steps if any(one.role == "irrigant" for one in step.question)), None)


def rinses_by_solution(case: Case) -> Table | None:
    """Give a row for every solution and canal; None where nothing was rinsed."""
    items: dict[str, dict[int, list[Rinse]]] = {}
    for number, canal in case.told.canals.items():
        for rinse in canal.rinses:
            items.setdefault(rinse.item, {}).setdefault(number, []).append(rinse)
    rows = tuple(
        _row(case, item, case.told.canals[number], canals[number])
        for item, canals in sorted(items.items(), key=lambda pair: _number(case, pair[0]))
        for number in sorted(canals)
    )
    return Table(COLUMNS, rows) if rows else None


def total_ml(case: Case, canal: int, rinses: Iterable[Rinse]) -> tuple[Decimal, int]:
    """Add up the volumes of rinses in mL, and count those that have none on record."""
    rows = rows_of_rinses(case, canal)
    volumes = [_number_of(_beside(rows, rinse, "rinse_volume")) for rinse in rinses]
    return sum((ml for ml in volumes if ml is not None), Decimal(0)), volumes.count(None)


def whole_minutes(case: Case, first: Rinse, last: Rinse) -> int | None:
    """Count the whole minutes from one rinse to a later one, as keyed; None where the clock was begun anew between.

    What was keyed as having happened earlier counts from the moment it is said to have happened.
    """
    one, other = case.moment(first.seq), case.moment(last.seq)
    if one is None or other is None or one.boot != other.boot:
        return None
    return minutes((one.us, max(one.us, other.us)))


def activated_seconds(case: Case, canal: int, rinses: Iterable[Rinse]) -> dict[str, tuple[int, int]]:
    """Give, for each way of activating, how often it was used and for how many seconds as told."""
    found: dict[str, tuple[int, int]] = {}
    rows = rows_of_rinses(case, canal)
    for rinse in rinses:
        how, span = _beside(rows, rinse, "activation"), _beside(rows, rinse, "rinse_seconds")
        for option in dict.fromkeys(how.options) if isinstance(how, Choice) else ():
            if option != NOT_ACTIVATED:
                times, seconds = found.get(option, (0, 0))
                found[option] = (times + 1, seconds + (span.seconds if isinstance(span, Span) else 0))
    return found


def _row(case: Case, item: str, canal: Canal, rinses: Sequence[Rinse]) -> tuple[Sentence, ...]:
    counted = [rinse for rinse in rinses if not rinse.outside]
    beside = rows_of_rinses(case, canal.number)
    entries = rests_on(seq for rinse in counted for seq in seqs_of(beside, rinse))
    every = rests_on(rinse.seq for rinse in rinses)
    outside = len(rinses) - len(counted)
    times = f"{len(counted)}, and {outside} outside the chain" if outside else str(len(counted))
    known = case.protocol.by_id(item)
    return (
        Sentence(known.label if known is not None else item, every),
        Sentence(canal.name, every),
        Sentence(times, every),
        Sentence(_in_all(case, canal.number, counted), entries),
        Sentence(_span(case, counted), rests_on(rinse.seq for rinse in counted)),
        Sentence(_activation(case, canal.number, counted), entries),
    )


def _in_all(case: Case, canal: int, rinses: Sequence[Rinse]) -> str:
    if not rinses or not _asks(case, "rinse_volume"):
        return "-"
    ml, without = total_ml(case, canal, rinses)
    if without == len(rinses):
        return "not recorded"
    return f"{plain(ml)} mL" + (f", {without} without a volume" if without else "")


def _span(case: Case, rinses: Sequence[Rinse]) -> str:
    if not rinses:
        return "-"
    first, last = rinses[0], rinses[-1]
    begun, ended = _clock(case, first), _clock(case, last)
    if len(rinses) == 1:
        return begun
    minutes = whole_minutes(case, first, last)
    return f"{begun}, {minutes} min" if minutes is not None else f"{begun}, interrupted, to {ended}"


def _activation(case: Case, canal: int, rinses: Sequence[Rinse]) -> str:
    used = activated_seconds(case, canal, rinses)
    if not used:
        return "-"
    question = next(one for step in case.protocol.step for one in step.question if one.role == "activation")
    told = []
    for option, (times, seconds) in used.items():
        often = f" {times} times" if times > 1 else ""
        watched = f", {seconds} s" if seconds else ""
        told.append(f"{show(case.protocol, question, Choice(options=(option,)))}{often}{watched}")
    return "; ".join(told)


def _asks(case: Case, role: str) -> bool:
    return any(one.role == role for step in case.protocol.step for one in step.question)


def _number(case: Case, item: str) -> tuple[int, str]:
    known = case.protocol.by_id(item)
    return (known.number if known is not None else 0, item)


def rows_of_rinses(case: Case, canal: int) -> Mapping[int, Row]:
    """Give the rows of a canal's rinses by the entries that say so, with what was said beside them.

    Beside a rinse that was said anew since, nothing of its own is left.
    """
    rows: dict[int, Row] = {}
    for row in case.told.rows_with("irrigant", canal):
        irrigant = row.get("irrigant")
        if irrigant is not None:
            rows.setdefault(irrigant.seq, row)
    return rows


def seqs_of(rows: Mapping[int, Row], rinse: Rinse) -> tuple[int, ...]:
    """Give the entries of a rinse and of what was said beside it."""
    facts = [_fact_beside(rows, rinse, role) for role in ("rinse_volume", "rinse_seconds", "activation")]
    return (rinse.seq, *(fact.seq for fact in facts if fact is not None))


def _beside(rows: Mapping[int, Row], rinse: Rinse, role: str) -> Value | None:
    fact = _fact_beside(rows, rinse, role)
    return fact.value if fact is not None else None


def _fact_beside(rows: Mapping[int, Row], rinse: Rinse, role: str) -> Fact | None:
    row = rows.get(rinse.seq)
    return row.get(role) if row is not None else None


def _number_of(value: Value | None) -> Decimal | None:
    return value.value if isinstance(value, Number) else None


def _entry(case: Case, rinse: Rinse) -> AnyEntry:
    return case.entries[case.root(rinse.seq)]


def _ago(entry: AnyEntry) -> int:
    return (entry.ago_min or 0) if isinstance(entry, Answer) else 0


def _clock(case: Case, rinse: Rinse) -> str:
    entry = _entry(case, rinse)
    ago = min(_ago(entry), DAY_MIN)
    about = "about " if ago else ""
    return about + clock_at(case, entry, local(entry) - dt.timedelta(minutes=ago))
