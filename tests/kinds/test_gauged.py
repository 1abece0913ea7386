"""Which files of the record count for which reading of a canal, against the sums called by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from stepper.case.fold import apply, begin
from stepper.case.state import Case
from stepper.facts.entries import Open
from stepper.kinds.gauged import SERIES, Gauged, gauged, gauging_stock, model_of, tool_of
from stepper.sums.gauging.bounds import bounds
from stepper.sums.gauging.model import Model, Reading, Tool, straight
from stepper.sums.gauging.words import contradiction
from stepper.sums.iso3630 import SIZES
from tests.case.second import begun, brought, file
from tests.case.visit import Visit
from tests.kinds.gaugings import (
    CASES,
    SINCE,
    Build,
    a_file_held_at_length_is_as_uncertain_after_a_cut,
    cut,
    freed,
    held,
    loose,
)
from tests.kinds.rules import edited
from tests.kinds.values import visit
from tests.kinds.values_gauged import gauge
from tests.protocols.measured import plan

D = Decimal


def at(case: Case, canal: int = 1) -> Gauged | None:
    return gauged(case.seen(case.told), canal)


def step_by_step(log: Visit, canal: int = 1) -> Gauged | None:
    """What was gauged, asked for after every entry as a session does; a fresh look at the whole log says the same."""
    first, *rest = log.entries
    assert isinstance(first, Open)
    case = begin(log.plan, first)
    for entry in rest:
        apply(case, entry)
        at(case, canal)
    assert at(case, canal) == at(log.case(), canal)
    return at(case, canal)


@pytest.mark.parametrize("build", CASES, ids=lambda one: one.__name__)
def test_the_readings_and_what_they_prove(build: Build):
    log = visit()
    expected = tuple(build(log))
    found = step_by_step(log)
    assert found is not None
    assert found.found is not None
    assert found.found.readings == expected
    assert found.found == bounds(expected, Model())
    assert found.apex == "closed"


@pytest.mark.parametrize("build", CASES, ids=lambda one: one.__name__)
def test_whether_files_have_cut_since(build: Build):
    log = visit()
    build(log)
    found = step_by_step(log)
    assert found is not None
    assert found.cut_since is (build in SINCE)


def test_without_a_length_nothing_is_reckoned():
    log = visit()
    log.file("25/6-1", canal=2)
    log.answer("gauging", 2, gauge="30-0.5", held="loose")
    assert step_by_step(log, 2) is None


def test_a_reference_point_that_broke_takes_the_bounds_with_it():
    log = visit()
    log.answer("length", 1, 1, reference="mesiobuccal_cusp")
    gauge(log, "30-0", "35-0.5")
    assert step_by_step(log, 1) is not None
    log.answer("length", 1, 2, reference="flattened")
    assert step_by_step(log, 1) is None


def test_a_file_before_any_length_counts_for_nothing_once_there_is_one():
    log = visit()
    log.file("15/2-0", canal=3)
    log.agree(canal=3)
    log.answer("gauging", 3, gauge="30-0.5", held="loose")
    found = step_by_step(log, 3)
    assert found is not None
    assert found.found == bounds([held("30/2", "0.5")])


def test_a_file_held_at_length_and_freed_proves_nothing_at_length():
    """The 25 may have rested 0.3 mm short: at length only the 20 proves a width, 0.18 mm."""
    log = visit()
    a_file_held_at_length_is_as_uncertain_after_a_cut(log)
    found = step_by_step(log)
    assert found is not None
    assert found.found is not None
    assert (found.found.low_mm, found.found.lower_mm(D("0.3"))) == (D("0.18"), D("0.23"))
    assert found.found.high_mm is None


def test_a_freed_file_is_said_to_have_been_held_before_a_cut():
    log = visit()
    gauge(log, "50-2")
    log.file("40/4-0")
    gauge(log, "30-0*")
    found = step_by_step(log)
    assert found is not None
    assert found.found is not None
    names = contradiction((freed("50/2", "2"), held("30/2")))
    assert freed("50/2", "2") in found.found.readings
    assert "50/.02-2 held before a cut and 30/.02-0 held" in names


def test_the_entries_are_those_of_the_gauging_rows():
    log = visit()
    log.file("25/6-0")
    one, two = gauge(log, "30-0", "35-0.5")
    mended = log.correct(two, gauge="35-1")
    found = step_by_step(log)
    assert found is not None
    assert found.entries == (one, two, mended)  # the answer still says that it was loose


@pytest.mark.parametrize("apex", ["open", "resorbed"])
def test_at_an_open_or_resorbed_apex_nothing_is_reckoned(apex: str):
    log = visit()
    read = gauge(log, "30-0", "35-0.5")
    said = log.answer("length", 1, apex=apex)
    assert step_by_step(log) == Gauged(None, apex, (*read, said), size=35)
    log.correct(said, apex="closed")
    found = step_by_step(log)
    assert found is not None
    assert found.found == bounds([loose("30/2"), held("35/2", "0.5")])


def test_nothing_gauged_is_nothing():
    log = visit()
    assert step_by_step(log) is None
    log.file("25/6-0")
    assert step_by_step(log) is None
    log.answer("gauging", 1, gauge="-/")
    assert step_by_step(log) is None
    assert step_by_step(log, 9) is None


@pytest.mark.parametrize("reading", ["40-16.5", "0/78-0"])
def test_a_reading_that_proves_nothing_is_nothing(reading: str):
    log = visit()
    gauge(log, reading)
    assert step_by_step(log) is None


def test_a_length_measured_anew_takes_the_readings_away():
    log = visit()
    gauge(log, "30-0", "35-0.5")
    log.agree("20")
    assert step_by_step(log) is None


# A second visit: the files of the first are in its record.


def second(*files: dict[str, object], mm: str = "20.5") -> Visit:
    log = begun(brought(files=list(files)))
    log.agree(mm)
    gauge(log, "30-0.5", "35-0*")
    return log


@pytest.mark.parametrize(
    ("mm", "files", "expected"),
    [
        ("20.5", [file(25), file(35, "19.5")], [cut("25/4"), cut("35/4", "1")]),
        ("21", [file(25)], [cut("25/4", "0.5")]),
        ("20", [file(25), file(10, purpose="patency", taper="0.02")], [cut("25/4"), loose("10/2")]),
        ("20.5", [file(25, None)], []),
        ("20.5", [file(40, against=True)], [cut("40/4")]),
    ],
    ids=["same length", "longer", "shorter", "reference point left", "logged against a stop"],
)
def test_files_of_the_first_visit(mm: str, files: list[dict[str, object]], expected: list[Reading]):
    found = step_by_step(second(*files, mm=mm))
    assert found is not None
    assert found.found == bounds([*expected, held("30/2", "0.5"), held("35/2")])
    assert not found.cut_since


# Tools and tolerances.


def test_a_file_by_its_name_or_by_its_stock_entry():
    tables = plan()
    assert tool_of(tables, 30, D("0.04")) == straight(30, D("0.04"))
    assert tool_of(tables, 30, D("0.04"), 63) == straight(30, D("0.04"))
    assert tool_of(tables, 30, D("0.04"), 77) == straight(30, D("0.04"), D(10))
    assert tool_of(tables, 30, D("0.04"), 999) == straight(30, D("0.04"))  # an old session, the stock has changed
    assert tool_of(tables, 25, D("0.08"), 76) == Tool(
        "25/.08", 25, ((D(0), D("0.25")), (D(3), D("0.49")), (D(16), D("0.88")))
    )
    assert tool_of(tables, 20, D(0)) is None
    assert tool_of(tables, 20, D(0), 78) is None


def test_the_gauging_files_of_the_stock_or_else_the_series_at_02():
    assert gauging_stock(plan()) == SERIES
    assert [(one.size, one.tip_mm) for one in SERIES] == [(size, D(size) / 100) for size in SIZES if size >= 15]
    marked = edited((('id = "steel_15"', "taper = 0.02", "taper = 0.02\nfor_gauging = true"),))
    assert gauging_stock(marked) == (straight(15, D("0.02")),)


def test_tolerances_are_the_protocols():
    limits = edited(
        (
            ("[limits]", "read_error_mm = 0.3", "read_error_mm = 0.5\nreckoned_mm = 12"),
            ("[limits]", "file_tolerance_mm = 0.02", "file_tolerance_mm = 0.03"),
            ("[limits]", "file_tolerance_over_60_mm = 0.04", "file_tolerance_over_60_mm = 0.05"),
        )
    ).limits
    assert model_of(limits) == Model(D("0.5"), D("0.03"), D("0.05"), D(12))
