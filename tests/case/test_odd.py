"""Logs that no keyboard would make: names that nobody knows, canals that are not there, values of another kind."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest

from stepper.case.fold import fold
from stepper.case.gate import shut
from stepper.case.judge import judge
from stepper.case.walk import start, status
from stepper.facts import entries as kinds
from stepper.facts.values import (
    Absent,
    Choice,
    Day,
    Depth,
    Digits,
    Expiry,
    Instrument,
    Number,
    Scan,
    Size,
    Span,
    Text,
    TimeOfDay,
    Value,
    Why,
)
from stepper.kinds.outcome import outcome_of
from tests.case.looking import folded, is_open, of, outcome, reasons, reopened, same
from tests.cases import Log, examined, fill, fitted, opened, ready, shaped

VALUES: tuple[Value, ...] = (
    Number(value=Decimal(1)),
    Choice(options=("no_such_option",)),
    Size(size=7, taper=Decimal("0.5")),
    Instrument(size=1, taper=Decimal(0), short_mm=Decimal(99)),
    Depth(short_mm=Decimal(-99)),
    Day(value=dt.date(1, 1, 1)),
    Expiry(year=2026, month=1),
    TimeOfDay(hour=0, minute=0),
    Span(seconds=0),
    Digits(value=""),
    Text(value=""),
    Scan(raw="]"),
    Absent(why=Why.OWED),
)


def looked_at(log: Log) -> None:
    """Ask everything of a case that is ever asked of it."""
    case = log.case()
    judge(case)
    start(case)
    for canal in case.told.canals:
        shut(case, canal)
        outcome_of(case.told, canal)
        for step in case.protocol.step:
            status(case, step, canal)
    log.confirm(1)
    assert log.case().told == case.told


@pytest.mark.parametrize("value", VALUES, ids=[one.kind for one in VALUES])
def test_any_kind_of_value_anywhere_is_kept_and_opens_nothing_new(value: Value) -> None:
    for step in ready().plan.step:
        log = opened(examined(Log()))
        shaped(log)
        canal = 1 if step.scope == "C" else 0
        for question in step.question:
            log.log(kinds.Answer, step=step.id, canal=canal, row=1, values={question.id: value})
        looked_at(log)
        assert not is_open(log)


def test_what_is_known_to_no_protocol_changes_nothing() -> None:
    log = ready()
    log.log(kinds.Answer, step="no_such_step", canal=1, row=1, values={"x": Number(value=Decimal(1))})
    log.log(kinds.Answer, step="drying", canal=1, row=1, values={"no_such_question": Number(value=Decimal(1))})
    log.log(kinds.Answer, step="drying", canal=99, row=1, values={"dryness": Choice(options=("wet",))})
    log.declare("no_such_step", 4)
    log.hold("drying", 99, drops=True)
    log.join(98, 99)
    log.incident("no_such_step", 77, "no such thing")
    log.log(kinds.IncidentDetail, of=4_000, what="slip")
    log.log(kinds.Departure, remark="no such remark", reason="", said_by=9)
    log.log(kinds.Owe, remark="no such remark")
    log.confirm(0, 1, 5_000)
    assert is_open(log)
    looked_at(log)
    assert same(folded(log), log.case())


def test_a_log_opens_with_its_header() -> None:
    log = ready()
    with pytest.raises(ValueError, match="header"):
        fold(log.plan, log.entries[1:])


def test_a_file_that_was_not_done_reopens_nothing() -> None:
    log = ready()
    log.answer("shaping", 1, 3, file="-/")
    assert is_open(log) and reopened(log) == set()


def test_a_cut_that_was_keyed_wrong_and_never_made_reopens_nothing() -> None:
    log = ready()
    seq = log.answer("shaping", 1, 3, file="40/4-0", purpose="cut")
    assert not is_open(log)
    log.confirm(log.correct(seq, file="--"))
    assert is_open(log) and reopened(log) == set()


def test_a_rinse_that_was_not_done_reopens_nothing() -> None:
    log = ready()
    log.answer("irrigation", 1, 3, solution="-/")
    assert is_open(log) and reopened(log) == set()


def test_a_rinse_during_which_the_dam_came_off_is_no_final_rinse() -> None:
    log = opened(examined(Log()))
    shaped(log)
    log.entries.pop()
    log.answer("irrigation", 1, 2, solution="hypochlorite_3")
    log.answer("isolation", dam="off")
    log.answer("irrigation", 1, 2, outside=True, volume="2", needle_depth="-3", needle="needle_30_side")
    log.answer("isolation", dam="on", tight="yes", clamped="46", through="1")
    fitted(log)
    assert set(reasons(log)) == {"rinse"}


def test_a_reference_point_that_breaks_after_the_join_makes_the_file_one_that_may_have_reached_it() -> None:
    log = opened(examined(Log()))
    for canal in (1, 2):
        shaped(log, canal)
    log.join(2, 1, "17")
    for row, item in enumerate(("edta_17", "hypochlorite_3"), start=3):
        log.answer("irrigation", 1, row, solution=item, volume="2", needle_depth="-3", needle="needle_30_side")
    fitted(log)
    log.answer("shaping", 2, 3, file="20/4-6", purpose="cut")
    assert is_open(log, 1)
    log.correct(of(log, "length.reference", 2), anew=True, reference="flattened")
    assert {"cone_fit", "dry", "rinse"} <= set(reasons(log, 1))


def test_dropping_a_row_does_not_unfill_a_canal() -> None:
    log = ready()
    fill(log)
    log.hold("sealing", 1, 1, drops=True)
    assert outcome(log) == "filled"


def test_a_lot_whose_expiry_nobody_has_asked_for_yet_is_not_in_date() -> None:
    log = ready()
    log.answer("set_up", row=9, item="cones_04")
    assert set(reasons(log)) == {"lots"}
    log.answer("set_up", row=9, expiry="11.2027")
    assert is_open(log)
