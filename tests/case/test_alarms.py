"""The alarms that no protocol can mute: each rings twice, weighs as a stop, and is silent on its other side."""

from __future__ import annotations

from msgspec.structs import replace

from stepper.case import alarms
from stepper.case.judge import Standing, before_acts, judge, standing
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import Fact, Row
from stepper.facts.values import Choice
from tests.case.looking import of
from tests.case.visit import Visit, at_access, at_fill
from tests.cases import examined


def ringing(visit: Visit, rule: str) -> list[Remark]:
    """The remarks of an alarm, in the order of their entries."""
    found = [one.remark for one in judge(visit.case()) if one.remark.rule == rule]
    assert all(one.weight is Weight.STOP and one.sound == 2 for one in found)
    return sorted(found, key=lambda one: one.evidence)


def places(visit: Visit, rule: str) -> list[tuple[str, int, tuple[int, ...]]]:
    return [(one.step, one.canal, one.evidence) for one in ringing(visit, rule)]


def test_an_uneventful_visit_rings_for_nothing() -> None:
    assert all(ringing(at_fill(1, 2, 3), rule) == [] for rule in alarms.NAMES)


def test_the_alarms_are_the_names_that_no_rule_may_take() -> None:
    assert alarms.BEFORE | alarms.FACT_ALARMS | {"gate"} == alarms.NAMES
    assert not alarms.BEFORE & alarms.FACT_ALARMS


def test_patient_that_differs_from_the_header() -> None:
    visit = Visit()
    seq = visit.answer("time_out", patient_number="4712")
    assert places(visit, "patient") == [("time_out", 0, (seq,))]
    assert "not the patient of this visit" in ringing(visit, "patient")[0].text
    assert "4711" not in ringing(visit, "patient")[0].text, "neither value is shown"
    assert "4712" not in ringing(visit, "patient")[0].text
    assert ringing(visit, "tooth") == []
    visit.answer("time_out", patient_number="4711")
    assert ringing(visit, "patient") == []


def test_tooth_that_differs_from_the_header() -> None:
    for question in ("tooth_on_image", "tooth_in_mouth"):
        visit = Visit()
        seq = visit.answer("time_out", **{question: "47"})
        assert places(visit, "tooth") == [("time_out", 0, (seq,))]
        assert ringing(visit, "patient") == []
        visit.answer("time_out", **{question: "46"})
        assert ringing(visit, "tooth") == []
    visit = at_access()
    seq = visit.answer("access", tooth_opened="36")
    assert places(visit, "tooth") == [("access", 0, (seq,))]


def test_an_absent_answer_rings_for_nothing() -> None:
    visit = Visit()
    visit.answer("time_out", patient_number="--", tooth_on_image="-/", tooth_in_mouth="-.")
    assert ringing(visit, "patient") == ringing(visit, "tooth") == []


def test_answers_older_than_an_altered_header_are_stale_and_not_wrong() -> None:
    visit = at_access()
    visit.confirm(visit.correct(0, patient="4712", tooth="36"))
    assert ringing(visit, "patient") == []
    assert [one.step for one in ringing(visit, "tooth")] == ["access"], "the tooth that is open stays as it was"
    seq = visit.answer("time_out", patient_number="4711")
    assert places(visit, "patient") == [("time_out", 0, (seq,))]


def test_misses_are_counted_by_question() -> None:
    visit = Visit()
    visit.answer("time_out", patient_number="4712", tooth_on_image="46")
    visit.answer("time_out", patient_number="4713")
    visit.answer("time_out", patient_number="4711", tooth_in_mouth="47")
    assert visit.case().misses == {"time_out.patient_number": 2, "time_out.tooth_in_mouth": 1}


def test_cone_against_the_file() -> None:
    visit = at_fill()
    visit.answer("cone_fit", 1, 2, cone="40/4")
    assert places(visit, "cone") == [("cone_fit", 1, (of(visit, "shaping.master", 1), of(visit, "cone_fit.cone", 1)))]
    assert ringing(visit, "cone")[0].text.startswith("Cone 40/.04 does not go with master apical file 35/.04")
    visit.answer("cone_fit", 1, 2, cone="35/4")
    assert ringing(visit, "cone") == []


def test_cone_is_silent_without_a_technique_a_file_or_a_cone() -> None:
    visit = at_access()
    visit.agree()
    visit.file("35/4-0")
    visit.fit("40/4")
    assert ringing(visit, "cone") == []
    visit.choose()
    assert ringing(visit, "cone") == []
    visit.master()
    assert len(ringing(visit, "cone")) == 1
    visit.fit("--")
    assert ringing(visit, "cone") == [], "the last fit begun has no cone to compare"


def test_cone_is_silent_once_a_cut_or_a_length_has_outdated_the_fit() -> None:
    for what in ("cut", "length"):
        visit = at_fill()
        visit.fit("40/4")
        assert len(ringing(visit, "cone")) == 1
        if what == "cut":
            visit.file("40/4-0")
        else:
            visit.agree()
        assert ringing(visit, "cone") == []


def test_cone_trimmed_to_the_file_is_silent() -> None:
    visit = at_fill()
    visit.fit("30/4", trimmed="35/4")
    assert ringing(visit, "cone") == []


def test_allergy_whichever_was_logged_first() -> None:
    first = Visit()
    told = first.answer("diagnosis", allergies="epoxy+latex")
    seq = first.set_up("resin_sealer")
    first.set_up("zinc_oxide_sealer")
    assert [one[2] for one in places(first, "allergy")] == [(told, seq)]
    second = Visit()
    seq = second.set_up("resin_sealer")
    assert ringing(second, "allergy") == []
    told = second.answer("diagnosis", allergies="epoxy")
    assert [one[2] for one in places(second, "allergy")] == [(seq, told)]
    second.answer("diagnosis", allergies="none")
    assert ringing(second, "allergy") == []


def test_allergy_to_an_irrigant_that_was_not_set_up() -> None:
    visit = at_access()
    visit.answer("diagnosis", allergies="chlorhexidine")
    visit.rinse("saline")
    assert ringing(visit, "allergy") == []
    visit.rinse("chlorhexidine_2")
    assert [(one.step, one.canal) for one in ringing(visit, "allergy")] == [("irrigation", 1)]


def test_expired_lot() -> None:
    visit = Visit()
    seq = visit.set_up("edta_17", "2.2026")
    visit.set_up("hypochlorite_3", "3.2026")
    assert places(visit, "expired") == [("set_up", 0, (seq,))], "the visit is on 2 March 2026"
    assert "expired 2026-02" in ringing(visit, "expired")[0].text


def test_expired_goes_by_the_local_day_of_the_visit() -> None:
    late_evening = Visit(off="-09:00")
    late_evening.set_up("edta_17", "2.2026")
    assert late_evening.case().today.isoformat() == "2026-03-01"
    assert len(ringing(late_evening, "expired")) == 1
    day_before = Visit(off="-08:30")
    assert day_before.case().today.isoformat() == "2026-03-01"
    assert Visit(off="-08:00").case().today.isoformat() == "2026-03-02"


def test_hypochlorite_without_dam() -> None:
    visit = at_access()
    visit.answer("isolation", dam="off")
    visit.rinse("edta_17")
    assert ringing(visit, "no_dam") == []
    seq = visit.rinse("hypochlorite_1")
    assert places(visit, "no_dam") == [("irrigation", 1, (seq,))]
    visit.answer("isolation", dam="on")
    assert places(visit, "no_dam") == [("irrigation", 1, (seq,))], "the dam went on after it"
    visit.rinse("hypochlorite_3")
    assert len(ringing(visit, "no_dam")) == 1


def test_hypochlorite_before_any_dam() -> None:
    visit = Visit()
    visit.answer("access", canals="mb")
    visit.rinse("hypochlorite_3")
    assert len(ringing(visit, "no_dam")) == 1


def test_a_dam_taken_off_later_is_no_alarm_for_an_earlier_rinse() -> None:
    visit = at_access()
    visit.rinse("hypochlorite_3")
    visit.answer("isolation", dam="off")
    visit.correct(of(visit, "irrigation.volume", 1), volume="4")  # folds again
    assert ringing(visit, "no_dam") == []


def about_to(visit: Visit, step: str, canal: int, **typed: str) -> list[str]:
    """What would hold back an act that is not logged yet."""
    plan, seq = visit.plan.by_step[step], len(visit.entries)
    row = Row(step, canal, visit.row_after(step, canal))
    for name, value in visit.values(step, typed).items():
        question = plan.asked(name)
        assert question is not None
        row.facts[name] = Fact(value, seq, (seq, 0, seq), question.role)
    return sorted(one.rule for one in before_acts(visit.case(), row))


def test_the_alarms_of_an_act_hold_it_back_before_it_is_logged() -> None:
    visit = at_access()
    assert about_to(visit, "irrigation", 1, solution="hypochlorite_3") == []
    visit.answer("isolation", dam="off")
    visit.answer("diagnosis", allergies="hypochlorite")
    assert about_to(visit, "irrigation", 1, solution="hypochlorite_3") == ["allergy", "no_dam"]
    assert about_to(visit, "irrigation", 1, solution="saline") == []
    assert about_to(visit, "set_up", 0, item="edta_17", expiry="2.2026") == ["expired"]
    assert about_to(visit, "set_up", 0, item="edta_17", expiry="4.2026") == []


def test_a_stop_about_a_fact_outside_the_chain_stands_as_outside() -> None:
    visit = at_access()
    visit.answer("isolation", dam="off")
    inside = visit.rinse("hypochlorite_3")
    outside = visit.rinse("hypochlorite_3", outside=True)
    case = visit.case()
    by_seq = {one.evidence: standing(case, one) for one in ringing(visit, "no_dam")}
    assert by_seq == {(inside,): Standing.OPEN, (outside,): Standing.OUTSIDE}


def test_an_alarm_is_worded_by_the_protocol_and_weighs_by_the_program() -> None:
    wording = replace(at_fill().plan.wording, no_dam="Wait: {solution}.")
    visit = Visit(plan=replace(at_fill().plan, wording=wording))
    examined(visit)
    visit.answer("isolation", dam="off")
    visit.answer("access", canals="mb")
    visit.rinse("hypochlorite_3")
    (remark,) = ringing(visit, "no_dam")
    assert remark.text == "Wait: Sodium hypochlorite 3 %."


def test_only_blind_checks_differ() -> None:
    view = at_access().case().told
    assert alarms.differs(view, "tooth_check", "47")
    assert not alarms.differs(view, "tooth_check", "46")
    assert not alarms.differs(view, "working_length", "47")
    assert not alarms.differs(view, None, "47")


def test_the_dam_as_it_stands_and_as_it_stood() -> None:
    visit = at_access()
    early = Row("irrigation", 1, 1, {"solution": Fact(Choice(options=("edta_17",)), 1, (1, 0, 1), "irrigant")})
    view = visit.case().told
    assert alarms.dam_on(view)
    assert not alarms.dam_on(view, early), "the dam was placed after entry 1"
    visit.answer("isolation", dam="off")
    assert not alarms.dam_on(visit.case().told)
