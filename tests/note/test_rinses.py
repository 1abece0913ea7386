"""Irrigation by solution and canal: counts, volumes, minutes, activation."""

from __future__ import annotations

import re

import pytest

from stepper.facts.entries import Answer
from stepper.note.rinses import rinses_by_solution, total_ml, whole_minutes
from stepper.protocol.load import load_text
from tests.cases import Log, opened
from tests.note.reading import section, single, table, words
from tests.protocol.scraps import whole

HYPOCHLORITE, EDTA = "Sodium hypochlorite 3 %", "EDTA 17 %"


def rinse(log: Log, canal: int, row: int, item: str, volume: str = "2", **more: str) -> int:
    return log.answer("irrigation", canal, row, solution=item, volume=volume, **more)


def test_a_row_for_each_solution_and_canal_in_the_order_of_the_stock() -> None:
    log = opened(Log(step_s=0), "mb+ml")
    one = rinse(log, 1, 1, "edta_17")
    log.wait(1)
    two = rinse(log, 2, 1, "hypochlorite_3")
    log.wait(6)
    three = rinse(log, 2, 2, "hypochlorite_3", "3.5")
    assert words(log, "Irrigation") == [
        [HYPOCHLORITE, "ML", "2", "5.5 mL", "09:01, 6 min", "-"],
        [EDTA, "MB", "1", "2 mL", "09:00", "-"],
    ]
    first, second = table(log, "Irrigation")
    assert {cell.entries for cell in first} == {(two, three)}
    assert {cell.entries for cell in second} == {(one,)}


def test_the_table_stands_above_the_rounds_themselves() -> None:
    log = opened(Log(), "mb")
    rinse(log, 1, 1, "saline", needle="needle_30_side", needle_depth="-2")
    assert len(table(log, "Irrigation")) == 1
    assert section(log, "Irrigation") == [
        "MB: Saline 0.9 %, 2 mL per canal, needle 30 G side-vented, closed end, 2 mm short."
    ]


@pytest.mark.parametrize(("volume", "said"), [("-/", "2 mL, 1 without a volume"), ("1", "3 mL")])
def test_a_volume_that_is_not_on_record_is_said(volume: str, said: str) -> None:
    log = opened(Log(), "mb")
    rinse(log, 1, 1, "saline")
    rinse(log, 1, 2, "saline", volume)
    assert words(log, "Irrigation")[0][3] == said


def test_no_volume_at_all_is_not_nought() -> None:
    log = opened(Log(), "mb")
    log.answer("irrigation", 1, 1, solution="saline")
    assert words(log, "Irrigation")[0][2:4] == ["1", "not recorded"]


def test_a_rinse_outside_the_chain_is_told_apart_and_in_no_sum() -> None:
    log = opened(Log(), "mb")
    one = rinse(log, 1, 1, "saline")
    two = log.answer("irrigation", 1, 2, solution="saline", volume="9", outside=True)
    (row,) = table(log, "Irrigation")
    assert [cell.text for cell in row][2:4] == ["1, and 1 outside the chain", "2 mL"]
    assert (row[2].entries, row[3].entries) == ((one, two), (one,))


def test_all_rinses_outside_the_chain_leave_no_sum() -> None:
    log = opened(Log(), "mb")
    log.answer("irrigation", 1, 1, solution="saline", volume="9", outside=True)
    assert words(log, "Irrigation") == [["Saline 0.9 %", "MB", "0, and 1 outside the chain", "-", "-", "-"]]


@pytest.mark.parametrize(("seconds", "minutes"), [(59, 0), (60, 1), (119, 1), (120, 2)])
def test_minutes_are_whole_and_rounded_down(seconds: int, minutes: int) -> None:
    log = opened(Log(step_s=0), "mb")
    rinse(log, 1, 1, "saline")
    log.elapsed_s += seconds
    rinse(log, 1, 2, "saline")
    case = log.case()
    first, last = case.told.canals[1].rinses
    assert whole_minutes(case, first, last) == minutes


def test_a_rinse_said_to_have_come_before_counts_from_then() -> None:
    log = opened(Log(step_s=0), "mb")
    log.wait(30)
    rinse(log, 1, 1, "saline")
    log.answer("irrigation", 1, 2, solution="saline", volume="2", ago=10)
    assert words(log, "Irrigation")[0][4] == "about 09:20, 10 min"


def test_another_start_of_the_machine_gives_two_times_and_no_minutes() -> None:
    log = opened(Log(step_s=0), "mb")
    rinse(log, 1, 1, "saline")
    log.wait(25)
    log.boot = "boot-2"
    rinse(log, 1, 2, "saline")
    assert words(log, "Irrigation")[0][4] == "09:00, interrupted, to 09:25"


def test_a_corrected_rinse_keeps_its_time_and_changes_its_solution_and_volume() -> None:
    log = opened(Log(step_s=0), "mb")
    seq = rinse(log, 1, 1, "saline")
    log.wait(9)
    mended = log.correct(seq, solution="edta_17", volume="4")
    assert words(log, "Irrigation") == [[EDTA, "MB", "1", "4 mL", "09:00", "-"]]
    assert mended in table(log, "Irrigation")[0][3].entries


def test_seconds_are_told_for_activation_only() -> None:
    log = opened(Log(), "mb")
    rinse(log, 1, 1, "edta_17", seconds="60")
    rinse(log, 1, 2, "edta_17", seconds="20", activation="none")
    assert words(log, "Irrigation")[0][5] == "-"
    rinse(log, 1, 3, "edta_17", seconds="30", activation="ultrasonic")
    rinse(log, 1, 4, "edta_17", activation="ultrasonic")
    rinse(log, 1, 5, "edta_17", seconds="15", activation="sonic")
    assert words(log, "Irrigation")[0][5] == "ultrasonic 2 times, 30 s; sonic, 15 s"
    assert "MB: EDTA 17 % left for 60 s, as told." in section(log, "Irrigation")


def test_a_rinse_said_anew_is_one_more_and_its_volume_is_counted_once() -> None:
    log = opened(Log(), "mb")
    rinse(log, 1, 1, "saline")
    log.answer("irrigation", 1, 1, solution="saline")
    case = log.case()
    rinses = case.told.canals[1].rinses
    assert len(rinses) == 2
    assert total_ml(case, 1, rinses)[0] == 2
    assert words(log, "Irrigation")[0][2:4] == ["2", "2 mL, 1 without a volume"]


def test_a_protocol_that_marks_no_volume_claims_none() -> None:
    plan = load_text(re.sub(r'role = "(rinse_volume|rinse_seconds|activation)"\n', "", whole()), "old.toml")
    log = opened(Log(plan=plan), "mb")
    rinse(log, 1, 1, "saline", activation="sonic")
    assert words(log, "Irrigation")[0][2:] == ["1", "-", "09:00", "-"]


def test_nothing_rinsed_gives_no_table() -> None:
    log = opened(single(), "b")
    assert rinses_by_solution(log.case()) is None
    assert isinstance(log.entries[-1], Answer)
