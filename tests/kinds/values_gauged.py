"""What gauging proves, and the master apical file against it: computed values worked out by hand.

Sizes are ISO 3630-1, hundredths of a mm at the tip; a file is taken to be exact to 0.02 mm up to size 60, a stop to
0.3 mm, as the protocol's limits say.
"""

from __future__ import annotations

from tests.case.visit import Visit
from tests.cases import Log
from tests.kinds.values import Expected, is_, value


def gauge(log: Log, *files: str) -> tuple[int, ...]:
    """Gauging files in canal 1: `35-0*` was held at length."""
    rows = sum(getattr(one, "step", "") == "gauging" for one in log.entries)
    return tuple(
        log.answer("gauging", 1, row, gauge=one.rstrip("*"), held="held" if "*" in one else "loose")
        for row, one in enumerate(files, rows + 1)
    )


def as_designed(log: Visit) -> tuple[int, ...]:
    """25/.06 cut to length, 30/.02 went there loosely, 35/.02 stopped 0.5 short: 0.28-0.434 mm, 0.37 if held at tip.

    At least: 0.30 - 0.02 at length; further up 0.23 + 0.06 x from the cut. The 35 rested 0.2 to 0.8 short, so it is at
    most 0.35 + 0.02 + 0.02 (x - 0.2) = 0.366 + 0.02 x wide; it meets the cut's 0.23 + 0.06 x at 3.4, 0.434 mm wide.
    """
    log.file("25/6-0")
    return gauge(log, "30-0", "35-0.5")


# What gauging proves.


@value("width_least_mm")
def least_by_what_went_to_length(log: Visit) -> Expected:
    return is_("0.28", *as_designed(log))


@value("width_most_mm")
def most_by_what_was_held(log: Visit) -> Expected:
    return is_("0.434", *as_designed(log))


@value("width_most_if_held_mm")
def most_if_it_was_held_at_its_tip(log: Visit) -> Expected:
    return is_("0.37", *as_designed(log))


@value("gauged_size")
def the_largest_at_length(log: Visit) -> Expected:
    return is_("35", *as_designed(log))  # within 0.5 mm it is at length


@value("gauged_size")
def stopped_further_short_it_is_not_at_length(log: Visit) -> Expected:
    return is_("30", *gauge(log, "30-0", "35-0.6"))


@value("gauged_size")
def a_file_that_cut_is_no_gauge(log: Visit) -> Expected:
    log.file("45/4-0")
    return is_("30", *gauge(log, "30-0"))


@value("gauged_size")
def at_an_open_apex_it_is_told_without_bounds(log: Visit) -> Expected:
    apex = log.answer("length", 1, apex="open")
    return is_("30", apex, *gauge(log, "30-0"))


@value("gauged_size")
def no_gauging_file_at_length(log: Visit) -> Expected:
    gauge(log, "35-1")
    return None


@value("width_most_mm", "width_most_if_held_mm")
def nothing_was_held(log: Visit) -> Expected:
    gauge(log, "30-0", "35-0")
    return None


@value("width_least_mm")
def nothing_counts_at_length(log: Visit) -> Expected:
    gauge(log, "30-1")  # it proves 0.28 from 1.3 mm up, and nothing at length
    return None


@value("gauging_contradicts")
def they_agree(log: Visit) -> Expected:
    return "no", as_designed(log)


@value("gauging_contradicts")
def a_small_file_held_where_a_large_one_cut(log: Visit) -> Expected:
    log.file("40/4-0")  # at least 0.38 + 0.04 x, and a 30 is at most 0.32 + 0.02 x
    return "yes", gauge(log, "30-0*")


@value("gauging_contradicts", "width_least_mm", "width_most_mm", "width_most_if_held_mm", "gauged_size")
def nothing_was_gauged(log: Visit) -> Expected:
    log.file("25/6-0")
    return None


# The master apical file against it.


@value("file_larger", "file_larger_if_held", "file_over_passed_mm", "file_over_held_mm", "file_unknown_mm")
def no_file_is_declared(log: Visit) -> Expected:
    as_designed(log)
    return None


@value("file_larger", "file_over_passed_mm", "file_within_passed", "file_steps_over_gauge")
def declared_and_not_gauged(log: Visit) -> Expected:
    log.master("40/4")
    return None


@value("file_larger")
def within_the_bounds_it_is_unknown(log: Visit) -> Expected:
    read = as_designed(log)
    return "unknown", (*read, log.master("40/4"))  # 0.38-0.42 against 0.28-0.434


@value("file_larger_if_held")
def larger_if_the_35_was_held_at_its_tip(log: Visit) -> Expected:
    read = as_designed(log)
    return "yes", (*read, log.master("40/4"))  # 0.38 is above 0.37


@value("file_larger", "file_larger_if_held")
def no_larger_than_what_went_to_length(log: Visit) -> Expected:
    read = as_designed(log)
    return "no", (*read, log.master("25/4"))  # at most 0.27


@value("file_larger")
def larger_for_certain(log: Visit) -> Expected:
    read = as_designed(log)
    return "yes", (*read, log.master("50/4"))  # at least 0.48


@value("file_larger_if_held")
def unknown_even_if_it_was_held_at_its_tip(log: Visit) -> Expected:
    read = as_designed(log)
    return "unknown", (*read, log.master("35/4"))  # 0.33-0.37 against 0.28-0.37


@value("file_over_passed_mm")
def larger_all_along(log: Visit) -> Expected:
    read = as_designed(log)
    return is_("3", *read, log.master("40/4"))  # 0.40 + 0.04 x; at 3 mm 0.52 against 0.41


@value("file_over_passed_mm")
def larger_over_a_part(log: Visit) -> Expected:
    log.file("25/6-0")
    read = gauge(log, "25-0")
    return is_("1.75", *read, log.master("30/2"))  # 0.30 + 0.02 x against 0.23 + 0.06 x


@value("file_over_held_mm")
def larger_as_far_as_a_tip_held_file_tells(log: Visit) -> Expected:
    read = as_designed(log)
    return is_("0.2", *read, log.master("40/4"))  # the 35 rested 0.2 short or more


@value("file_unknown_mm")
def above_what_passed_and_not_above_the_bound(log: Visit) -> Expected:
    read = as_designed(log)
    return is_("3", *read, log.master("40/4"))  # up to 0.2 it is below 0.434; from there on nothing bounds


@value("file_unknown_mm")
def where_it_is_larger_for_certain_it_is_not_unknown(log: Visit) -> Expected:
    read = as_designed(log)
    return is_("2.8", *read, log.master("50/4"))  # larger up to 0.2


@value("file_over_held_mm")
def without_a_tip_that_was_held_the_cautious_bound_stands_in(log: Visit) -> Expected:
    # 40/.02 passed proves 0.38 + 0.02 x, so the 35/.06 stopped 1 mm short touched from 1.3 mm on: at most 1.288 mm.
    read = gauge(log, "40-0", "35/6-1")
    return is_("0", *read, log.master("45/4"))


@value("file_over_held_mm")
def nothing_bounds_the_canal(log: Visit) -> Expected:
    gauge(log, "30-0")
    log.master("40/4")
    return None


@value("file_within_passed")
def nowhere_larger_than_what_passed(log: Visit) -> Expected:
    read = as_designed(log)
    return "yes", (*read, log.master("25/4"))  # 0.25 + 0.04 x; 0.28 + 0.02 x is reached at 1.5, 0.23 + 0.06 x at 1


@value("file_within_passed")
def larger_than_what_passed_over_some_of_it(log: Visit) -> Expected:
    log.file("25/6-0")
    read = gauge(log, "25-0")
    return "no", (*read, log.master("30/2"))


@value("file_steps_over_gauge")
def two_sizes_over(log: Visit) -> Expected:
    read = gauge(log, "30-0", "35-0.6")
    return is_("2", *read, log.master("40/4"))  # 30, 35, 40


@value("file_steps_over_gauge")
def one_that_stopped_half_a_millimetre_short_is_the_gauge(log: Visit) -> Expected:
    read = as_designed(log)
    return is_("1", *read, log.master("40/4"))  # 35, 40


@value("file_steps_over_gauge")
def a_size_below_it(log: Visit) -> Expected:
    read = as_designed(log)
    return is_("-2", *read, log.master("25/4"))


@value("file_steps_over_gauge", "gauged_size")
def stopped_short_of_length_is_no_gauge(log: Visit) -> Expected:
    gauge(log, "30-1")
    log.master("40/4")
    return None


CONTRADICTED = ("file_over_held_mm", "file_unknown_mm", "file_over_passed_mm", "file_within_passed")


@value(*CONTRADICTED, "gauged_size", "file_steps_over_gauge")
def against_a_contradiction_nothing_is_compared(log: Visit) -> Expected:
    a_small_file_held_where_a_large_one_cut(log)
    log.master("40/4")
    return None
