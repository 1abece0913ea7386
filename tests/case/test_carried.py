"""What a second visit makes of what is carried over: the clauses of the gate, the walk, the outcomes."""

from __future__ import annotations

from decimal import Decimal

import pytest
from msgspec.structs import replace

from stepper.case.gate import shut
from stepper.case.slots import Cursor
from stepper.case.walk import Status, onward, status
from stepper.facts.entries import Carried, Correction
from stepper.facts.record import written
from stepper.facts.values import Number
from stepper.kinds.outcome import outcome_of, treated, without_outcome
from tests.case.looking import folded, outcome, reopened, same, stands
from tests.case.second import after, begun, brought, confirmed, dressed, file
from tests.case.visit import Visit, one_by_one
from tests.cases import examined, fill, opened


def today(*canals: object, named: str = "mb+ml+d") -> Visit:
    """A second visit with these canals, the tooth open again."""
    visit = begun(*canals)  # type: ignore[arg-type]
    opened(examined(visit), named)
    return visit


def ready(**members: object) -> Visit:
    """A second visit after which, with nothing said otherwise, the gate of canal 1 is open."""
    return confirmed(today(brought(**members)))


# ---- Canals, numbers and names -------------------------------------------------------------------


def test_canals_keep_their_numbers_and_those_named_today_get_the_next_ones() -> None:
    visit = today(brought(canal=1, name="D"), brought(canal=2, name="MB"), named="mb+ml+d")
    assert {number: one.name for number, one in visit.case().told.canals.items()} == {1: "D", 2: "MB", 3: "ML"}
    visit.found(4, "MB2")
    assert {number: one.name for number, one in visit.case().sure.canals.items()}[4] == "MB2"


def test_what_is_carried_is_certain_in_both_readings() -> None:
    case = ready().case()
    assert case.told == case.sure
    assert case.unconfirmed == ()


def test_one_by_one_it_is_the_same_as_folded_at_once_and_the_first_of_a_canal_counts() -> None:
    visit = ready()
    visit.log(Carried, **written(brought(name="DB", files=[file(60)])))
    assert same(one_by_one(visit), folded(visit))
    assert visit.why() == {}
    assert visit.case().told.canals[1].name == "MB"


def test_carried_facts_stand_with_the_header_wherever_they_are_in_the_log() -> None:
    late = today()
    late.log(Carried, **written(brought()))
    confirmed(late)
    assert same(one_by_one(late), folded(late))
    assert late.why() == {}
    assert late.case().late == set()


def test_even_at_the_end_of_the_log_they_stand_before_everything_keyed_today() -> None:
    visit = today()
    confirmed(visit)
    visit.log(Carried, **written(brought()))
    assert same(one_by_one(visit), folded(visit))
    assert visit.why() == {}


# ---- Clause by clause ----------------------------------------------------------------------------


def test_the_gate_opens_with_todays_length_rinse_drying_fit_and_lots() -> None:
    assert ready().why() == {}


def test_nothing_but_shape_is_carried() -> None:
    assert today(brought()).shut() == {"length", "master_apical_file", "cone_fit", "dry", "rinse", "lots"}


@pytest.mark.parametrize("left_out", ["rinse", "dry", "cone_fit"])
def test_rinse_drying_and_fit_count_only_from_today(left_out: str) -> None:
    visit = today(brought())
    visit.agree()
    if left_out != "rinse":
        visit.rinse()
    if left_out != "dry":
        visit.dry()
    visit.choose()
    if left_out != "cone_fit":
        visit.fit()
    assert visit.shut() == {left_out}


def test_time_out_dam_allergies_and_lots_count_only_from_today() -> None:
    visit = begun(brought())
    opened(visit)
    confirmed(visit)
    assert visit.shut() == {"answered", "clear", "lots"}


def test_a_filled_canal_stays_filled_and_no_entry_of_today_filled_it() -> None:
    visit = confirmed(today(brought(outcome="filled", fill={"gate_open": True, "of": 60})))
    assert visit.why() == {"clear": "it is filled already"}
    assert outcome(visit) == "filled"
    assert visit.case().fills == {}
    assert visit.case().late == set(), "what is keyed today is not keyed after a fill of today"


def test_a_canal_filled_outside_the_chain_stays_so_and_a_second_fill_makes_it_so() -> None:
    outside = today(brought(outcome="filled_outside", fill={"gate_open": False, "of": 60}))
    assert outcome(outside) == "filled_outside"
    filled = confirmed(today(brought(outcome="filled", fill={"gate_open": True, "of": 60})))
    fill(filled)
    assert outcome(filled) == "filled_outside"


def test_the_length_does_not_count_until_one_is_agreed_today() -> None:
    visit = today(brought())
    assert visit.why()["length"] == "the length is not confirmed today"
    visit.answer("length", 1, row=0, estimate="20.5")
    visit.answer("length", 1, electronic="20.5", image_length="20.5")
    assert visit.why()["length"] == "the length is not confirmed today"
    visit.answer("length", 1, working_length="-/")
    assert visit.why()["length"] == "the length is not confirmed today"
    visit.answer("length", 1, row=2, working_length="20.5")
    assert "length" not in visit.why() and "master_apical_file" not in visit.why()


def test_a_length_outside_the_chain_confirms_nothing() -> None:
    visit = today(brought())
    visit.answer("length", 1, working_length="20.5", outside=True)
    assert visit.why()["length"] == "the length is not confirmed today"


def test_without_a_carried_length_the_words_are_the_usual_ones() -> None:
    assert today(brought(length=None, master=None)).why()["length"] == "no working length is agreed"


def test_the_same_length_in_other_digits_is_the_same() -> None:
    assert confirmed(today(brought()), "20.50").why() == {}


@pytest.mark.parametrize("mm", ["21", "20", "20.6"])
def test_another_length_voids_the_master_apical_file_until_it_is_declared_again(mm: str) -> None:
    visit = confirmed(today(brought()), mm)
    assert visit.why()["master_apical_file"] == "no master apical file is declared"
    visit.master()
    assert visit.why() == {}, "the file was cut within half a millimetre of today's length"


def test_depths_keep_their_absolute_millimetres_when_the_length_differs() -> None:
    visit = confirmed(today(brought()), "22")
    visit.master()
    assert visit.why() == {"master_apical_file": "no file 35/.04 was cut to length"}
    shorter = today(brought(files=[file(35, "19"), file(45, "19")]))
    confirmed(shorter, "19")
    shorter.master()
    assert shorter.why()["master_apical_file"] == "45/.04 was cut to length and is wider than 35/.04"


def test_the_first_length_agreed_today_settles_it() -> None:
    visit = today(brought())
    visit.agree("21")
    visit.agree("20.5")
    assert visit.why()["master_apical_file"] == "no master apical file is declared"
    again = today(brought())
    again.agree("20.5")
    again.agree("20.5")
    assert "measured anew" in again.why()["master_apical_file"]


def test_the_same_length_counts_as_measured_at_the_earlier_visit() -> None:
    visit = today(brought())
    visit.rinse()
    visit.finish()
    visit.agree("20.5")
    assert visit.why() == {}
    other = today(brought())
    other.rinse()
    other.finish()
    other.agree("20")
    other.master()
    assert other.shut() == {"cone_fit", "dry"}


def test_a_master_apical_file_declared_today_is_todays() -> None:
    visit = ready()
    visit.master("25/4")
    assert visit.why()["master_apical_file"] == "35/.04 was cut to length and is wider than 25/.04"
    absent = ready()
    absent.master("--")
    assert absent.why()["master_apical_file"] == "no master apical file is declared"


def test_no_carried_master_apical_file_is_none() -> None:
    assert ready(master=None).shut() == {"master_apical_file", "cone_fit"}


def test_another_reference_point_voids_what_was_measured_from_the_earlier_one() -> None:
    visit = today(brought())
    visit.agree("20.5")
    visit.answer("length", 1, 1, reference="distobuccal_cusp")
    assert "length" not in visit.why(), "today's length is from the new point"
    assert visit.why()["master_apical_file"] == "no master apical file is declared"
    visit.rinse()
    visit.finish()
    visit.master()
    assert visit.why() == {"master_apical_file": "no file 35/.04 was cut to length"}
    visit.file("35/4-0")
    visit.master()
    assert "master_apical_file" not in visit.why()


def test_the_length_from_another_point_was_measured_anew_where_it_was_agreed() -> None:
    visit = today(brought())
    visit.rinse()
    visit.finish()
    visit.agree("20.5")
    assert visit.why() == {}
    visit.answer("length", 1, 1, reference="distobuccal_cusp")
    assert {"cone_fit", "dry"} <= visit.shut()


def test_a_master_apical_file_of_today_is_not_the_carried_one_that_is_void() -> None:
    visit = today(brought())
    visit.agree("21")
    visit.master()
    visit.answer("length", 1, 1, reference="distobuccal_cusp")
    visit.file("35/4-0")
    assert "master_apical_file" not in visit.why()


@pytest.mark.parametrize("first", ["reference", "length"])
def test_another_point_in_a_row_of_its_own_leaves_no_length(first: str) -> None:
    visit = today(brought())
    if first == "length":
        visit.agree("20.5")
    visit.answer("length", 1, 7, reference="distobuccal_cusp")
    assert visit.why()["length"] == "no working length is agreed"
    visit.agree("20.5")
    assert visit.why()["master_apical_file"] == "no master apical file is declared"


def test_the_same_reference_point_voids_nothing_unless_it_is_measured_anew() -> None:
    visit = ready()
    said = visit.answer("length", 1, 1, reference="mesiobuccal_cusp")
    assert visit.why() == {}
    visit.correct(said, anew=True, reference="mesiobuccal_cusp")
    assert {"length", "master_apical_file"} <= visit.shut()


def test_where_no_point_was_carried_todays_is_the_first() -> None:
    visit = ready(reference=None)
    visit.answer("length", 1, 1, reference="distobuccal_cusp")
    assert visit.why() == {}


@pytest.mark.parametrize("against", [True, False])
def test_a_file_that_counts_only_against_can_shut_and_not_open(against: bool) -> None:
    own = ready(files=[file(25), file(35, against=against)])
    assert ("master_apical_file" in own.shut()) is against
    wider = ready(files=[file(35), file(45, against=against)])
    assert wider.why()["master_apical_file"] == "45/.04 was cut to length and is wider than 35/.04"


def test_a_file_of_unknown_depth_can_shut_and_not_open() -> None:
    assert ready(files=[file(35, None)]).shut() == {"master_apical_file"}
    assert ready(files=[file(35), file(45, None)]).shut() == {"master_apical_file"}


def test_a_carried_file_that_did_not_cut_is_no_cut() -> None:
    assert ready(files=[file(35), file(45, purpose="patency")]).why() == {}
    assert ready(files=[file(35, purpose="recapitulate")]).shut() == {"master_apical_file"}


def test_a_cut_today_reopens_as_always() -> None:
    visit = ready()
    visit.file("35/4-0")
    assert visit.shut() == {"cone_fit", "dry", "rinse"}
    assert {"irrigation", "drying", "cone_fit"} <= reopened(visit)
    visit.file("40/4-0")
    assert "wider" in visit.why()["master_apical_file"]


def test_what_is_said_to_have_happened_before_the_visit_does_not_follow_on_the_carried_cuts() -> None:
    visit = today(brought())
    visit.boot = "boot-2"
    visit.agree()
    visit.choose()
    first = visit.entries[0].mono_us
    visit.entries = [replace(one, boot="boot-2") if one.boot == "boot-1" else one for one in visit.entries]
    ago = (visit.elapsed_s * 1_000_000 - first) // 60_000_000 + 2
    for item in ("edta_17", "hypochlorite_3"):
        typed = {"solution": item, "volume": "3", "needle_depth": "-2", "needle": "needle_30_side"}
        late = visit.answer("irrigation", 1, visit.row_after("irrigation", 1), ago=ago, activation="none", **typed)
        visit.confirm(late)
    visit.dry()
    visit.fit()
    assert visit.shut() == {"rinse"}


# ---- The two readings ----------------------------------------------------------------------------


def test_a_length_corrected_to_the_carried_one_opens_only_with_the_yes() -> None:
    visit = today(brought())
    agreed = visit.agree("21")
    visit.rinse()
    visit.finish()
    mended = visit.correct(agreed, working_length="20.5")
    assert "has not confirmed" in visit.why()["master_apical_file"]
    visit.confirm(mended)
    assert visit.why() == {}


def test_a_length_corrected_away_from_the_carried_one_shuts_at_once() -> None:
    visit = today(brought())
    agreed = visit.agree("20.5")
    visit.rinse()
    visit.finish()
    visit.correct(agreed, working_length="22")
    assert "master_apical_file" in visit.shut()


def test_a_reference_point_corrected_to_the_carried_one_gives_everything_back() -> None:
    visit = ready()
    said = visit.answer("length", 1, 1, reference="distobuccal_cusp")
    assert "master_apical_file" in visit.shut()
    visit.confirm(visit.correct(said, reference="mesiobuccal_cusp"))
    assert visit.why() == {}


def test_a_correction_of_what_was_carried_says_nothing() -> None:
    visit = ready()
    values = {"working_length": Number(value=Decimal(22))}
    visit.log(Correction, of=1, how="measured_anew", values=values)
    visit.log(Correction, of=1, how="keyed_wrong", values=values)
    assert isinstance(visit.entries[1], Carried)
    assert visit.why() == {}


# ---- Joins ---------------------------------------------------------------------------------------


def test_a_carried_join_is_a_join_whichever_number_it_runs_into() -> None:
    visit = today(brought(canal=1, joins={"into": 2, "at_mm": "17"}), brought(canal=2, name="ML"))
    view = visit.case().told
    assert (view.canals[1].joins, view.canals[1].join_at_mm) == (2, Decimal(17))
    assert outcome(visit, 1) == "joins" and outcome(visit, 2) is None
    confirmed(visit, canal=2)
    assert shut(visit.case(), 2) == {}
    visit.rinse("hypochlorite_3", canal=1)
    assert set(shut(visit.case(), 2)) == {"dry"}


def test_a_join_with_a_canal_that_was_not_carried_is_none() -> None:
    visit = today(brought(joins={"into": 7}))
    assert outcome(visit, 1) is None


# ---- Outcomes ------------------------------------------------------------------------------------


def test_a_dressed_canal_has_no_outcome_today_until_it_is_dressed_again() -> None:
    visit = today(brought())
    assert outcome(visit) is None
    assert [one.number for one in without_outcome(visit.case().told)] == [1, 2, 3]
    visit.answer("dressing", 1, material="calcium_hydroxide", pellet="cotton")
    assert outcome(visit) == "dressed"


@pytest.mark.parametrize("ended", ["not_treated", "blocked", "fragment"])
def test_a_final_outcome_stands_until_something_is_done_in_the_canal(ended: str) -> None:
    visit = today(brought(outcome=ended))
    assert outcome(visit) == ended
    visit.file("10/2-1", "scout")
    assert outcome(visit) is None
    rinsed = today(brought(outcome=ended))
    rinsed.rinse("saline")
    assert outcome(rinsed) is None
    stated = today(brought(outcome=ended))
    stated.answer("closing", 1, outcome="left_undressed")
    assert outcome(stated) == "left_undressed"
    again = today(brought(outcome=ended))
    again.answer("dressing", 1, material="calcium_hydroxide", pellet="cotton")
    assert outcome(again) == "dressed"


@pytest.mark.parametrize("ended", ["dressed", "left_undressed", "filled", "joins", None])
def test_any_other_outcome_is_history_where_no_fill_or_join_comes_with_it(ended: str | None) -> None:
    assert outcome(today(brought(outcome=ended))) is None


def test_carried_files_are_no_acts_of_today() -> None:
    view = today(brought()).case().told
    assert not treated(view, 1)
    assert view.canals[1].files == []
    assert [use.size for use in view.canals[1].files_of_all] == [25, 35]


# ---- The walk ------------------------------------------------------------------------------------

SHAPING = ("flare", "gauging", "shaping")


def test_what_led_to_the_master_apical_file_is_done_once_the_length_is_confirmed() -> None:
    visit = today(brought())
    assert {stands(visit, step) for step in SHAPING} == {Status.OPEN}
    visit.agree("20.5")
    assert {stands(visit, step) for step in SHAPING} == {Status.DONE}
    assert {stands(visit, step, 2) for step in SHAPING} == {Status.OPEN}
    assert {stands(visit, step) for step in ("irrigation", "drying", "cone_fit")} == {Status.OPEN}


def test_it_is_open_where_the_length_or_the_point_differs_or_is_measured_anew() -> None:
    for mm, reference in (("21", "mesiobuccal_cusp"), ("20.5", "distobuccal_cusp")):
        visit = today(brought())
        visit.agree(mm)
        visit.answer("length", 1, 1, reference=reference)
        assert {stands(visit, step) for step in SHAPING} == {Status.OPEN}
    anew = today(brought())
    anew.agree("20.5")
    anew.agree("20.5")
    assert {stands(anew, step) for step in SHAPING} == {Status.OPEN}


def test_a_master_apical_file_of_today_makes_no_earlier_step_done() -> None:
    visit = today(brought(master=None))
    visit.agree("20.5")
    visit.master()
    assert stands(visit, "flare") is Status.OPEN


def test_the_way_goes_on_past_what_is_carried() -> None:
    visit = today(brought(), named="mb")
    visit.answer("length", 1, row=0, estimate="20.5")
    visit.agree("20.5")
    visit.answer("length", 1, 1, reference="mesiobuccal_cusp", patency="yes")
    case = visit.case()
    assert onward(case, Cursor("length", 1)) == Cursor("irrigation", 1)


def test_a_cut_today_asks_for_the_master_apical_file_and_a_patency_file_does_not() -> None:
    visit = today(brought(), named="mb")
    visit.agree("20.5")
    visit.file("10/2-0", "patency")
    assert stands(visit, "shaping") is Status.DONE
    visit.file("35/4-0")
    assert stands(visit, "shaping") is Status.BEGUN
    assert onward(visit.case(), Cursor("shaping", 1)) == Cursor("shaping", 1, last=True)
    visit.master()
    assert stands(visit, "shaping") is Status.DONE


def test_a_canal_that_ended_for_good_is_passed_over_and_a_dressed_one_is_not() -> None:
    ended = (
        brought(canal=1, name="MB", outcome="filled", fill={"gate_open": True, "of": 60}),
        brought(canal=2, name="ML", outcome="blocked"),
        brought(canal=3, name="D"),
    )
    visit = today(*ended)
    case = visit.case()
    assert onward(case, Cursor("access", 0)) == Cursor("length", 3)
    visit.answer("dressing", 3, material="calcium_hydroxide", pellet="cotton")
    visit.answer("closing", counted="yes", dam_off="yes", advice="spoken", next_visit="none")
    assert status(visit.case(), visit.plan.by_step["closing"], 0) is Status.DONE
    assert without_outcome(visit.case().told) == []


# ---- From a first visit to the second ------------------------------------------------------------


def test_the_second_visit_of_a_dressed_tooth_is_filled() -> None:
    visit = after(dressed(canals=(1, 2)))
    assert visit.why()["length"] == "the length is not confirmed today"
    for canal in (1, 2):
        confirmed(visit, canal=canal)
        assert visit.why(canal) == {}
        fill(visit, canal)
    assert [outcome_of(visit.case().told, canal) for canal in (1, 2, 3)] == ["filled", "filled", None]


def test_a_third_visit_brings_along_what_the_second_left_alone() -> None:
    second = after(dressed())
    third = confirmed(after(second))
    assert third.why() == {}
    filled = after(dressed())
    confirmed(filled)
    fill(filled)
    assert after(filled).why() == {**after(filled).why(), "clear": "it is filled already"}
