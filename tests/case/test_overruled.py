"""A stop that was overruled: what was done all the same stays in the record and is never counted."""

from __future__ import annotations

from stepper.case.gate import shut
from stepper.case.judge import Standing, judge
from stepper.facts import entries as kinds
from stepper.note.compose import compose
from tests.cases import Log, fill, ready


def overrule(log: Log, row: int = 1) -> int:
    text = "Cone 30/.04 does not go with master apical file 35/.04 for single cone."
    return log.log(kinds.Overruled, step="cone_fit", canal=1, row=row, remark="cone:1:20+30", text=text)


def test_a_fit_that_was_overruled_shuts_the_gate_though_it_is_complete() -> None:
    log = ready()
    assert shut(log.case(), 1) == {}
    overrule(log)
    assert shut(log.case(), 1) == {"cone_fit": "the last cone fit is outside the chain"}


def test_another_fit_opens_it_again() -> None:
    log = ready()
    overrule(log)
    log.answer("cone_fit", 1, 2, cone="35/4", seat="0", tug_back="yes", cone_image="seated")
    assert shut(log.case(), 1) == {}


def test_a_correction_of_an_overruled_row_does_not_make_it_count() -> None:
    log = ready()
    seq = log.answer("cone_fit", 1, 2, cone="30/4", seat="0", tug_back="yes", cone_image="seated")
    overrule(log, 2)
    log.confirm(log.correct(seq, cone="35/4"))
    assert "cone_fit" in shut(log.case(), 1)


def test_what_was_filled_before_stays_filled() -> None:
    log = ready()
    fill(log)
    overrule(log)
    assert log.case().told.canals[1].fill is not None
    assert log.case().told.canals[1].fill.gate_open  # type: ignore[union-attr]


def test_the_stop_stands_as_one_about_what_is_outside_the_chain() -> None:
    log = ready()
    log.answer("cone_fit", 1, 2, cone="30/4")
    overrule(log, 2)
    cone = [one for one in judge(log.case()) if one.remark.rule == "cone"]
    assert [one.standing for one in cone] == [Standing.OUTSIDE]


def test_the_note_opens_with_it_also_when_the_right_cone_came_later() -> None:
    log = ready()
    seq = log.answer("cone_fit", 1, 2, cone="30/4")
    over = overrule(log, 2)
    log.answer("cone_fit", 1, 3, cone="35/4", seat="0", tug_back="yes", cone_image="seated")
    first = next(one for one in compose(log.case()).sections if one.title == "To be read first").sentences[0]
    assert first.mark == "OUTSIDE THE CHAIN"
    assert "Done all the same" in first.text and "does not go with" in first.text
    assert first.entries == (seq, over)
