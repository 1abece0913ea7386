"""Where one is in the protocol: open questions, how steps stand, where it goes on, where a session starts again."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from stepper.case.slots import Cursor, Slot, last_due, next_question, slot
from stepper.case.walk import Status, nearest_canal, onward, open_canals, settle, start
from stepper.facts import entries as kinds
from stepper.facts.state import FIRST, LAST
from tests.case.looking import of, stands
from tests.case.visit import Visit, at_access, at_fill
from tests.cases import examined, fill


def slot_at(visit: Visit, step: str, canal: int = 0, *, last: bool = False) -> Slot:
    found = slot(visit.case(), Cursor(step, canal, last))
    assert found is not None
    return found


def asked(visit: Visit, step: str, canal: int = 0, *, last: bool = False) -> tuple[int, list[str]]:
    """The row and the questions open at a cursor, conditional ones included."""
    here = slot_at(visit, step, canal, last=last)
    return here.row, [one.id for one in here.questions]


def coming(visit: Visit, step: str, canal: int = 0, **typed: str) -> str | None:
    """The next question, with these values about to be logged."""
    question = next_question(visit.case(), slot_at(visit, step, canal), visit.values(step, typed))
    return question.id if question is not None else None


# ---- open questions ------------------------------------------------------------------------------


def test_questions_come_in_line_order_and_leave_when_answered() -> None:
    visit = Visit()
    assert asked(visit, "time_out") == (1, ["patient_number", "tooth_on_image", "tooth_in_mouth"])
    visit.answer("time_out", tooth_on_image="46")
    assert asked(visit, "time_out") == (1, ["patient_number", "tooth_in_mouth"])
    visit.answer("time_out", patient_number="--", tooth_in_mouth="-.")
    assert slot(visit.case(), Cursor("time_out", 0)) is None, "not done and owed are answers"


def test_a_conditional_question_comes_with_its_condition_only() -> None:
    visit = Visit()
    assert coming(visit, "isolation") == "dam"
    assert coming(visit, "isolation", dam="on") == "tight"
    assert coming(visit, "isolation", dam="off") is None
    visit.answer("isolation", dam="off")
    here = slot_at(visit, "isolation")
    assert (here.row, here.fresh) == (2, True), "it can come off and go on again"
    visit.answer("isolation", row=2, dam="on")
    assert asked(visit, "isolation") == (2, ["tight", "clamped", "through"])
    assert coming(visit, "isolation", tight="yes") == "clamped"


def test_a_condition_not_answered_holds_for_nothing() -> None:
    visit = at_fill()
    row = visit.row_after("drying", 1)
    visit.answer("drying", 1, row, point_depth="0", dryness="-/", blood="none")
    assert slot_at(visit, "drying", 1).row == row + 1


def test_questions_that_are_not_needed_keep_no_row_open() -> None:
    visit = at_fill()
    here = slot_at(visit, "cone_fit", 1)
    assert (here.row, here.fresh) == (2, True), "trimmed is not needed"
    visit.answer("cone_fit", 1, 2, cone="35/4")
    here = slot_at(visit, "cone_fit", 1)
    assert (here.row, here.fresh) == (2, False)
    assert [one.id for one in here.questions] == ["seat", "tug_back", "cone_image", "trimmed"]


def test_what_is_asked_first_comes_before_any_row() -> None:
    visit = at_access()
    assert asked(visit, "cone_fit", 1) == (FIRST, ["technique", "sealer"])
    visit.answer("cone_fit", 1, FIRST, technique="single_cone")
    assert asked(visit, "cone_fit", 1) == (FIRST, ["sealer"])
    visit.answer("cone_fit", 1, FIRST, sealer="-.")
    assert asked(visit, "cone_fit", 1)[0] == 1


def test_what_is_asked_first_and_is_not_needed_holds_up_no_row() -> None:
    plan = Visit().plan
    step = plan.by_step["length"]
    questions = [replace(one, needed=False) if one.part == "first" else one for one in step.question]
    lenient = replace(step, question=tuple(questions))
    steps = tuple(lenient if one is step else one for one in plan.step)
    visit = Visit(plan=replace(plan, step=steps))
    visit.answer("access", canals="mb")
    assert asked(visit, "length", 1)[0] == 1


def test_a_row_given_up_keeps_its_number_and_is_not_asked_on() -> None:
    visit = at_access()
    visit.answer("shaping", 1, 1, file="25/4-0")
    assert asked(visit, "shaping", 1) == (1, ["purpose"])
    visit.hold("shaping", 1, 1, purpose="cut", drops=True)
    assert asked(visit, "shaping", 1) == (2, ["file", "purpose"])


def test_a_row_that_was_held_takes_no_further_answers() -> None:
    visit = at_fill()
    visit.answer("cone_fit", 1, 2, cone="35/4")
    visit.hold("cone_fit", 1, 2, seat="0")
    here = slot_at(visit, "cone_fit", 1)
    assert (here.row, here.fresh) == (3, True)


def test_what_is_asked_last_is_due_again_after_a_cut_but_not_after_a_look() -> None:
    visit = at_access()
    step = visit.plan.by_step["shaping"]
    assert last_due(visit.case(), step, 1)
    visit.agree()
    visit.file("35/4-0")
    assert asked(visit, "shaping", 1, last=True) == (LAST, ["master"])
    visit.master()
    assert not last_due(visit.case(), step, 1)
    assert slot(visit.case(), Cursor("shaping", 1, last=True)) is None
    for purpose in ("recapitulate", "patency", "scout"):
        visit.file("10/2-0", purpose)
        assert not last_due(visit.case(), step, 1), purpose
    visit.file("40/4-0")
    assert last_due(visit.case(), step, 1)
    assert asked(visit, "shaping", 1, last=True) == (LAST + 1, ["master"])
    assert not last_due(visit.case(), visit.plan.by_step["drying"], 1), "nothing is asked last there"


def test_the_outcome_is_asked_for_each_canal_that_tells_none() -> None:
    visit = at_fill()
    fill(visit, 1)
    visit.answer("closing", counted="yes", dam_off="yes", advice="spoken", next_visit="none", prescribed="none")
    here = slot_at(visit, "closing")
    assert (here.canal, [one.id for one in here.questions]) == (2, ["outcome", "ended_at"]), "the first was filled"
    visit.answer("closing", 2, outcome="not_treated")
    assert slot_at(visit, "closing").canal == 3
    visit.answer("dressing", 3, material="calcium_hydroxide")
    assert slot(visit.case(), Cursor("closing", 0)) is None


def test_an_altered_header_asks_the_time_out_again_but_not_the_tooth_opened() -> None:
    visit = at_access()
    visit.correct(0, patient="4712")
    assert asked(visit, "time_out") == (1, ["patient_number", "tooth_on_image", "tooth_in_mouth"])
    assert slot(visit.case(), Cursor("access", 0)) is None
    assert coming(visit, "time_out", patient_number="4712") == "tooth_on_image"


# ---- how a step stands ---------------------------------------------------------------------------


def test_a_step_is_open_then_begun_then_done() -> None:
    visit = Visit()
    assert stands(visit, "time_out", 0) is Status.OPEN
    visit.answer("time_out", patient_number="4711")
    assert stands(visit, "time_out", 0) is Status.BEGUN
    visit.answer("time_out", tooth_on_image="46", tooth_in_mouth="46")
    assert stands(visit, "time_out", 0) is Status.DONE


def test_a_step_of_many_rows_is_done_with_a_row_and_all_that_is_asked_around_them() -> None:
    visit = at_access()
    assert stands(visit, "shaping") is Status.OPEN
    visit.file("35/4-0")
    assert stands(visit, "shaping") is Status.BEGUN, "the master apical file is due"
    visit.master()
    assert stands(visit, "shaping") is Status.DONE
    visit.answer("shaping", 1, 2, file="40/4-0")
    assert stands(visit, "shaping") is Status.BEGUN
    only_first = at_access()
    only_first.choose()
    assert stands(only_first, "cone_fit") is Status.BEGUN


def test_an_owed_fact_makes_its_step_owed() -> None:
    visit = Visit()
    visit.answer("time_out", patient_number="4711", tooth_on_image="46", tooth_in_mouth="-.")
    assert stands(visit, "time_out", 0) is Status.OWED
    visit.answer("time_out", tooth_in_mouth="46")
    assert stands(visit, "time_out", 0) is Status.DONE


@pytest.mark.parametrize(
    ("how", "expected"), [("finished", Status.DONE), ("owed", Status.OWED), ("not_done", Status.NOT_DONE)]
)
def test_a_step_stands_as_declared_until_something_new_is_logged_in_it(how: str, expected: Status) -> None:
    visit = Visit()
    visit.answer("time_out", patient_number="4711")
    visit.declare("time_out", how=how)
    assert stands(visit, "time_out", 0) is expected
    visit.answer("time_out", tooth_on_image="46")
    assert stands(visit, "time_out", 0) is Status.BEGUN


def test_a_step_never_begun_is_not_reopened() -> None:
    visit = at_access()
    visit.agree()
    assert stands(visit, "drying") is Status.OPEN
    visit.choose()
    visit.file("35/4-0")
    assert stands(visit, "cone_fit") is Status.BEGUN, "technique and sealer are no fit that a cut could outdate"


def test_the_time_out_is_reopened_by_an_altered_header() -> None:
    visit = at_fill()
    visit.correct(0, patient="4712")
    assert stands(visit, "time_out", 0) is Status.REOPENED
    assert stands(visit, "access", 0) is Status.DONE


# ---- where it goes on ----------------------------------------------------------------------------


def test_it_stays_while_a_row_is_unfinished() -> None:
    visit = at_access()
    assert onward(visit.case(), Cursor("access", 0)) == Cursor("length", 1)
    visit.answer("length", 1, FIRST, estimate="20")
    visit.answer("length", 1, 1, electronic="20.5")
    assert onward(visit.case(), Cursor("length", 1)) is None


def test_it_goes_to_what_is_asked_last_then_to_the_other_canals_then_to_the_next_step() -> None:
    visit = at_access("mb+ml")
    visit.file("35/4-0", canal=1)
    assert onward(visit.case(), Cursor("shaping", 1)) == Cursor("shaping", 1, last=True)
    visit.master(canal=1)
    assert onward(visit.case(), Cursor("shaping", 1, last=True)) == Cursor("shaping", 2)
    visit.file("35/4-0", canal=2)
    visit.master(canal=2)
    assert onward(visit.case(), Cursor("shaping", 2, last=True)) == Cursor("irrigation", 1)


def test_it_passes_over_steps_that_are_done_not_done_or_owed() -> None:
    visit = at_access("mb")
    visit.declare("length", 1, "finished")
    visit.declare("flare", 1, "not_done")
    visit.declare("gauging", 1, "owed")
    assert onward(visit.case(), Cursor("access", 0)) == Cursor("shaping", 1)


def test_a_reopened_canal_is_gone_to() -> None:
    visit = at_fill(1, 2)
    visit.rinse("saline", canal=1)
    assert onward(visit.case(), Cursor("drying", 2)) == Cursor("drying", 3), "the canals are gone round in order"
    assert onward(visit.case(), Cursor("drying", 1)) == Cursor("drying", 3)
    visit.dry(canal=3)
    assert onward(visit.case(), Cursor("drying", 2)) == Cursor("drying", 1)


def test_it_goes_on_from_a_canal_that_is_reopened_itself() -> None:
    visit = at_access("mb")
    visit.shape()
    visit.finish()
    visit.rinse("saline")
    assert stands(visit, "drying") is Status.REOPENED
    assert onward(visit.case(), Cursor("drying", 1)) == Cursor("sealing", 1)


def test_canals_that_ended_and_dressed_ones_are_passed_over_but_can_be_gone_to() -> None:
    visit = at_access("mb+ml+d")
    visit.answer("closing", 1, outcome="not_treated")
    visit.answer("dressing", 2, material="calcium_hydroxide")
    assert onward(visit.case(), Cursor("access", 0)) == Cursor("length", 3)
    assert nearest_canal(visit.case(), visit.plan.by_step["length"], 2) == 2


def test_a_dressing_is_asked_of_what_was_given_up_half_way_and_of_nothing_else_that_ended() -> None:
    visit = at_access("mb+ml+d")
    visit.answer("closing", 1, outcome="not_treated")
    visit.answer("closing", 2, outcome="fragment")
    dressing, sealing = visit.plan.by_step["dressing"], visit.plan.by_step["sealing"]
    assert open_canals(visit.case(), dressing) == [2, 3]
    assert open_canals(visit.case(), sealing) == [3]


def test_after_the_last_step_there_is_nowhere_to_go() -> None:
    visit = Visit()
    visit.answer("closing", counted="yes", dam_off="yes", advice="spoken", next_visit="none", prescribed="none")
    assert onward(visit.case(), Cursor("closing", 0)) is None


def test_it_settles_on_the_next_step_when_one_answers_once_and_is_answered() -> None:
    visit = Visit()
    assert settle(visit.case(), Cursor("time_out", 0)) == Cursor("time_out", 0)
    visit.answer("time_out", patient_number="4711", tooth_on_image="46", tooth_in_mouth="46")
    assert settle(visit.case(), Cursor("time_out", 0)) == Cursor("set_up", 0)


def test_it_settles_on_nothing_new_while_another_row_may_follow() -> None:
    visit = at_access()
    visit.file("35/4-0")
    assert settle(visit.case(), Cursor("shaping", 1)) == Cursor("shaping", 1)
    visit.master()
    assert settle(visit.case(), Cursor("shaping", 1, last=True)) == Cursor("shaping", 2)


def test_it_goes_on_by_itself_where_the_next_row_would_cover_the_screen() -> None:
    visit = at_fill()
    assert settle(visit.case(), Cursor("cone_fit", 1)) == Cursor("cone_fit", 2), "a further cone is blind, not wanted"
    assert settle(visit.case(), Cursor("drying", 1)) == Cursor("drying", 1)
    first = at_access()
    first.choose()
    assert settle(first.case(), Cursor("cone_fit", 1)) == Cursor("cone_fit", 1), "the first cone is wanted"


# ---- where a session starts again ----------------------------------------------------------------


def test_a_new_session_starts_at_the_first_step() -> None:
    assert start(Visit().case()) == Cursor("diagnosis", 0)


def test_a_session_goes_on_where_something_was_last_keyed() -> None:
    visit = at_access()
    visit.answer("length", 2, FIRST, estimate="20")
    assert start(visit.case()) == Cursor("length", 2)
    visit.correct(of(visit, "access.straight"), straight="yes")
    assert start(visit.case()) == Cursor("length", 2), "a correction is no place to be"
    visit.master(canal=2)
    assert start(visit.case()) == Cursor("shaping", 3), "what is asked last is answered, so it goes on to the next"


def test_a_session_goes_on_where_the_assistant_went() -> None:
    visit = at_access()
    visit.log(kinds.Go, step="time_out", canal=0)
    assert start(visit.case()) == Cursor("time_out", 0), "gone to on purpose, answered or not"
    visit.log(kinds.Go, step="shaping", canal=3, last=True)
    assert start(visit.case()) == Cursor("shaping", 3, last=True)


def test_a_question_asked_for_each_canal_belongs_to_a_step_of_the_tooth() -> None:
    visit = at_access()
    visit.answer("closing", 2, outcome="not_treated")
    assert start(visit.case()) == Cursor("closing", 0)


def test_the_nearest_canal() -> None:
    visit = at_access("mb+ml")
    case = visit.case()
    drying, closing = visit.plan.by_step["drying"], visit.plan.by_step["closing"]
    assert nearest_canal(case, drying, 2) == 2
    assert nearest_canal(case, drying, 7) == 1
    assert nearest_canal(case, closing, 2) == 0
    unopened = Visit()
    examined(unopened)
    assert nearest_canal(unopened.case(), drying, 1) is None
