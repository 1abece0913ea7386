"""The eight clauses of the gate, each from its open and its shut side. A test's name begins with its clause.

Every clause is worded in section 4 of the design. The limits are practice settings of the bundled protocol.
"""

from __future__ import annotations

from stepper.facts.entries import Answer
from stepper.facts.values import Expiry
from tests.case.looking import keys
from tests.case.visit import Visit, at_access, at_fill
from tests.cases import fill, ready


def shaped(*files: str, master: str = "35/4") -> Visit:
    """A visit in which the first canal was shaped with these files, then rinsed, dried and fitted."""
    visit = at_access()
    visit.shape(*files, master=master)
    visit.finish()
    return visit


def test_open_when_everything_holds() -> None:
    assert at_fill().why() == {}
    assert Visit.why(at_fill(1, 2, 3), 3) == {}


def test_open_with_the_log_that_other_tests_use() -> None:
    visit = Visit()
    ready(visit)
    assert visit.why(1) == {}
    assert visit.shut(2) == {"length", "master_apical_file", "cone_fit", "dry", "rinse", "lots"}


# ---- 1 clear -------------------------------------------------------------------------------------


def test_clear_shut_while_the_dam_is_off_and_open_with_the_dam_on_again() -> None:
    visit = at_fill()
    visit.answer("isolation", dam="off")
    assert visit.why() == {"clear": "the dam is not on"}
    visit.answer("isolation", dam="on")
    assert visit.why() == {}


def test_clear_shut_when_the_dam_was_not_placed() -> None:
    visit = at_fill()
    visit.answer("isolation", dam="--")
    assert visit.why()["clear"] == "the dam is not on"


def test_clear_shut_when_the_patient_differs() -> None:
    visit = at_fill()
    visit.answer("time_out", patient_number="4712")
    assert visit.why() == {"clear": "patient and tooth are not confirmed against the header"}
    visit.answer("time_out", patient_number="4711")
    assert visit.why() == {}


def test_clear_shut_when_leading_zeros_differ() -> None:
    visit = at_fill()
    visit.answer("time_out", patient_number="04711")
    assert visit.shut() == {"clear"}


def test_clear_shut_when_the_tooth_on_the_image_differs() -> None:
    visit = at_fill()
    visit.answer("time_out", tooth_on_image="47")
    assert visit.shut() == {"clear"}


def test_clear_shut_when_the_tooth_counted_differs() -> None:
    visit = at_fill()
    visit.answer("time_out", tooth_in_mouth="36")
    assert visit.shut() == {"clear"}


def test_clear_shut_when_the_tooth_opened_differs() -> None:
    visit = at_fill()
    visit.answer("access", tooth_opened="47")
    assert visit.shut() == {"clear"}


def test_clear_shut_while_the_time_out_is_not_answered() -> None:
    for question in ("patient_number", "tooth_on_image"):
        for absent in ("--", "-/", "-."):
            visit = at_fill()
            visit.answer("time_out", **{question: absent})
            assert visit.shut() == {"clear"}


def test_clear_shut_by_an_allergy_whichever_came_first() -> None:
    reason = {"clear": "an allergy stands against something set up"}
    later = at_fill()
    later.answer("diagnosis", allergies="epoxy")
    assert later.why() == reason
    later.answer("diagnosis", allergies="latex")
    assert later.why() == {}, "latex is in nothing that was set up"
    earlier = at_fill()
    earlier.answer("diagnosis", allergies="latex")
    earlier.set_up("dam_latex")
    assert earlier.why() == reason


def test_clear_shut_for_a_canal_filled_already_and_for_no_other() -> None:
    visit = at_fill(1, 2)
    fill(visit, 1)
    assert visit.why(1) == {"clear": "it is filled already"}
    assert visit.why(2) == {}


def test_clear_open_after_a_fill_that_was_not_done() -> None:
    visit = at_fill()
    visit.answer("sealing", 1, fill="--")
    assert visit.why() == {}


def test_no_such_canal_is_shut() -> None:
    assert at_fill().why(7) == {"clear": "there is no such canal"}


# ---- 2 length ------------------------------------------------------------------------------------


def test_length_shut_while_none_is_agreed() -> None:
    visit = at_access()
    visit.answer("length", 1, electronic="20.5", image_length="20.5")
    assert visit.why()["length"] == "no working length is agreed"
    visit.answer("length", 1, working_length="20.5")
    assert "length" not in visit.shut()


def test_length_shut_when_it_was_not_measured_after_all() -> None:
    for absent in ("--", "-/", "-."):
        visit = at_fill()
        visit.answer("length", 1, working_length=absent)
        assert visit.why()["length"] == "no working length is agreed"


def test_length_shut_when_the_reference_point_breaks() -> None:
    visit = at_access()
    visit.agree()
    told = visit.answer("length", 1, reference="mesiobuccal_cusp")
    assert "length" not in visit.shut()
    visit.correct(told, anew=True, reference="distobuccal_cusp")
    assert visit.why()["length"] == "no working length is agreed"


def test_length_shut_when_the_reference_point_broke_and_the_same_one_is_used() -> None:
    visit = at_access()
    told = visit.answer("length", 1, reference="mesiobuccal_cusp")
    visit.agree()
    visit.correct(told, anew=True, reference="mesiobuccal_cusp")
    assert visit.why()["length"] == "no working length is agreed"


def test_length_shut_when_it_was_agreed_outside_the_chain() -> None:
    visit = at_access()
    visit.answer("length", 1, working_length="20.5", outside=True)
    assert "length" in visit.shut()


# ---- 3 master apical file ------------------------------------------------------------------------


def test_master_apical_file_shut_while_none_is_declared() -> None:
    visit = at_fill()
    visit.master("--")
    assert visit.why()["master_apical_file"] == "no master apical file is declared"


def test_master_apical_file_shut_when_the_length_came_after_it() -> None:
    visit = at_fill()
    visit.agree("21")
    expected = "the length was measured anew since the master apical file was declared"
    assert visit.why()["master_apical_file"] == expected
    visit.master()
    assert "master_apical_file" not in visit.shut(), "cut to 20.5, which is within at_length_mm of 21"
    visit.agree("21.5")
    visit.master()
    assert visit.why()["master_apical_file"] == "no file 35/.04 was cut to length"


def test_master_apical_file_shut_when_no_such_file_was_cut() -> None:
    for other in ("40/4", "35/6"):
        visit = shaped(master=other)
        assert visit.why()["master_apical_file"].startswith("no file ")
        assert visit.why()["master_apical_file"].endswith(" was cut to length")


def test_master_apical_file_at_length_within_the_limit() -> None:
    assert shaped("25/4-0", "35/4-0.5").why() == {}
    assert shaped("25/4-0", "35/4-0.6").shut() == {"master_apical_file"}


def test_master_apical_file_beyond_length_left_the_canal_wider_at_length() -> None:
    beyond = shaped("35/4-0", "35/4+1")
    assert "is wider than 35/.04" in beyond.why()["master_apical_file"], "0.35 + 1 * 0.04 = 0.39 mm (ISO 3630-1)"
    assert "master_apical_file" not in shaped("25/4+1", "35/4-0").shut()


def test_master_apical_file_shut_when_it_went_to_length_without_cutting() -> None:
    for purpose in ("recapitulate", "patency", "scout"):
        visit = at_access()
        visit.agree()
        visit.file("25/4-0")
        visit.file("35/4-0", purpose)
        visit.master()
        visit.rinse()
        visit.finish()
        assert visit.shut() == {"master_apical_file"}, purpose


def test_master_apical_file_shut_when_it_was_cut_outside_the_chain() -> None:
    visit = at_access()
    visit.agree()
    visit.file("35/4-0", outside=True)
    visit.master()
    visit.rinse()
    visit.finish()
    assert visit.shut() == {"master_apical_file"}


def test_master_apical_file_shut_when_a_wider_file_was_cut_to_length() -> None:
    visit = shaped("35/4-0", "40/4-0")
    assert visit.shut() == {"master_apical_file"}
    assert "was cut to length and is wider than" in visit.why()["master_apical_file"]


def test_master_apical_file_wider_is_judged_over_the_span_and_not_beyond_it() -> None:
    # diameters in mm, D = size/100 + taper * x (ISO 3630-1, see the design, section 6)
    # at x = 3: 35/.04 is 0.47, 25/.08 is 0.49, 25/.07 is 0.46; at x = 4: 0.51 and 0.53
    assert shaped("25/8-0", "35/4-0").shut() == {"master_apical_file"}
    assert shaped("25/7-0", "35/4-0").why() == {}


def test_master_apical_file_wider_counts_when_a_little_short_of_length_only() -> None:
    assert shaped("35/4-0", "40/4-0.5").shut() == {"master_apical_file"}
    assert shaped("35/4-0", "40/4-3").why() == {}


def test_master_apical_file_wider_counts_in_the_flare_step_and_outside_the_chain() -> None:
    visit = at_access()
    visit.agree()
    visit.file("45/4-0", step="flare", outside=True)
    visit.file("35/4-0")
    visit.master()
    visit.rinse()
    visit.finish()
    assert visit.shut() == {"master_apical_file"}


# ---- 4 cone fit ----------------------------------------------------------------------------------


def test_cone_fit_shut_while_there_is_none() -> None:
    visit = at_access()
    visit.shape()
    visit.dry()
    visit.choose()
    assert visit.why() == {"cone_fit": "no cone is fitted"}


def test_cone_fit_shut_while_the_technique_is_not_said() -> None:
    visit = at_access()
    visit.shape()
    visit.dry()
    visit.answer("cone_fit", 1, 0, sealer="resin_sealer")
    visit.fit()
    assert visit.why() == {"cone_fit": "the technique is not said"}


def test_cone_fit_shut_outside_the_chain() -> None:
    visit = at_access()
    visit.shape()
    visit.dry()
    visit.choose()
    visit.fit(outside=True)
    assert visit.why() == {"cone_fit": "the last cone fit is outside the chain"}


def test_cone_fit_shut_when_the_cone_does_not_match() -> None:
    for cone in ("40/4", "30/4", "35/2", "35/6"):
        visit = at_fill()
        visit.fit(cone)
        assert visit.shut() == {"cone_fit"}, cone
        assert "does not match the master apical file 35/.04" in visit.why()["cone_fit"]


def test_cone_fit_matches_what_the_technique_wants_matched() -> None:
    visit = at_fill()
    visit.choose("cold_lateral")
    visit.fit("35/2")
    assert visit.why() == {}, "cold lateral compares the size alone"
    visit.fit("30/4")
    assert visit.shut() == {"cone_fit"}


def test_cone_fit_trimmed_cone_keeps_its_taper() -> None:
    visit = at_fill()
    visit.fit("30/4", trimmed="35/2")
    assert visit.why() == {}
    visit.fit("35/4", trimmed="40/2")
    assert visit.shut() == {"cone_fit"}


def test_cone_fit_shut_when_the_cone_seats_off_length() -> None:
    for seat, opens in (("-0.5", True), ("-0.6", False), ("+0.5", True), ("+0.6", False)):
        visit = at_fill()
        visit.fit(seat=seat)
        assert (visit.why() == {}) is opens, seat
        if not opens:
            assert visit.why() == {"cone_fit": "the cone did not seat within 0.5 mm of length"}


def test_cone_fit_seat_goes_by_the_technique() -> None:
    visit = at_fill()
    visit.choose("warm_vertical")
    visit.fit(seat="-1")
    assert visit.why() == {}
    visit.choose("single_cone")
    assert visit.shut() == {"cone_fit"}


def test_cone_fit_shut_without_seat_tug_back_or_image() -> None:
    for missing, words in (("seat", "how far"), ("tug_back", "tug-back"), ("cone_image", "image")):
        for absent in ("--", "-/", "-."):
            visit = at_fill()
            visit.fit(**{missing: absent})
            assert visit.shut() == {"cone_fit"}
            assert words in visit.why()["cone_fit"]


def test_cone_fit_shut_while_it_is_not_complete() -> None:
    visit = at_fill()
    row = visit.row_after("cone_fit", 1)
    visit.answer("cone_fit", 1, row, cone="35/4")
    assert visit.why() == {"cone_fit": "how far the cone went is not logged"}
    visit.answer("cone_fit", 1, row, seat="0", tug_back="yes")
    assert visit.shut() == {"cone_fit"}
    visit.answer("cone_fit", 1, row, cone_image="seated")
    assert visit.why() == {}


def test_cone_fit_shut_without_tug_back_or_seated_image() -> None:
    for told in ({"tug_back": "no"}, {"cone_image": "short"}, {"cone_image": "beyond"}):
        visit = at_fill()
        visit.fit(**told)
        assert visit.shut() == {"cone_fit"}


def test_cone_fit_shut_when_a_length_came_after_it() -> None:
    visit = at_fill()
    visit.agree("20.5")
    assert visit.why()["cone_fit"] == "a cut or a new length came after the cone fit"


# ---- 5 dry ---------------------------------------------------------------------------------------


def test_dry_shut_while_it_is_not_dried() -> None:
    visit = at_access()
    visit.shape()
    visit.choose()
    visit.fit()
    assert visit.why() == {"dry": "the canal is not dried"}


def test_dry_shut_when_not_measured() -> None:
    visit = at_fill()
    visit.dry("-/")
    assert visit.why() == {"dry": "how the paper point came out is not logged"}


def test_dry_shut_when_the_point_was_not_near_length() -> None:
    visit = at_fill()
    visit.dry(depth="-1")
    assert visit.why() == {}
    visit.dry(depth="-1.1")
    assert visit.why() == {"dry": "the paper point was not within 1.0 mm of length"}
    visit.dry(depth="-/")
    assert visit.shut() == {"dry"}


def test_dry_shut_when_wet() -> None:
    visit = at_fill()
    visit.dry("wet")
    assert visit.why() == {"dry": "the paper point was wet; Epoxy resin sealer does not bear that"}


def test_dry_damp_goes_by_the_sealer() -> None:
    visit = at_fill()
    visit.set_up("calcium_silicate_sealer")
    visit.dry("damp", damp_mm="1")
    assert visit.shut() == {"dry"}, "the epoxy resin sealer bears dry alone"
    visit.choose(sealer="calcium_silicate_sealer")
    assert visit.why() == {}
    visit.dry("damp", damp_mm="1.5")
    assert visit.why() == {"dry": "1.5 mm of the point were damp; Calcium-silicate sealer bears 1.0"}
    visit.dry("damp", damp_mm="-/")
    assert visit.why() == {"dry": "how far up the paper point was damp is not logged"}


def test_dry_shut_while_the_sealer_is_not_said() -> None:
    visit = at_access()
    visit.shape()
    visit.dry()
    visit.answer("cone_fit", 1, 0, technique="single_cone")
    visit.fit()
    assert visit.why()["dry"] == "the sealer is not said"


def test_dry_shut_outside_the_chain() -> None:
    visit = at_fill()
    visit.dry(outside=True)
    assert visit.why() == {"dry": "the drying is outside the chain"}


def test_dry_shut_after_a_rinse_a_file_or_a_length() -> None:
    reason = "a rinse, a file or a new length came after the drying"
    for what in ("rinse", "file", "length"):
        visit = at_fill()
        if what == "rinse":
            visit.rinse("saline")
        elif what == "file":
            visit.file("10/2-0", "scout")
        else:
            visit.agree()
        assert visit.why()["dry"] == reason, what


# ---- 6 rinse -------------------------------------------------------------------------------------


def rinsed(*items: str) -> Visit:
    """A visit with these irrigants after the last cut."""
    visit = at_access()
    visit.agree()
    visit.file("35/4-0")
    visit.master()
    if items:
        visit.rinse(*items)
    visit.finish()
    return visit


def test_rinse_shut_until_all_that_the_final_rinse_needs_was_used() -> None:
    assert rinsed().why() == {"rinse": "the final rinse lacks edta, hypochlorite"}
    assert rinsed("hypochlorite_3").why() == {"rinse": "the final rinse lacks edta"}
    assert rinsed("edta_17").why() == {"rinse": "the final rinse lacks hypochlorite"}
    assert rinsed("edta_17", "saline", "hypochlorite_1").why() == {}


def test_rinse_shut_when_it_came_before_the_last_cut() -> None:
    visit = at_access()
    visit.agree()
    visit.rinse()
    visit.file("35/4-0")
    visit.master()
    visit.finish()
    assert visit.shut() == {"rinse"}


def test_rinse_shut_when_the_rinse_was_not_done_or_outside_the_chain() -> None:
    visit = rinsed("edta_17")
    visit.rinse("--")
    visit.dry()
    assert visit.shut() == {"rinse"}
    visit.rinse("hypochlorite_3", outside=True)
    visit.dry()
    assert visit.shut() == {"rinse"}
    visit.rinse("hypochlorite_3")
    visit.dry()
    assert visit.why() == {}


# ---- 7 lots --------------------------------------------------------------------------------------


def test_lots_shut_when_the_sealer_chosen_is_not_set_up() -> None:
    visit = at_fill()
    visit.choose(sealer="zinc_oxide_sealer")
    assert visit.why() == {"lots": "the lot of the sealer is not set up"}
    visit.set_up("zinc_oxide_sealer")
    assert visit.why() == {}


def test_lots_shut_when_no_cones_are_set_up() -> None:
    visit = at_fill()
    (row,) = (one for one in visit.case().told.rows_of("set_up", 0) if one.options("item") == ("cones_04",))
    visit.hold("set_up", row=row.number, drops=True, item="cones_04")
    assert visit.why() == {"lots": "the lot of the cones is not set up"}


def test_lots_in_date_until_the_last_day_of_the_month() -> None:
    for item, what in (("resin_sealer", "sealer"), ("cones_04", "cones")):
        visit = at_fill()
        visit.set_up(item, "2.2026")
        assert visit.why() == {"lots": f"the lot of the {what} is expired"}, "the visit is on 2 March 2026"
        visit.set_up(item, "3.2026")
        assert visit.why() == {}


def test_lots_in_date_until_the_day_that_a_code_says() -> None:
    for item, what in (("resin_sealer", "sealer"), ("cones_04", "cones")):
        for day, why in ((1, {"lots": f"the lot of the {what} is expired"}), (2, {})):
            visit = at_fill()
            visit.set_up(item)
            values = {"expiry": Expiry(year=2026, month=3, day=day)}
            visit.log(Answer, step="set_up", canal=0, row=visit.row_after("set_up", 0) - 1, values=values)
            assert visit.why() == why, "the visit is on 2 March 2026"


def test_lots_shut_when_one_of_two_boxes_of_cones_is_expired() -> None:
    visit = at_fill()
    visit.set_up("cones_06", "1.2026")
    assert visit.shut() == {"lots"}, "which box the cone came from is not known"
    visit.set_up("cones_06", "1.2027")
    assert visit.why() == {}
    visit.set_up("cones_04", "1.2026")
    visit.set_up("cones_06", "1.2027")
    assert visit.shut() == {"lots"}, "a good box beside an expired one makes that no better"


def test_lots_shut_when_the_set_up_was_outside_the_chain() -> None:
    visit = at_fill()
    visit.choose(sealer="zinc_oxide_sealer")
    row = visit.row_after("set_up", 0)
    visit.answer("set_up", 0, row, item="zinc_oxide_sealer", expiry="11.2027", lot="7", outside=True)
    assert visit.shut() == {"lots"}


def test_lots_unknown_expiry_opens_with_a_reason_only() -> None:
    visit = at_fill()
    visit.set_up("resin_sealer", "-/")
    assert visit.why()["lots"] == "the expiry of the sealer is not known"
    (ask,) = (one for one in visit.case().told.row_remarks.values() if one.rule == "expiry_unknown")
    visit.owe(ask.key)
    assert "lots" in visit.shut(), "owed is unanswered"
    visit.depart(ask.key)
    assert visit.why() == {}


# ---- 8 answered ----------------------------------------------------------------------------------


def test_answered_shut_by_an_ask_of_the_canal() -> None:
    visit = at_fill(1, 2)
    visit.dry(blood="pus")
    assert visit.why(1) == {"answered": "unanswered: Pus on the paper point."}
    assert visit.why(2) == {}, "an ask of one canal shuts no other"


def test_answered_shut_by_an_ask_of_the_tooth_in_all_canals() -> None:
    visit = at_fill(1, 2)
    visit.answer("set_up", row=10_000, labelled="no")
    assert visit.shut(1) == {"answered"}
    assert visit.shut(2) == {"answered"}


def test_answered_owed_counts_as_unanswered_and_a_reason_opens() -> None:
    visit = at_fill()
    visit.dry(blood="pus")
    (ask,) = (one for one in visit.case().told.row_remarks.values() if one.rule == "pus")
    visit.owe(ask.key)
    assert visit.shut() == {"answered"}
    visit.depart(ask.key)
    assert visit.why() == {}


def test_answered_open_when_something_is_only_told() -> None:
    visit = at_fill()
    visit.answer("access", pulp_seen="bleeding")
    assert keys(visit, "pulp_alive"), "told: a bleeding pulp against the diagnosis"
    assert visit.why() == {}
