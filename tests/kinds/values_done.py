"""Rinses, images, curvature, files and doses: computed values worked out by hand."""

from __future__ import annotations

from stepper.facts.entries import Answer
from tests.case.visit import Visit
from tests.kinds.values import Expected, is_, value

# Irrigation. An entry is 20 seconds after the one before.


@value("solution_minutes")
def from_the_first_rinse_to_the_last(log: Visit) -> Expected:
    first = log.rinse("saline")
    log.wait(5)
    between = log.rinse("edta_17")
    log.wait(2)
    return is_("7", first, between, log.rinse("hypochlorite_3"))  # 7 min 40 s


@value("solution_minutes")
def a_rinse_told_late_counts_when_it_was(log: Visit) -> Expected:
    log.wait(30)
    last = log.rinse("saline")
    return is_("9", last, log.rinse("edta_17", ago=10))  # 10 min before the entry, which is 20 s after the other


@value("solution_minutes")
def one_rinse_is_no_time(log: Visit) -> Expected:
    return is_("0", log.rinse("saline"))


@value("solution_minutes")
def across_a_restart_nobody_knows(log: Visit) -> Expected:
    log.rinse("saline")
    log.boot = "boot-2"
    log.rinse("edta_17")
    return None


@value("solution_minutes")
def a_rinse_outside_the_chain_counts_for_nothing(log: Visit) -> Expected:
    first = log.rinse("saline")
    log.wait(5)
    last = log.rinse("edta_17")
    log.wait(5)
    log.rinse("hypochlorite_3", outside=True)
    return is_("5", first, last)


@value("solution_minutes", "activation_seconds")
def all_of_it_outside_the_chain(log: Visit) -> Expected:
    _activated(log, "20", "sonic", outside=True)
    return None


@value("solution_minutes", "activation_seconds", "final_rinse_lacking")
def nothing_was_rinsed(log: Visit) -> Expected:
    log.file("25/4-0")
    return None


def _activated(log: Visit, seconds: str, how: str, *, outside: bool = False) -> int:
    typed = {"solution": "edta_17", "volume": "1", "seconds": seconds, "activation": how}
    return log.answer("irrigation", 1, log.row_after("irrigation", 1), outside=outside, **typed)


@value("activation_seconds")
def seconds_are_added_up(log: Visit) -> Expected:
    return is_("80", _activated(log, "20", "ultrasonic"), _activated(log, "1.00", "sonic"))


@value("activation_seconds")
def seconds_outside_the_chain_are_not_added(log: Visit) -> Expected:
    inside = _activated(log, "20", "ultrasonic")
    _activated(log, "40", "sonic", outside=True)
    return is_("20", inside)


@value("activation_seconds")
def time_without_activation_is_none(log: Visit) -> Expected:
    _activated(log, "60", "none")
    _activated(log, "-/", "sonic")
    return None


@value("final_rinse_lacking")
def one_of_two_is_lacking(log: Visit) -> Expected:
    log.file("35/4-0")
    return is_("1", log.rinse("edta_17"))


@value("final_rinse_lacking")
def a_cut_since_makes_both_lack(log: Visit) -> Expected:
    before = (log.rinse("edta_17"), log.rinse("hypochlorite_3"))
    log.file("40/4-0")
    return is_("2", *before)


@value("final_rinse_lacking")
def one_outside_the_chain_is_lacking(log: Visit) -> Expected:
    inside = log.rinse("edta_17")
    return is_("1", inside, log.rinse("hypochlorite_3", outside=True))


@value("final_rinse_lacking")
def a_cut_in_the_shared_part_makes_both_lack(log: Visit) -> Expected:
    log.agree(canal=2)
    both = (log.rinse("edta_17"), log.rinse("hypochlorite_3"))
    log.join(1, 2, "15")
    log.file("45/4-0", canal=2)
    return is_("2", *both)


@value("final_rinse_lacking")
def a_cut_short_of_where_they_join_makes_none_lack(log: Visit) -> Expected:
    log.agree(canal=2)
    both = (log.rinse("edta_17"), log.rinse("hypochlorite_3"))
    log.join(2, 1, "15")
    log.file("45/4-6", canal=2)
    return is_("0", *both)


@value("final_rinse_lacking")
def none_is_lacking(log: Visit) -> Expected:
    return is_("0", log.rinse("edta_17"), log.rinse("hypochlorite_3"))


@value("cut_volume_mm3")
def a_frustum_over_16_mm(log: Visit) -> Expected:
    # 0.25 mm at the tip, 0.25 + 16 x 0.04 = 0.89 at 16 mm: pi x 16 / 12 x (0.0625 + 0.2225 + 0.7921) = 4.5117
    return is_("4.512", log.file("25/4-0"))


@value("cut_volume_mm3")
def from_where_the_only_file_began(log: Visit) -> Expected:
    # 13 to 16 mm from length, 0.25 to 0.49 mm wide: pi x 3 / 12 x (0.0625 + 0.1225 + 0.2401) = 0.3339
    return is_("0.334", log.file("25/8-13", step="flare"))


@value("cut_volume_mm3")
def nothing_was_cut(log: Visit) -> Expected:
    log.file("10/2-0", "scout")
    return None


@value("cut_volume_mm3")
def a_file_that_is_no_straight_cone(log: Visit) -> Expected:
    log.file("25/4-0")
    log.file("0/76-0")
    return None


# Images, curvature, files.


@value("fill_level_short_mm")
def short_of_length(log: Visit) -> Expected:
    return is_("0.5", log.answer("sealing", 1, level="-0.5"))


@value("fill_level_short_mm")
def beyond_length(log: Visit) -> Expected:
    return is_("-1", log.answer("sealing", 1, level="+1"))


@value("fill_level_short_mm")
def no_image_of_the_fill(log: Visit) -> Expected:
    log.answer("sealing", 1, level="-/")
    return None


@value("length_by_proportion_mm")
def by_proportion(log: Visit) -> Expected:
    one = log.answer("length", 1, row=0, instrument_mm="21", instrument_on_film="22")
    return is_("23.1", one, log.answer("length", 1, row=0, tooth_on_film="24.2"))  # 21 x 24.2 / 22


@value("length_by_proportion_mm")
def one_of_three_is_missing(log: Visit) -> Expected:
    log.answer("length", 1, row=0, instrument_mm="21", instrument_on_film="22")
    return None


@value("length_by_proportion_mm")
def nothing_is_divided_by_0(log: Visit) -> Expected:
    log.answer("length", 1, row=0, instrument_mm="21", instrument_on_film="0", tooth_on_film="24")
    return None


def _curved(log: Visit, degrees: str, method: str = "schneider") -> int:
    return log.answer("length", 1, row=0, estimate="20", curvature=degrees, curvature_method=method)


@value("curvature_angle_deg")
def an_angle_with_its_method(log: Visit) -> Expected:
    angle = log.answer("length", 1, row=0, curvature="30")
    return is_("30", angle, log.answer("length", 1, row=0, curvature_method="by_eye"))


@value("curvature_angle_deg", "curvature_class")
def an_angle_without_its_method(log: Visit) -> Expected:
    log.answer("length", 1, row=0, curvature="30")
    return None


@value("curvature_angle_deg", "curvature_class", "curvature_arc_mm")
def no_bend_is_more_than_half_a_turn(log: Visit) -> Expected:
    _curved(log, "181")
    log.answer("length", 1, row=0, radius="10")
    return None


@value("curvature_angle_deg")
def half_a_turn(log: Visit) -> Expected:
    return is_("180", _curved(log, "180"))


@value("curvature_arc_mm")
def the_length_of_a_bend(log: Visit) -> Expected:
    angle = _curved(log, "30")
    return is_("5.236", angle, log.answer("length", 1, row=0, radius="10"))  # 10 x 30 x pi / 180


@value("curvature_arc_mm")
def a_bend_without_a_radius(log: Visit) -> Expected:
    _curved(log, "30")
    log.answer("length", 1, row=0, radius="0")
    return None


# Schneider 1971, as a work that was seen quotes him: straight 5 degrees or less, moderate 10 to 20, severe 25 to 70.


@value("curvature_class")
def straight(log: Visit) -> Expected:
    seq = _curved(log, "5")
    return "straight", (seq,)


@value("curvature_class")
def moderate(log: Visit) -> Expected:
    seq = _curved(log, "10")
    return "moderate", (seq,)


@value("curvature_class")
def severe(log: Visit) -> Expected:
    seq = _curved(log, "70")
    return "severe", (seq,)


@value("curvature_class")
def between_his_classes(log: Visit) -> Expected:
    seq = _curved(log, "22")
    return "undefined", (seq,)


@value("curvature_class")
def by_another_method_it_is_in_none(log: Visit) -> Expected:
    _curved(log, "30", "weine")
    return None


@value("motor_turns")
def turns_of_two_files(log: Visit) -> Expected:
    one = log.answer("shaping", 1, 1, file="25/4-0", purpose="cut", rpm="300", ran="1.24")
    two = log.answer("shaping", 1, 2, file="30/4-0", purpose="cut", rpm="300", ran="12")
    return is_("480", one, two)  # 300 x 84 / 60 = 420 (worked example of the trade's figures), and 60 more


@value("motor_turns")
def a_motor_that_stood_still_made_no_turns(log: Visit) -> Expected:
    one = log.answer("shaping", 1, 1, file="25/4-0", purpose="cut", rpm="0", ran="10")
    two = log.answer("shaping", 1, 2, file="30/4-0", purpose="cut", rpm="300", ran="0")
    return is_("0", one, two)


@value("motor_turns")
def speed_alone_tells_no_turns(log: Visit) -> Expected:
    log.answer("shaping", 1, 1, file="25/4-0", purpose="cut", rpm="300", ran="-/")
    return None


@value("most_uses_of_a_file")
def the_file_used_in_most_canals(log: Visit) -> Expected:
    one = log.file("0/62-0")
    other = log.file("0/61-0")
    log.agree(canal=2)
    return is_("2", one, other, log.file("0/62-1", canal=2))


@value("most_uses_of_a_file")
def as_often_as_it_likes_in_one_canal_is_one_use(log: Visit) -> Expected:
    one = log.file("0/62-0")
    return is_("1", one, log.file("0/62-0"))


@value("most_uses_of_a_file")
def no_file_of_the_stock(log: Visit) -> Expected:
    log.file("25/4-0")
    return None


# Local anaesthetic: articaine 4 %, 40 mg/mL, 7 mg/kg; mepivacaine 3 %, 30 mg/mL, 6.6 mg/kg, at most 400 mg (label and
# handbook, seen). 70 kg and 1.8 mL of articaine are keyed at the start of each of these visits: 72 mg of 490.


def _weight_and_first(log: Visit) -> tuple[int, ...]:
    return tuple(
        one.seq for one in log.entries if getattr(one, "step", "") == "anaesthesia" and "effect" not in one.values
    )


def _second(log: Visit) -> int:
    return log.answer("anaesthesia", 0, 2, agent="mepivacaine_3", volume="1.8", site="buccal", aspiration="negative")


@value("dose_share_percent")
def the_shares_of_two_agents(log: Visit) -> Expected:
    return is_("28.194", *_weight_and_first(log), _second(log))  # 72 / 490 + 54 / 400 (6.6 x 70 = 462 is above the cap)


@value("dose_by_lowest_percent")
def all_against_the_lowest_maximum(log: Visit) -> Expected:
    return is_("31.5", *_weight_and_first(log), _second(log))  # 126 / 400


@value("dose_mg")
def mg_in_all(log: Visit) -> Expected:
    return is_("126", *_weight_and_first(log), _second(log))  # 1.8 x 40 + 1.8 x 30


@value("epinephrine_ug")
def epinephrine_in_all(log: Visit) -> Expected:
    return is_("18", *_weight_and_first(log), _second(log))  # 1.8 x 10, the other is plain


@value("dose_left_ml")
def the_least_that_is_left_of_two_agents(log: Visit) -> Expected:
    # By shares 1 - 72/490 - 54/400 = 0.71806 is left: 351.85 mg of articaine, 8.796 mL; of mepivacaine 9.574.
    return is_("8.796", *_weight_and_first(log), _second(log))


@value("dose_left_cartridges")
def the_same_in_whole_cartridges(log: Visit) -> Expected:
    return is_("4", *_weight_and_first(log), _second(log))  # 8.796 / 1.8 = 4.9


@value("dose_left_ml", "dose_left_cartridges")
def of_one_agent_it_is_not_known(log: Visit) -> Expected:
    _second(log)
    log.answer("anaesthesia", row=0, weight="-/")  # mepivacaine has a most of its own, articaine goes by the weight
    return None


@value("dose_left_ml", "dose_left_cartridges")
def how_much_was_given_is_not_known(log: Visit) -> Expected:
    log.answer("anaesthesia", 0, 2, agent="mepivacaine_3", volume="-/", site="buccal", aspiration="negative")
    return None


@value("dose_left_ml", "dose_left_cartridges")
def of_no_agent_anything_is_left_to_tell(log: Visit) -> Expected:
    drop(log)
    return None


@value("dose_share_percent", "dose_by_lowest_percent")
def no_share_without_the_weight(log: Visit) -> Expected:
    log.answer("anaesthesia", row=0, weight="-/")
    return None


@value("dose_share_percent", "dose_by_lowest_percent", "dose_mg", "epinephrine_ug")
def nothing_was_given(log: Visit) -> Expected:
    drop(log)
    return None


def drop(log: Visit) -> None:
    """Correct agent and volume away."""
    given = next(one.seq for one in log.entries if isinstance(one, Answer) and "agent" in one.values)
    log.correct(given, agent="--", volume="--")
