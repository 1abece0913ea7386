"""Cone and needle foretold: computed values worked out by hand."""

from __future__ import annotations

from tests.case.visit import Visit
from tests.kinds.values import Expected, is_, value

# The cone and the needle, by a round canal cut to the file's taper over 16 mm. Tolerances of the diameters, both from
# memory: the cone 0.07 mm from size 30 on (ISO 6877:2006), the file 0.02 mm (ISO 3630-1:1992). The largest outside
# diameter of a 30 G needle is 0.32 mm, of a 27 G one 0.42 mm (ISO 9626:2016, from memory).


@value("cone_rest_short_mm")
def one_size_too_large(log: Visit) -> Expected:
    master = log.master("35/4")
    return is_("1.25", master, log.fit("40/4"))  # (0.40 - 0.35) / 0.04


@value("cone_rest_short_mm")
def so_thin_that_it_falls_right_through(log: Visit) -> Expected:
    log.master("80/2")
    log.fit("15/2")  # (0.15 - 0.80) / 0.02 = 32.5 mm beyond, and a cone is about 28 mm long (from memory)
    return None


@value("cone_rest_least_mm")
def at_least_by_the_tolerances(log: Visit) -> Expected:
    master = log.master("35/4")
    return is_("-1", master, log.fit("40/4"))  # (0.05 - 0.07 of the cone - 0.02 of the file) / 0.04


@value("cone_rest_most_mm")
def at_most_by_the_tolerances(log: Visit) -> Expected:
    master = log.master("35/4")
    return is_("3.5", master, log.fit("40/4"))  # (0.05 + 0.09) / 0.04


@value("cone_trim_mm")
def one_size_too_small(log: Visit) -> Expected:
    master = log.master("35/4")
    return is_("1.25", master, log.fit("30/4"))


@value("cone_rest_short_mm")
def trimmed_to_a_size_it_keeps_its_taper(log: Visit) -> Expected:
    master = log.master("35/4")
    return is_("0", master, log.fit("30/4", trimmed="35/4"))


@value("cone_match")
def a_cone_of_the_files_size_and_taper(log: Visit) -> Expected:
    master = log.master("35/4")
    return "yes", (master, log.fit("35/4"))


@value("cone_match")
def trimmed_to_the_files_size_it_is_of_it(log: Visit) -> Expected:
    master = log.master("35/4")
    return "yes", (master, log.fit("30/4", trimmed="35/4"))


@value("cone_match")
def trimmed_from_the_files_size_it_is_not(log: Visit) -> Expected:
    master = log.master("35/4")
    return "no", (master, log.fit("35/4", trimmed="40/4"))


@value("cone_match")
def trimmed_to_the_files_size_at_another_taper(log: Visit) -> Expected:
    master = log.master("35/4")
    return "no", (master, log.fit("30/6", trimmed="35/6"))


@value("cone_match")
def no_cone_is_trimmed_to_a_smaller_size(log: Visit) -> Expected:
    master = log.master("35/4")
    return "yes", (master, log.fit("35/4", trimmed="30/4"))  # a slip: whole, it is of the file's


@value("cone_rest_short_mm")
def a_slip_in_trimming_leaves_it_whole(log: Visit) -> Expected:
    master = log.master("35/4")
    return is_("0", master, log.fit("35/4", trimmed="30/4"))


@value("cone_match")
def a_cone_of_another_taper(log: Visit) -> Expected:
    master = log.master("35/4")
    return "no", (master, log.fit("35/6"))


@value("cone_rest_short_mm")
def by_the_largest_file_while_none_is_declared(log: Visit) -> Expected:
    log.file("30/4-0")
    cut = log.file("40/4-0.5")  # within 0.5 mm it is at length
    log.file("50/4-1")
    log.file("60/4-0", "patency")
    return is_("0", cut, log.fit("40/4"))


@value("cone_rest_short_mm", "cone_rest_least_mm", "cone_rest_most_mm", "cone_trim_mm", "cone_match")
def no_cone_yet(log: Visit) -> Expected:
    log.master("35/4")
    return None


@value("cone_rest_short_mm", "cone_rest_least_mm", "cone_rest_most_mm", "cone_trim_mm", "cone_match")
def the_canal_has_no_shape(log: Visit) -> Expected:
    log.file("35/4-2")
    log.fit("35/4")
    return None


@value("cone_rest_short_mm")
def it_does_not_enter_the_cut_part(log: Visit) -> Expected:
    log.master("35/4")
    log.fit("100/4")  # 1.00 mm, and the cut is 0.35 + 16 x 0.04 = 0.99 mm wide at its end
    return None


@value("needle_touches_mm")
def a_30_g_needle_in_25_04(log: Visit) -> Expected:
    master = log.master("25/4")
    return is_("1.75", master, log.rinse("saline"))  # (0.32 - 0.25) / 0.04


@value("needle_loose_mm")
def loose_by_the_smallest_cut(log: Visit) -> Expected:
    master = log.master("25/4")
    return is_("2.25", master, log.rinse("saline"))  # (0.32 - 0.23) / 0.04


@value("needle_past_touch_mm")
def past_where_it_touches(log: Visit) -> Expected:
    master = log.master("25/4")
    return is_("0.75", master, _needle(log, "-1"))


@value("needle_past_touch_mm")
def short_of_where_it_touches(log: Visit) -> Expected:
    master = log.master("25/4")
    return is_("0", master, _needle(log, "-2"))


@value("needle_touches_mm")
def the_needle_that_was_set_up(log: Visit) -> Expected:
    needle = log.set_up("needle_27_side")
    return is_("4.25", log.master("25/4"), needle)  # (0.42 - 0.25) / 0.04


@value("needle_touches_mm", "needle_loose_mm")
def no_needle_is_known(log: Visit) -> Expected:
    log.master("25/4")
    return None


@value("needle_touches_mm", "needle_loose_mm", "needle_past_touch_mm")
def no_shape_for_a_needle(log: Visit) -> Expected:
    log.rinse("saline")
    return None


def _needle(log: Visit, depth: str) -> int:
    typed = {"solution": "saline", "volume": "3", "needle_depth": depth, "needle": "needle_30_side"}
    return log.answer("irrigation", 1, **typed)


# A stock file says more than its name: how long its cutting part is, and that its taper varies.


@value("cone_rest_short_mm", "cone_rest_least_mm", "cone_rest_most_mm", "cone_trim_mm", "cone_match")
def a_taper_that_varies_is_no_shape_for_a_cone(log: Visit) -> Expected:
    log.master("0/76")
    log.fit("25/8")
    return None


@value("needle_touches_mm", "needle_loose_mm", "needle_past_touch_mm")
def a_taper_that_varies_is_no_shape_for_a_needle(log: Visit) -> Expected:
    log.file("0/76-0")
    log.rinse("saline")
    return None


@value("cone_rest_short_mm")
def a_short_cutting_part_ends_sooner(log: Visit) -> Expected:
    master = log.master("0/77")  # 30/.04 over 10 mm
    # The cone, 30/.06, touches where the cut ends: the canal is 0.70 mm wide there, the cone at 0.4 / 0.06 = 6.67 mm.
    return is_("3.33", master, log.fit("30/6"))


@value("needle_touches_mm", "needle_loose_mm")
def wider_than_a_short_cutting_part(log: Visit) -> Expected:
    log.set_up("needle_23_wide")
    log.master("0/77")  # 0.70 mm wide at its end, and the needle 0.71
    return None
