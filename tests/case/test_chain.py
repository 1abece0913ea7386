"""What rests on what, sentence by sentence, as the paragraph after the eight clauses has it (design, section 4).

Canals that join have tests/case/test_joins.py, corrections tests/case/test_corrections.py.
"""

from __future__ import annotations

import pytest

from stepper.case.walk import Status
from stepper.facts.state import LAST
from tests.case.looking import asks, keys, of, outcome, reopened, stands
from tests.case.visit import Visit, at_access, at_fill
from tests.cases import fill

# ---- "the last fit begun counts, even when it fails; an earlier good one is never fallen back on" ------------------


def test_the_last_fit_begun_counts_even_when_it_fails() -> None:
    visit = at_fill()
    visit.fit("30/4", seat="+2", tug_back="no", cone_image="beyond")
    assert visit.shut() == {"cone_fit"}
    visit.fit()
    assert visit.why() == {}


@pytest.mark.parametrize("absent", ["--", "-/", "-."])
@pytest.mark.parametrize("question", ["cone", "seat", "tug_back", "cone_image"])
def test_a_fit_begun_with_no_fact_to_give_counts_too(question: str, absent: str) -> None:
    visit = at_fill()
    visit.answer("cone_fit", 1, visit.row_after("cone_fit", 1), **{question: absent})
    assert visit.shut() == {"cone_fit"}


def test_technique_and_sealer_begin_no_fit() -> None:
    visit = at_fill()
    visit.choose()
    assert visit.why() == {}


def test_a_fit_that_failed_is_no_fit_once_it_was_said_to_be_keyed_wrong() -> None:
    visit = at_fill()
    failed = visit.fit("30/4")
    yes = visit.correct(failed, cone="35/4")
    assert visit.shut() == {"cone_fit"}
    visit.confirm(yes)
    assert visit.why() == {}


def test_the_last_fit_is_the_last_that_happened_not_the_last_that_was_keyed() -> None:
    visit = at_access()
    visit.shape()
    visit.dry()
    visit.choose()
    visit.wait(10)
    visit.fit()
    late = visit.fit("40/4", ago=5)
    assert late in visit.case().late
    assert visit.why() == {}
    visit.fit("40/4")
    assert visit.shut() == {"cone_fit"}


def test_a_fit_stands_where_the_earliest_of_it_was_measured() -> None:
    visit = at_access()
    visit.shape()
    visit.choose()
    visit.answer("cone_fit", 1, 1, cone="35/4", seat="0")
    visit.file("25/4-0")
    visit.rinse()
    visit.dry()
    visit.answer("cone_fit", 1, 1, tug_back="yes", cone_image="seated")
    assert visit.why() == {"cone_fit": "a cut or a new length came after the cone fit"}


# ---- "a fit before the MAF is declared is judged at whichever comes second; declared again, judged again" ----------


def test_a_fit_before_the_master_apical_file_is_judged_when_that_is_declared() -> None:
    visit = at_access()
    visit.agree()
    visit.file("35/4-0")
    visit.rinse()
    visit.finish()
    assert visit.shut() == {"master_apical_file", "cone_fit"}
    assert keys(visit, "cone") == []
    visit.master("30/4")
    assert "does not match" in visit.why()["cone_fit"]
    assert len(keys(visit, "cone")) == 1
    visit.master("35/4")
    assert visit.why() == {}
    assert keys(visit, "cone") == []


def test_the_same_fit_is_judged_again_by_another_master_apical_file() -> None:
    visit = at_access()
    visit.shape("35/4-0", "40/4-0", master="40/4")
    visit.dry()
    visit.choose()
    visit.fit("40/4")
    assert visit.why() == {}
    visit.answer("shaping", 1, LAST + 1, master="35/4")
    assert visit.shut() == {"master_apical_file", "cone_fit"}
    visit.answer("shaping", 1, LAST + 2, master="40/4")
    assert visit.why() == {}


def test_declaring_a_master_apical_file_is_no_cut() -> None:
    visit = at_fill()
    visit.master()
    assert visit.why() == {}
    assert reopened(visit) == set()


# ---- "technique or sealer changed: fit and drying are judged again by the new rule, only missing fields are asked" --


def said(visit: Visit, how: str, **typed: str) -> None:
    """Change technique or sealer: as a correction of either kind, or keyed again."""
    row = of(visit, "cone_fit.technique", 1)
    if how == "again":
        visit.answer("cone_fit", 1, 0, **typed)
    else:
        seq = visit.correct(row, anew=how == "measured_anew", **typed)
        if how == "keyed_wrong":
            visit.confirm(seq)


@pytest.mark.parametrize("how", ["again", "measured_anew", "keyed_wrong"])
def test_the_fit_is_judged_by_the_new_technique(how: str) -> None:
    visit = at_fill()
    visit.choose("cold_lateral")
    visit.fit("35/2", seat="-0.5")
    assert visit.why() == {}
    said(visit, how, technique="single_cone")
    assert visit.shut() == {"cone_fit"}, "single cone compares the taper too"
    assert len(keys(visit, "cone")) == 1
    said(visit, how, technique="cold_lateral")
    assert visit.why() == {}


@pytest.mark.parametrize("how", ["again", "measured_anew", "keyed_wrong"])
def test_the_drying_is_judged_by_the_new_sealer(how: str) -> None:
    visit = at_fill()
    visit.set_up("calcium_silicate_sealer")
    visit.choose(sealer="calcium_silicate_sealer")
    visit.dry("damp", damp_mm="0.5")
    assert visit.why() == {}
    said(visit, how, sealer="resin_sealer")
    assert visit.shut() == {"dry"}
    said(visit, how, sealer="calcium_silicate_sealer")
    assert visit.why() == {}


def test_the_lot_is_judged_by_the_new_sealer() -> None:
    visit = at_fill()
    visit.set_up("zinc_oxide_sealer", "1.2026")
    said(visit, "measured_anew", sealer="zinc_oxide_sealer")
    assert visit.why() == {"lots": "the lot of the sealer is expired"}


def test_another_technique_asks_for_missing_fields_only() -> None:
    visit = at_fill()
    visit.choose("warm_vertical", "calcium_silicate_sealer")
    assert stands(visit, "cone_fit") is Status.DONE
    assert visit.shut() == {"lots"}, "the calcium-silicate sealer has no lot; nothing else is asked"


# ---- "patency, scouting, recapitulation after the fit reopen drying only" ------------------------------------------


@pytest.mark.parametrize("purpose", ["patency", "scout", "recapitulate"])
@pytest.mark.parametrize("step", ["shaping", "flare"])
def test_a_file_that_does_not_cut_reopens_drying_only(purpose: str, step: str) -> None:
    visit = at_fill()
    visit.file("10/2-0", purpose, step=step)
    assert visit.shut() == {"dry"}
    assert reopened(visit) == {"drying"}
    visit.dry()
    assert visit.why() == {}
    assert reopened(visit) == set()


@pytest.mark.parametrize("step", ["shaping", "flare"])
def test_a_cut_reopens_rinse_drying_and_fit(step: str) -> None:
    visit = at_fill()
    visit.file("25/4-0", step=step)
    assert visit.shut() == {"cone_fit", "dry", "rinse"}
    assert {"irrigation", "drying", "cone_fit"} <= reopened(visit)
    visit.rinse()
    assert visit.shut() == {"cone_fit", "dry"}
    visit.dry()
    assert visit.shut() == {"cone_fit"}
    visit.fit()
    assert visit.why() == {}
    assert reopened(visit) <= {"gauging"}


def test_a_file_without_a_purpose_counts_as_a_cut() -> None:
    visit = at_fill()
    row = visit.row_after("shaping", 1)
    visit.answer("shaping", 1, row, file="25/4-0")
    assert visit.shut() == {"cone_fit", "dry", "rinse"}


def test_a_cut_outside_the_chain_reopens_too() -> None:
    visit = at_fill()
    visit.file("25/4-0", outside=True)
    assert visit.shut() == {"cone_fit", "dry", "rinse"}


def test_gauging_reopened_and_not_repeated_is_only_told() -> None:
    visit = at_fill()
    visit.answer("gauging", 1, gauge="30-0", held="held")
    visit.file("25/8-6", step="flare")
    visit.rinse()
    visit.dry()
    visit.fit()
    assert "gauging" in reopened(visit)
    assert len(keys(visit, "gauging_old")) == 1
    assert visit.why() == {}


def test_a_rinse_reopens_drying() -> None:
    visit = at_fill()
    visit.rinse("saline")
    assert visit.shut() == {"dry"}
    assert reopened(visit) == {"drying"}
    visit.dry()
    assert visit.why() == {}


def test_a_rinse_outside_the_chain_wets_the_canal_but_rinses_nothing() -> None:
    visit = at_fill()
    visit.rinse("saline", outside=True)
    assert visit.shut() == {"dry"}


def test_another_canal_is_left_alone() -> None:
    visit = at_fill(1, 2)
    visit.file("25/4-0", canal=2)
    visit.rinse("saline", canal=2)
    visit.agree(canal=2)
    assert visit.why(1) == {}
    assert visit.shut(2) == {"master_apical_file", "cone_fit", "dry", "rinse"}


def test_a_length_measured_anew_reopens_what_was_measured_from_it() -> None:
    visit = at_fill()
    visit.agree()
    assert visit.shut() == {"master_apical_file", "cone_fit", "dry"}
    visit.master()
    visit.dry()
    visit.fit()
    assert visit.why() == {}, "the rinse was no measurement"


def test_a_finished_step_reopens_when_its_evidence_changes() -> None:
    visit = at_fill()
    assert stands(visit, "drying") is Status.DONE
    visit.declare("drying", 1)
    assert stands(visit, "drying") is Status.DONE
    visit.rinse("saline")
    assert stands(visit, "drying") is Status.REOPENED, "declared finished before the rinse"
    visit.declare("drying", 1)
    assert stands(visit, "drying") is Status.DONE, "declared finished after it"
    visit.agree()
    assert stands(visit, "drying") is Status.REOPENED


def test_a_finished_step_reopens_when_what_lies_two_steps_below_it_changes() -> None:
    visit = at_fill()
    visit.declare("irrigation", 1)
    visit.agree()
    assert stands(visit, "irrigation") is Status.REOPENED, "irrigation rests on shaping, and shaping on the length"


def test_a_step_said_to_be_not_done_has_nothing_to_reopen() -> None:
    visit = at_access()
    visit.agree()
    visit.declare("gauging", 1, "not_done")
    visit.file("25/8-6", step="flare")
    assert stands(visit, "gauging") is Status.NOT_DONE
    visit.answer("gauging", 1, gauge="30-0", held="held")
    assert stands(visit, "gauging") is Status.DONE


def test_a_file_that_just_reached_the_join_was_in_the_shared_part() -> None:
    for depth, reached in (("3.5", True), ("4", False)):
        visit = at_fill(2, 1)
        visit.join(2, 1, "17")
        visit.file(f"25/4-{depth}", canal=2)  # to 20.5 - 3.5 = 17 mm or to 16.5 mm from its reference point
        assert ("cone_fit" in visit.shut(1)) is reached


# ---- "a canal blocked: length agreed anew at the block" ------------------------------------------------------------


def test_a_blocked_canal_is_filled_to_the_block_once_all_was_measured_from_there() -> None:
    visit = at_fill()
    visit.file("15/2-3", "scout")
    visit.agree("17.5")
    assert {"master_apical_file", "cone_fit", "dry"} <= visit.shut()
    visit.file("40/4-0")
    visit.master("40/4")
    visit.rinse()
    visit.dry()
    visit.fit("40/4")
    assert "is wider than" in visit.why()["master_apical_file"], "the 35 went 3 mm past the block: 0.47 mm wide there"
    fresh = at_access()
    fresh.agree()
    fresh.file("25/4-3")
    fresh.agree("17.5")
    fresh.file("35/4-0")
    fresh.master()
    fresh.rinse()
    fresh.finish()
    assert fresh.why() == {}


# ---- "a canal added later: next number, own steps, no other gate shuts" --------------------------------------------


def test_a_canal_found_late_shuts_no_other_gate() -> None:
    visit = at_fill(1, 2, 3)
    visit.found(4, "MM")
    case = visit.case()
    assert {number: canal.name for number, canal in case.told.canals.items()} == {1: "MB", 2: "ML", 3: "D", 4: "MM"}
    assert [visit.shut(canal) for canal in (1, 2, 3)] == [set(), set(), set()]
    assert visit.shut(4) >= {"length", "master_apical_file", "cone_fit", "dry", "rinse"}
    visit.shape(canal=4)
    visit.finish(4)
    assert [visit.shut(canal) for canal in (1, 2, 3, 4)] == [set()] * 4


def test_a_canal_named_later_gets_the_next_number_whatever_its_place_among_the_options() -> None:
    visit = at_access("ml+d")
    visit.answer("access", canals="mb+ml+d")
    assert {number: canal.name for number, canal in visit.case().told.canals.items()} == {1: "ML", 2: "D", 3: "MB"}


# ---- "tooth or patient corrected: all gates shut until confirmed and the time-out is answered anew" ----------------

NEW = {"patient": "4712", "tooth": "36"}


def answer_time_out(visit: Visit, **now: str) -> int:
    told = {"patient": "4711", "tooth": "46"} | now
    tooth = told["tooth"]
    return visit.answer("time_out", patient_number=told["patient"], tooth_on_image=tooth, tooth_in_mouth=tooth)


def test_patient_corrected_needs_both_the_yes_and_the_time_out() -> None:
    for first in ("yes", "time_out"):
        visit = at_fill(1, 2)
        correction = visit.correct(0, patient="4712")
        assert visit.shut(1) == visit.shut(2) == {"clear"}
        if first == "yes":
            visit.confirm(correction)
        else:
            answer_time_out(visit, patient="4712")
        assert visit.shut(1) == visit.shut(2) == {"clear"}
        if first == "yes":
            answer_time_out(visit, patient="4712")
        else:
            visit.confirm(correction)
        assert visit.shut(1) == visit.shut(2) == set()


def test_the_time_out_is_answered_anew_in_full() -> None:
    visit = at_fill()
    visit.confirm(visit.correct(0, patient="4712"))
    visit.answer("time_out", patient_number="4712")
    assert visit.shut() == {"clear"}
    assert stands(visit, "time_out", 0) is Status.REOPENED
    visit.answer("time_out", tooth_on_image="46")
    assert visit.shut() == {"clear"}, "the tooth was counted before the header changed"
    visit.answer("time_out", tooth_in_mouth="46")
    assert visit.why() == {}
    assert stands(visit, "time_out", 0) is Status.DONE


def test_tooth_corrected_needs_the_tooth_opened_to_agree() -> None:
    visit = at_fill()
    visit.confirm(visit.correct(0, tooth="36"))
    answer_time_out(visit, tooth="36")
    assert visit.shut() == {"clear"}, "46 was opened"
    visit.confirm(visit.correct(of(visit, "access.tooth_opened"), tooth_opened="36"))
    assert visit.why() == {}


def test_a_header_corrected_back_needs_the_time_out_again_too() -> None:
    visit = at_fill()
    wrong = visit.correct(0, patient="4712")
    back = visit.correct(0, patient="4711")
    visit.confirm(wrong, back)
    assert visit.shut() == {"clear"}
    answer_time_out(visit)
    assert visit.why() == {}


# ---- "a correction after the fill: it stays filled" ----------------------------------------------------------------


def test_a_correction_after_the_fill_leaves_it_filled() -> None:
    for confirmed in (False, True):
        visit = at_fill()
        fill(visit)
        seq = visit.correct(of(visit, "shaping.master", 1), master="40/4")
        if confirmed:
            visit.confirm(seq)
        assert outcome(visit) == "filled"
        assert len(keys(visit, "cone")) == 1, "with a stop for the head of the note"


def test_a_canal_filled_while_its_gate_was_shut_stays_outside_the_chain() -> None:
    visit = at_fill()
    visit.dry("wet")
    fill(visit)
    assert outcome(visit) == "filled_outside"
    visit.confirm(visit.correct(of(visit, "drying.dryness", 1), dryness="dry"))
    assert outcome(visit) == "filled_outside"


def test_a_fill_logged_as_outside_the_chain_is_outside_even_with_the_gate_open() -> None:
    visit = at_fill()
    fill(visit, outside=True)
    assert outcome(visit) == "filled_outside"


# ---- outside the chain; held and dropped; owed ---------------------------------------------------------------------


def test_facts_outside_the_chain_never_open_but_can_shut() -> None:
    visit = at_access()
    visit.shape()
    visit.dry(outside=True)
    visit.choose()
    visit.fit(outside=True)
    assert visit.shut() == {"dry", "cone_fit"}
    good = at_fill()
    good.fit(outside=True)
    assert good.shut() == {"cone_fit"}
    wider = at_fill()
    wider.file("45/4-0", outside=True)
    assert "master_apical_file" in wider.shut()


def test_a_master_apical_file_declared_outside_the_chain_opens_nothing() -> None:
    visit = at_access()
    visit.agree()
    visit.file("35/4-0")
    visit.master(outside=True)
    visit.rinse()
    visit.finish()
    assert "master_apical_file" in visit.shut()


def test_what_is_held_is_no_evidence() -> None:
    visit = at_fill()
    held = visit.row_after("cone_fit", 1)
    visit.hold("cone_fit", 1, held, cone="30/4")
    visit.hold("shaping", 1, 9, file="45/4-0")
    visit.hold("sealing", 1, fill="filled")
    assert visit.why() == {}
    assert outcome(visit) is None


def test_a_dropped_row_is_no_evidence_either_way() -> None:
    visit = at_fill()
    row = visit.row_after("drying", 1)
    visit.dry("wet")
    assert visit.shut() == {"dry"}
    visit.hold("drying", 1, row, drops=True)
    assert visit.why() == {}, "the drying before it stands again"
    only = at_access()
    only.shape()
    row = only.row_after("cone_fit", 1)
    only.finish()
    only.hold("cone_fit", 1, row, drops=True)
    assert only.why() == {"cone_fit": "no cone is fitted"}


def test_an_ended_row_is_evidence_still() -> None:
    visit = at_fill()
    row = visit.row_after("cone_fit", 1)
    visit.answer("cone_fit", 1, row, cone="40/4")
    visit.hold("cone_fit", 1, row, seat="0")
    assert visit.shut() == {"cone_fit"}


def test_owed_facts_shut_what_they_are_evidence_for() -> None:
    evidence = {"length.working_length": "length", "drying.dryness": "dry", "cone_fit.seat": "cone_fit"}
    for question, clause in evidence.items():
        visit = at_fill()
        _, _, name = question.partition(".")
        visit.correct(of(visit, question, 1), anew=True, **{name: "-."})
        assert clause in visit.shut()


def test_an_ask_comes_again_with_new_evidence() -> None:
    visit = at_fill()
    visit.dry(blood="pus")
    visit.depart(*keys(visit, "pus"))
    assert visit.why() == {}
    visit.dry(blood="pus")
    assert asks(visit) == {"pus"}
    assert visit.shut() == {"answered"}
