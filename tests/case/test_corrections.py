"""Corrections: keyed wrong and measured anew, of lengths, files, headers, corrections; what each may open or shut."""

from __future__ import annotations

from decimal import Decimal

import pytest
from msgspec.structs import replace

from stepper.facts import entries as kinds
from stepper.facts.state import LAST
from stepper.facts.values import Digits
from tests.case.looking import asks, confirm_all, is_open, keys, of, outcome, reasons, same
from tests.cases import Log, examined, fill, fitted, opened, ready, shaped


def rinsed(log: Log, canal: int, *rows: int) -> None:
    for row, item in zip(rows, ("edta_17", "hypochlorite_3"), strict=True):
        log.answer("irrigation", canal, row, solution=item, volume="2", needle_depth="-3", needle="needle_30_side")


def again(log: Log, row: int = 2, canal: int = 1, cone: str = "35/4") -> None:
    """Rinse, dry and fit once more."""
    rinsed(log, canal, 2 * row - 1, 2 * row)
    log.answer("drying", canal, row, point_depth="0", dryness="dry", blood="none")
    log.answer("cone_fit", canal, row, cone=cone, seat="0", tug_back="yes", cone_image="seated")


# ---- Keyed wrong: shuts at once, opens on the clinician's yes ------------------------------------------------------


@pytest.mark.parametrize(
    ("question", "wrong", "clause"),
    [
        ("isolation.dam", "off", "clear"),
        ("time_out.patient_number", "4712", "clear"),
        ("time_out.tooth_on_image", "47", "clear"),
        ("access.tooth_opened", "47", "clear"),
        ("diagnosis.allergies", "epoxy", "clear"),
        ("length.working_length", "-/", "length"),
        ("shaping.master", "40/4", "master_apical_file"),
        ("shaping.file", "45/4-0", "master_apical_file"),
        ("shaping.file", "35/4-1", "master_apical_file"),
        ("cone_fit.cone", "35/6", "cone_fit"),
        ("cone_fit.cone", "--", "cone_fit"),
        ("cone_fit.seat", "-1", "cone_fit"),
        ("cone_fit.tug_back", "no", "cone_fit"),
        ("cone_fit.cone_image", "short", "cone_fit"),
        ("drying.dryness", "wet", "dry"),
        ("drying.point_depth", "-4", "dry"),
        ("irrigation.solution", "saline", "rinse"),
        ("set_up.expiry", "1.2026", "lots"),
        ("set_up.item", "saline", "lots"),
        ("length.image_length", "22", "answered"),
        ("drying.blood", "pus", "answered"),
    ],
)
def test_keyed_wrong_shuts_at_once_and_opens_on_the_yes(question: str, wrong: str, clause: str) -> None:
    log = ready()
    step, _, name = question.partition(".")
    canal = 1 if log.plan.by_step[step].scope == "C" else 0
    seq = of(log, question, canal)
    log.correct(seq, **{name: wrong})
    assert clause in reasons(log)
    log = ready()
    right = log.entries[seq]
    log.entries[seq] = replace(right, values={**right.values, **log.values(step, {name: wrong})})  # type: ignore[attr-defined]
    assert clause in reasons(log)
    text = {"set_up.item": "cones_04", "irrigation.solution": "hypochlorite_3", "set_up.expiry": "11.2027"}
    mended = text.get(question) or {
        "dam": "on",
        "patient_number": "4711",
        "tooth_on_image": "46",
        "tooth_opened": "46",
        "allergies": "none",
        "working_length": "20.5",
        "master": "35/4",
        "file": "35/4-0",
        "cone": "35/4",
        "seat": "0",
        "tug_back": "yes",
        "cone_image": "seated",
        "dryness": "dry",
        "point_depth": "0",
        "image_length": "20.5",
        "blood": "none",
    }.get(name, "")
    correction = log.correct(seq, **{name: mended})
    assert "not confirmed" in reasons(log)[clause]
    log.confirm(correction)
    assert is_open(log)


def test_a_correction_of_a_correction_is_about_the_same_fact() -> None:
    log = ready()
    first = log.correct(of(log, "shaping.master", 1), master="40/4")
    second = log.correct(first, master="35/4")
    assert is_open(log)  # told by the second, and sure without either
    log.confirm(second)
    assert is_open(log)
    third = log.correct(second, master="40/4")
    assert "master_apical_file" in reasons(log)
    log.confirm(third)
    assert "master_apical_file" in reasons(log)
    log.confirm(first)
    assert log.case().told.role("master_apical_file", 1).seq == third  # type: ignore[union-attr]


def test_keyed_wrong_of_measured_anew_is_about_the_new_measurement() -> None:
    log = ready()
    anew = log.correct(of(log, "drying.dryness", 1), anew=True, dryness="wet")
    assert "dry" in reasons(log)
    slip = log.correct(anew, dryness="dry")
    assert "not confirmed" in reasons(log)["dry"]
    log.confirm(slip)
    assert is_open(log)


@pytest.mark.parametrize("of_seq", [0, 9_999])
def test_a_correction_of_nothing_changes_nothing(of_seq: int) -> None:
    log = ready()
    log.log(kinds.Correction, of=of_seq, how="measured_anew", values={"patient": Digits(value="1")})
    log.log(
        kinds.Correction, of=len(log.entries) + 1, how="keyed_wrong", values=log.values("drying", {"dryness": "wet"})
    )
    ahead = log.answer("drying", 1, 2, point_depth="0", dryness="dry", blood="none")
    assert ahead == len(log.entries) - 1
    assert is_open(log)
    log.confirm(1)  # folds again from the start
    assert is_open(log)


# ---- Lengths: keyed wrong keeps the distance, measured anew keeps the absolute ------------------------------------


def test_length_keyed_wrong_keeps_the_distances() -> None:
    log = ready()
    slip = log.correct(of(log, "length.working_length", 1), working_length="21.5")
    uses = {use.size: use.absolute_mm for use in log.case().told.canals[1].files}
    assert uses[35] == Decimal("21.5") and uses[25] == Decimal("21.5")
    log.confirm(slip)
    assert "master_apical_file" not in reasons(log) and "cone_fit" not in reasons(log)


def test_length_measured_anew_keeps_the_absolute_and_asks_for_everything_anew() -> None:
    log = ready()
    log.correct(of(log, "length.working_length", 1), anew=True, working_length="21.5")
    uses = {use.size: use.absolute_mm for use in log.case().told.canals[1].files}
    assert uses[35] == Decimal("20.5")
    assert {"master_apical_file", "cone_fit", "dry"} <= set(reasons(log))
    log.answer("shaping", 1, LAST + 1, master="35/4")
    again(log)
    assert "no file 35/.04 was cut to length" in reasons(log)["master_apical_file"]
    log.answer("shaping", 1, 3, file="35/4-0", purpose="cut")
    log.answer("shaping", 1, LAST + 2, master="35/4")
    again(log, 3)
    assert is_open(log)


def test_a_file_at_the_old_length_is_beyond_the_shorter_one() -> None:
    log = ready()
    log.answer("length", 1, 2, electronic="19", image_length="19", working_length="19", reference="mesiobuccal_cusp")
    log.answer("shaping", 1, 3, file="35/4-0", purpose="cut")
    log.answer("shaping", 1, LAST + 1, master="35/4")
    again(log)
    assert "is wider" in reasons(log)["master_apical_file"]


def test_a_file_half_a_millimetre_beyond_is_not_wider_than_itself() -> None:
    log = opened(examined(Log()))
    shaped(log)
    log.answer("shaping", 1, 2, file="35/4+0.5", purpose="cut")
    case = log.case()
    assert "wider" not in reasons(log).get("master_apical_file", "")
    assert case.told.canals[1].files[-1].short_mm == Decimal("-0.5")


def test_a_length_agreed_anew_at_a_block() -> None:
    log = ready()
    log.answer("length", 1, 2, working_length="17.5", reference="mesiobuccal_cusp")
    assert {"master_apical_file", "cone_fit", "dry"} <= set(reasons(log))
    log.answer("shaping", 1, 3, file="60/4-0", purpose="cut")
    log.answer("shaping", 1, LAST + 1, master="60/4")
    again(log, cone="60/4")
    assert is_open(log)


def test_a_broken_reference_point_voids_the_length_and_the_depths() -> None:
    log = ready()
    log.correct(of(log, "length.reference", 1), anew=True, reference="flattened")
    assert "length" in reasons(log)
    assert all(use.absolute_mm is None for use in log.case().told.canals[1].files)
    log.answer("length", 1, 2, working_length="19.5", reference="flattened")
    log.answer("shaping", 1, LAST + 1, master="35/4")
    again(log)
    assert "no file 35/.04 was cut to length" in reasons(log)["master_apical_file"]


def test_a_length_from_another_reference_point_voids_the_depths_from_the_one_before() -> None:
    log = opened(examined(Log()))
    shaped(log)
    log.answer("shaping", 1, 3, file="45/4-0", purpose="cut")
    log.answer("length", 1, 2, electronic="22.5", image_length="22.5", working_length="22.5", reference="filling_edge")
    log.answer("shaping", 1, 4, file="35/4-0", purpose="cut")
    log.answer("shaping", 1, LAST + 1, master="35/4")
    fitted(log)
    again(log)
    assert log.case().told.canals[1].length is not None
    assert "45/.04 was cut to length and is wider" in reasons(log)["master_apical_file"]


def test_the_same_reference_point_said_again_voids_nothing() -> None:
    log = ready()
    log.answer("length", 1, 2, working_length="20.5", reference="mesiobuccal_cusp")
    assert all(use.absolute_mm is not None for use in log.case().told.canals[1].files)


def test_a_reference_point_keyed_wrong_voids_nothing() -> None:
    log = ready()
    log.confirm(log.correct(of(log, "length.reference", 1), reference="flattened"))
    assert is_open(log)


# ---- Measured anew never undoes what was done ---------------------------------------------------------------------


def test_a_file_measured_anew_was_in_the_canal_all_the_same() -> None:
    log = opened(examined(Log()))
    shaped(log)
    log.answer("shaping", 1, 3, file="45/4-0", purpose="cut")
    log.correct(of(log, "shaping.file", 1), anew=True, file="35/4-0")
    log.answer("shaping", 1, LAST + 1, master="35/4")
    fitted(log)
    again(log)
    assert "45/.04 was cut to length and is wider" in reasons(log)["master_apical_file"]


def test_a_purpose_measured_anew_leaves_the_cut_that_was_made() -> None:
    log = opened(examined(Log()))
    shaped(log)
    log.answer("shaping", 1, 3, file="45/4-0", purpose="cut")
    log.correct(of(log, "shaping.purpose", 1), anew=True, purpose="patency")
    log.answer("shaping", 1, LAST + 1, master="35/4")
    fitted(log)
    again(log)
    assert "45/.04 was cut to length and is wider" in reasons(log)["master_apical_file"]


def test_a_purpose_keyed_wrong_was_never_a_cut() -> None:
    log = ready()
    log.answer("shaping", 1, 3, file="45/4-0", purpose="cut")
    slip = log.correct(of(log, "shaping.purpose", 1), purpose="patency")
    log.confirm(slip)
    assert set(reasons(log)) == {"dry"}


def test_a_purpose_said_after_its_file_is_its_purpose() -> None:
    log = ready()
    log.answer("shaping", 1, 3, file="10/2-0")
    assert "rinse" in reasons(log)  # while nobody has said what for, it counts as a cut
    log.answer("shaping", 1, 3, purpose="patency")
    assert set(reasons(log)) == {"dry"}


def test_a_purpose_said_after_the_length_changed_leaves_the_file_where_it_was() -> None:
    log = ready()
    log.answer("shaping", 1, 3, file="10/2-0")
    log.answer("length", 1, 2, working_length="22", reference="mesiobuccal_cusp")
    log.answer("shaping", 1, 3, purpose="patency")
    assert log.case().told.canals[1].files[-1].absolute_mm == Decimal("20.5")


def test_a_solution_measured_anew_leaves_the_one_that_was_used() -> None:
    log = ready()
    log.answer("irrigation", 1, 3, solution="saline", volume="2", needle_depth="-3", needle="needle_30_side")
    log.answer("irrigation", 1, 4, solution="chlorhexidine_2", volume="2", needle_depth="-3", needle="needle_30_side")
    log.correct(of(log, "irrigation.solution", 1), anew=True, solution="saline")
    assert [one.item for one in log.case().told.canals[1].rinses][-2:] == ["chlorhexidine_2", "saline"]


def test_an_ask_about_an_act_stays_when_the_act_is_measured_anew() -> None:
    log = ready()
    log.answer("shaping", 1, 3, file="10/2+2", purpose="scout")
    assert "shaping_beyond" in asks(log)
    log.correct(of(log, "shaping.file", 1), anew=True, file="10/2-0")
    assert "shaping_beyond" in asks(log)
    log.confirm(log.correct(of(log, "shaping.file", 1), file="10/2-0"))
    assert "shaping_beyond" not in asks(log)


def test_an_ask_about_a_measurement_goes_with_the_new_measurement() -> None:
    log = ready()
    log.correct(of(log, "length.image_length", 1), anew=True, image_length="22.5")
    assert "lengths_apart" in asks(log)
    log.correct(of(log, "length.image_length", 1), anew=True, image_length="20.5")
    assert "lengths_apart" not in asks(log)


def test_an_earlier_drying_measured_anew_is_the_last_word_on_the_canal() -> None:
    log = ready()
    log.answer("drying", 1, 2, point_depth="0", dryness="dry", blood="none")
    assert is_open(log)
    log.correct(of(log, "drying.dryness", 1, nth=0), anew=True, dryness="wet")
    assert "dry" in reasons(log)


def test_a_cone_measured_anew_needs_its_own_seat_tug_back_and_image() -> None:
    log = ready()
    log.correct(of(log, "cone_fit.cone", 1), anew=True, cone="35/4")
    assert "cone_fit" in reasons(log)
    log = ready()
    log.confirm(log.correct(of(log, "cone_fit.cone", 1), cone="35/4"))
    assert is_open(log)


def test_an_item_measured_anew_needs_its_own_expiry() -> None:
    log = ready()
    log.correct(of(log, "set_up.item", 0), anew=True, item="cones_06")
    assert "lots" in reasons(log)


def test_a_reason_for_an_unknown_expiry_is_none_for_the_item_that_took_its_place() -> None:
    log = ready()
    log.answer("set_up", row=9, item="cones_04", expiry="-/", lot="1")
    log.depart(keys(log, "expiry_unknown")[0])
    assert is_open(log)
    log.correct(of(log, "set_up.item", 0), anew=True, item="cones_04")
    assert "lots" in reasons(log)


# ---- Facts that stand wrong for the fill ---------------------------------------------------------------------------


def test_not_done_by_correction_takes_a_fact_away() -> None:
    log = ready()
    log.correct(of(log, "irrigation.solution", 1), solution="--")
    assert "rinse" in reasons(log)
    log.confirm(log.case().unconfirmed[0])
    assert "rinse" in reasons(log)


def test_a_correction_of_one_fact_leaves_the_others_of_its_line() -> None:
    log = ready()
    log.confirm(log.correct(of(log, "cone_fit.seat", 1), seat="-0.5"))
    assert is_open(log)
    assert log.case().told.role("tug_back", 1) is not None


# ---- The header -----------------------------------------------------------------------------------------------------


def anew_time_out(log: Log, patient: str = "4711", tooth: str = "46") -> None:
    log.answer("time_out", patient_number=patient, tooth_on_image=tooth, tooth_in_mouth=tooth)


def test_tooth_corrected_shuts_all_gates_until_yes_and_a_new_time_out() -> None:
    log = ready(Log(tooth="47"), ready_canals=(1, 2))
    slip = log.correct(0, tooth="46")
    assert not is_open(log, 1) and not is_open(log, 2)
    anew_time_out(log)
    log.confirm(log.correct(of(log, "access.tooth_opened"), tooth_opened="46"))
    assert not is_open(log)
    log.confirm(slip)
    assert is_open(log, 1) and is_open(log, 2)


def test_patient_corrected_and_confirmed_still_waits_for_the_time_out() -> None:
    log = ready(Log(patient="4712"))
    log.confirm(log.correct(0, patient="4711"))
    assert "clear" in reasons(log)
    log.confirm(log.correct(of(log, "time_out.patient_number"), patient_number="4711"))
    assert "clear" in reasons(log)  # mended by a correction is not answered anew
    anew_time_out(log)
    assert is_open(log)


def test_each_member_of_the_header_waits_for_its_own_yes() -> None:
    log = ready()
    patient = log.correct(0, patient="4711")
    tooth = log.correct(0, tooth="46")
    anew_time_out(log)
    log.confirm(tooth)
    assert "clear" in reasons(log)
    log.confirm(patient)
    assert is_open(log)


def test_a_header_correction_that_a_later_one_replaced_needs_no_yes() -> None:
    log = ready()
    log.correct(0, tooth="47")
    mended = log.correct(0, tooth="46")
    anew_time_out(log)
    log.confirm(mended)
    assert is_open(log)


def test_a_correction_of_a_header_correction_is_about_the_header() -> None:
    log = ready()
    first = log.correct(0, tooth="47")
    log.log(kinds.Correction, of=first, how="keyed_wrong", values={"tooth": Digits(value="46")})
    assert log.case().told.tooth == "46"


# ---- After the fill -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("anew", [False, True])
def test_a_correction_after_the_fill_leaves_it_filled(anew: bool) -> None:
    log = ready()
    fill(log)
    log.correct(of(log, "shaping.master", 1), anew=anew, master="40/4")
    assert outcome(log) == "filled"
    assert keys(log, "cone")


def test_the_fill_itself_can_be_a_slip_and_counts_until_the_yes() -> None:
    log = ready()
    seq = fill(log)
    slip = log.correct(seq, fill="--")
    assert "not confirmed" in reasons(log)["clear"]
    log.confirm(slip)
    assert outcome(log) is None and is_open(log)


def test_a_fill_that_only_a_correction_says_was_never_judged() -> None:
    log = ready()
    seq = log.answer("sealing", 1, fill="--")
    log.confirm(log.correct(seq, fill="filled"))
    assert outcome(log) == "filled_outside"


def test_measured_anew_empties_no_filled_canal() -> None:
    log = ready()
    seq = fill(log)
    log.correct(seq, anew=True, fill="--")
    assert outcome(log) == "filled" and "clear" in reasons(log)
    log.answer("sealing", 1, fill="--")
    assert outcome(log) == "filled" and "clear" in reasons(log)


def test_confirming_folds_again_to_the_same() -> None:
    log = ready()
    log.correct(of(log, "shaping.master", 1), master="40/4")
    confirm_all(log)
    assert same(log.case(), log.case())
