"""Remarks as they stand: how far each is answered, what is one remark, what holds an act back before it is logged."""

from __future__ import annotations

import pytest

from stepper.case.judge import Standing, before_acts, judge, remarks, standing, unanswered
from stepper.facts.remarks import Weight
from stepper.facts.state import LAST, Fact, Row
from tests.case.looking import asks, is_open, keys, of, reasons
from tests.cases import Log, examined, fill, fitted, opened, ready, shaped


def thin() -> Log:
    """A log whose canal 1 has one open ask: the two lengths are 1.5 mm apart."""
    log = ready()
    log.confirm(log.correct(of(log, "length.image_length", 1), image_length="22"))
    return log


def how(log: Log, key: str) -> Standing:
    return next(one.standing for one in judge(log.case()) if one.remark.key == key)


def test_an_uneventful_log_has_nothing_that_stands_open() -> None:
    assert [one for one in judge(ready().case()) if one.remark.weight is not Weight.TELL] == []


def test_an_ask_is_open_then_owed_then_passed() -> None:
    log = thin()
    (key,) = keys(log, "lengths_apart")
    assert how(log, key) is Standing.OPEN and not is_open(log)
    log.owe(key)
    assert how(log, key) is Standing.OWED and set(reasons(log)) == {"answered"}
    log.depart(key)
    assert how(log, key) is Standing.PASSED and is_open(log)
    log.owe(key)
    assert how(log, key) is Standing.PASSED and is_open(log)


def test_an_answered_ask_comes_again_with_new_evidence_and_only_then() -> None:
    log = thin()
    (key,) = keys(log, "lengths_apart")
    log.depart(key)
    log.answer("diagnosis", row=1, restorable="doubtful")
    assert keys(log, "lengths_apart") == [key] and is_open(log)
    log.confirm(log.correct(of(log, "length.image_length", 1), image_length="23"))
    (other,) = keys(log, "lengths_apart")
    assert other != key and how(log, other) is Standing.OPEN


def test_a_reason_for_another_remark_passes_nothing() -> None:
    log = thin()
    log.depart("lengths_apart:1:1")
    log.depart("no such remark")
    assert asks(log) == {"lengths_apart"}


def test_an_ask_of_one_canal_shuts_that_canal_and_one_of_the_tooth_shuts_all() -> None:
    log = ready(ready_canals=(1, 2))
    log.answer("drying", 2, 2, point_depth="0", dryness="dry", blood="pus")
    assert is_open(log, 1) and set(reasons(log, 2)) == {"answered"}
    log.answer("set_up", row=LAST + 1, labelled="no", motor="yes")
    assert set(reasons(log, 1)) == {"answered"}


def test_what_the_clinician_has_not_confirmed_does_not_answer_an_ask() -> None:
    log = thin()
    slip = log.correct(of(log, "length.image_length", 1), image_length="20.5")
    assert asks(log) == set() and "not confirmed" in reasons(log)["answered"]
    log.confirm(slip)
    assert is_open(log)


def test_a_remark_of_a_row_and_of_what_stands_is_given_once() -> None:
    log = ready()
    log.answer("diagnosis", row=1, allergies="eugenol")
    log.answer("set_up", row=9, item="zinc_oxide_sealer", expiry="11.2027", lot="1")
    case = log.case()
    found = [one.key for one in remarks(case, case.told) if one.rule == "allergy"]
    assert len(found) == len(set(found)) == 1


def test_stops_come_before_asks_and_asks_before_what_is_told() -> None:
    log = thin()
    log.answer("diagnosis", row=1, allergies="epoxy")
    log.answer("gauging", 1, 2, gauge="45-0", held="held")
    log.answer("length", 1, 2, working_length="20.5")
    weights = [one.remark.weight for one in judge(log.case())]
    assert set(weights) == set(Weight)
    assert weights == sorted(weights, key=list(Weight).index)


def test_a_reason_answers_no_stop_for_the_gate() -> None:
    log = ready()
    log.answer("diagnosis", row=1, allergies="epoxy")
    for key in keys(log, "allergy"):
        log.depart(key)
    assert set(reasons(log)) == {"clear"}


def test_a_stop_about_a_row_outside_the_chain_stands_as_outside() -> None:
    log = ready()
    log.answer("isolation", dam="off")
    log.answer(
        "irrigation",
        1,
        3,
        outside=True,
        solution="hypochlorite_3",
        volume="2",
        needle_depth="-3",
        needle="needle_30_side",
    )
    (key,) = keys(log, "no_dam")
    assert how(log, key) is Standing.OUTSIDE


@pytest.mark.parametrize(
    ("depth", "expected"), [("-3", set()), ("-1", {"needle_near"}), ("-2", set()), ("-1.5", {"needle_near"})]
)
def test_what_can_still_be_left_undone_is_judged_before_it_is_logged(depth: str, expected: set[str]) -> None:
    log = ready()
    case, seq = log.case(), len(log.entries)
    typed = {"solution": "edta_17", "volume": "2", "needle_depth": depth, "needle": "needle_30_side"}
    roles = {"solution": "irrigant", "needle_depth": "needle_depth"}
    row = Row("irrigation", 1, 3)
    for name, value in log.values("irrigation", typed).items():
        row.facts[name] = Fact(value, seq, (seq, 0, seq), roles.get(name))
    assert {one.rule for one in before_acts(case, row)} == expected
    assert case.told.rows_of("irrigation", 1)[-1].number == 2  # judging it logs nothing


def test_a_figure_that_is_unusual_is_told_and_shuts_nothing() -> None:
    log = ready()
    log.answer("irrigation", 1, 3, solution="saline", volume="40", needle_depth="-3", needle="needle_30_side")
    log.answer("drying", 1, 2, point_depth="0", dryness="dry", blood="none")
    told = [one for one in judge(log.case()) if one.remark.rule == "unusual_irrigation_volume"]
    assert [one.remark.weight for one in told] == [Weight.TELL]
    assert is_open(log)


def test_unanswered_leaves_out_other_canals_and_what_is_passed() -> None:
    log = thin()
    case = log.case()
    assert [one.rule for one in unanswered(case, case.told, 1)] == ["lengths_apart"]
    assert unanswered(case, case.told, 2) == []
    log.depart(keys(log, "lengths_apart")[0])
    case = log.case()
    assert unanswered(case, case.told, 1) == []
    assert standing(case, judge(case)[0].remark) in set(Standing)


def test_blood_twice_at_length_is_asked_and_once_is_not() -> None:
    log = opened(examined(Log()))
    shaped(log)
    log.answer("drying", 1, 1, point_depth="0", dryness="dry", blood="blood_tip")
    assert "blood_again" not in asks(log)
    log.answer("drying", 1, 2, point_depth="0", dryness="dry", blood="blood_tip")
    assert "blood_again" in asks(log)


def test_a_canal_worked_in_and_left_is_asked_about_once_the_tooth_is_closed() -> None:
    log = ready(ready_canals=(1, 2))
    fill(log, 1)
    assert "undressed" not in asks(log, 2)
    log.answer("coronal_seal", material="temporary_cement", thickness="4", cover="flowable", restorer="here")
    assert "undressed" in asks(log, 2) and "undressed" not in asks(log, 1) | asks(log, 3)
    log.answer("dressing", 2, material="calcium_hydroxide")
    assert "undressed" not in asks(log, 2)


def test_an_ask_of_a_late_drying_waits_with_it() -> None:
    log = opened(examined(Log()))
    fitted(shaped(log))
    log.wait(10)
    log.answer("drying", 1, 2, point_depth="0", dryness="dry", blood="none")
    late = log.answer("drying", 1, 3, ago=2, point_depth="0", dryness="dry", blood="pus")
    assert late in log.case().late and "pus" in asks(log)
