"""Cases of gauging: what is logged in canal 1, 20.5 mm being agreed, and the readings that follow from it."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from stepper.sums.gauging.model import How, Reading, Tool, straight
from tests.case.visit import Visit
from tests.kinds.values_gauged import gauge

D = Decimal

Build = Callable[[Visit], list[Reading]]


def read(how: How, file: str, short: str = "0") -> Reading:
    size, taper = file.split("/")
    return Reading(straight(int(size), D(taper) / 100), how, D(short))


def cut(file: str, short: str = "0") -> Reading:
    return read(How.CUT, file, short)


def loose(file: str, short: str = "0") -> Reading:
    return read(How.PASSED, file, short)


def held(file: str, short: str = "0") -> Reading:
    return read(How.STOPPED, file, short)


def freed(file: str, short: str = "0") -> Reading:
    return read(How.FREED, file, short)


CASES: list[Build] = []


def case(build: Build) -> Build:
    """Register a case."""
    CASES.append(build)
    return build


@case
def a_file_cut_one_loose_one_stopped(log: Visit) -> list[Reading]:
    log.file("25/6-0", step="flare")
    gauge(log, "30-0", "35-0.5")
    return [cut("25/6"), loose("30/2"), held("35/2", "0.5")]


@case
def the_three_ways_of_a_gauging_row(log: Visit) -> list[Reading]:
    gauge(log, "30-0", "35-0*", "40-1.5")
    return [loose("30/2"), held("35/2"), held("40/2", "1.5")]


@case
def stopped_short_it_was_held_whatever_is_said(log: Visit) -> list[Reading]:
    gauge(log, "40-1.5*", "45/4-2")
    return [held("40/2", "1.5"), held("45/4", "2")]


@case
def a_gauging_file_beyond_length_went_to_length(log: Visit) -> list[Reading]:
    gauge(log, "30+0.5", "35+1*")
    return [loose("30/2"), loose("35/2")]


@case
def the_same_reading_counts_once(log: Visit) -> list[Reading]:
    log.file("25/6-0")
    log.file("25/6-0")
    gauge(log, "30-0", "30-0")
    return [cut("25/6"), loose("30/2")]


@case
def what_was_cut_after_the_last_reading_is_not_read(log: Visit) -> list[Reading]:
    gauge(log, "30-0", "35-0.5")
    log.file("40/4-0")
    return [loose("30/2"), held("35/2", "0.5")]


@case
def a_file_held_before_a_cut_bounds_nothing_after_it(log: Visit) -> list[Reading]:
    gauge(log, "35-0.5")
    log.file("40/4-2")
    gauge(log, "30-0", "45-1")
    return [cut("40/4", "2"), freed("35/2", "0.5"), loose("30/2"), held("45/2", "1")]


@case
def a_file_held_at_length_is_as_uncertain_after_a_cut(log: Visit) -> list[Reading]:
    gauge(log, "25-0*")
    log.file("40/6-5")
    gauge(log, "20-0")
    return [cut("40/6", "5"), freed("25/2"), loose("20/2")]


@case
def only_a_cut_frees_a_file(log: Visit) -> list[Reading]:
    gauge(log, "35-0.5")
    log.file("25/4-0", "recapitulate")
    log.file("10/2-1", "scout")
    gauge(log, "30-0")
    return [loose("25/4"), loose("10/2", "1"), held("35/2", "0.5"), loose("30/2")]


@case
def a_file_whose_purpose_nobody_said_has_cut(log: Visit) -> list[Reading]:
    gauge(log, "35-0.5")
    log.answer("shaping", 1, file="25/4-0")
    gauge(log, "30-0")
    return [cut("25/4"), freed("35/2", "0.5"), loose("30/2")]


@case
def a_patency_file_beyond_length_went_to_length(log: Visit) -> list[Reading]:
    log.file("10/2+1", "patency")
    gauge(log, "30-0.5")
    return [loose("10/2"), held("30/2", "0.5")]


@case
def files_of_another_canal_do_not_count(log: Visit) -> list[Reading]:
    log.agree(canal=2)
    log.file("40/4-0", canal=2)
    gauge(log, "30-0")
    log.answer("gauging", 2, gauge="45-1", held="loose")
    return [loose("30/2")]


@case
def a_reading_that_was_not_taken_leaves_the_others(log: Visit) -> list[Reading]:
    gauge(log, "30-0", "35-0.5")
    log.answer("gauging", 1, 3, gauge="-/")
    return [loose("30/2"), held("35/2", "0.5")]


@case
def what_did_not_cut_since_is_no_cut(log: Visit) -> list[Reading]:
    gauge(log, "35-0.5")
    log.file("10/2-0", "patency")
    return [held("35/2", "0.5")]


# Canals that join: ML is main here, MB joins it 15 mm from MB's own reference point.


@case
def a_cut_in_the_shared_part_frees_a_file(log: Visit) -> list[Reading]:
    log.agree(canal=2)
    gauge(log, "35-0.5")
    log.join(1, 2, "15")
    log.file("45/4-0", canal=2)
    gauge(log, "25-0")
    return [freed("35/2", "0.5"), loose("25/2")]


@case
def a_join_found_later_frees_it_too(log: Visit) -> list[Reading]:
    log.agree(canal=2)
    gauge(log, "35-0.5")
    log.file("45/4-0", canal=2)
    gauge(log, "25-0")
    log.join(2, 1)
    return [freed("35/2", "0.5"), loose("25/2")]


@case
def a_cut_short_of_the_join_frees_nothing(log: Visit) -> list[Reading]:
    log.agree(canal=2)
    gauge(log, "35-0.5")
    log.join(2, 1, "15")
    log.file("45/4-6", canal=2)
    gauge(log, "25-0")
    return [held("35/2", "0.5"), loose("25/2")]


@case
def a_cut_in_the_shared_part_since(log: Visit) -> list[Reading]:
    log.agree(canal=2)
    gauge(log, "35-0.5")
    log.join(1, 2)
    log.file("45/4-0", canal=2)
    return [held("35/2", "0.5")]


# Depths, when the length moves.


@case
def a_longer_length_leaves_the_file_where_it_was(log: Visit) -> list[Reading]:
    log.file("25/6-0")
    gauge(log, "30-0")
    log.agree("21")
    gauge(log, "35-1")
    return [cut("25/6", "0.5"), held("35/2", "1")]


@case
def a_shorter_length_was_passed_by_it(log: Visit) -> list[Reading]:
    log.file("25/6-0")
    log.agree("19.5")
    gauge(log, "35-1")
    return [cut("25/6"), held("35/2", "1")]


@case
def a_length_keyed_wrong_keeps_the_distances(log: Visit) -> list[Reading]:
    agreed = log.entries[-1].seq
    log.file("25/6-1")
    gauge(log, "30-0", "35-0.5")
    log.correct(agreed, working_length="22")
    return [cut("25/6", "1"), loose("30/2"), held("35/2", "0.5")]


@case
def where_a_file_was_from_a_broken_cusp_nobody_knows(log: Visit) -> list[Reading]:
    log.answer("length", 1, 1, reference="mesiobuccal_cusp")
    log.file("40/4-0")
    log.answer("length", 1, 2, working_length="19", reference="flattened")
    gauge(log, "30-0", "35-0*")
    return [loose("30/2"), held("35/2")]


# What was told late, and what was corrected.


@case
def a_cut_told_late_was_before_the_reading(log: Visit) -> list[Reading]:
    log.wait(30)
    gauge(log, "35-0.5")
    log.file("25/6-0", ago=10)
    return [cut("25/6"), held("35/2", "0.5")]


@case
def a_reading_told_late_was_before_the_cut(log: Visit) -> list[Reading]:
    log.wait(30)
    log.file("25/6-0")
    log.answer("gauging", 1, gauge="35-0.5", held="loose", ago=10)
    return [held("35/2", "0.5")]


@case
def a_reading_keyed_wrong(log: Visit) -> list[Reading]:
    (seq,) = gauge(log, "35-0.5")
    log.correct(seq, gauge="35-1")
    return [held("35/2", "1")]


@case
def a_file_keyed_wrong(log: Visit) -> list[Reading]:
    seq = log.file("25/6-0")
    gauge(log, "30-0")
    log.correct(seq, file="20/6-1")
    return [cut("20/6", "1"), loose("30/2")]


@case
def a_cut_that_was_none(log: Visit) -> list[Reading]:
    gauge(log, "35-0.5")
    seq = log.file("25/6-0")
    gauge(log, "30-0")
    log.correct(seq, purpose="scout")
    return [loose("25/6"), held("35/2", "0.5"), loose("30/2")]


@case
def held_after_all(log: Visit) -> list[Reading]:
    (seq,) = gauge(log, "35-0")
    log.correct(seq, held="held")
    return [held("35/2")]


# Files that are no cone of 16 mm.


@case
def stock_files_are_what_the_stock_says(log: Visit) -> list[Reading]:
    log.file("0/76-0")
    log.file("0/77-1")
    gauge(log, "30-0")
    varies = Tool("25/.08", 25, ((D(0), D("0.25")), (D(3), D("0.49")), (D(16), D("0.88"))))
    return [Reading(varies, How.CUT, D(0)), Reading(straight(30, D("0.04"), D(10)), How.CUT, D(1)), loose("30/2")]


@case
def a_file_without_a_taper_proves_nothing(log: Visit) -> list[Reading]:
    log.file("0/78-0", "scout")
    gauge(log, "30-0", "0/78-0")
    return [loose("30/2")]


@case
def but_it_can_cut(log: Visit) -> list[Reading]:
    gauge(log, "35-0.5")
    log.file("0/78-0")
    gauge(log, "30-0")
    return [freed("35/2", "0.5"), loose("30/2")]


@case
def readings_further_than_is_reckoned_are_left_out(log: Visit) -> list[Reading]:
    log.file("60/8-17", step="flare")
    gauge(log, "30-0", "80-16.5", "70-16")
    return [loose("30/2"), held("70/2", "16")]


@case
def a_closed_apex_is_as_none_said(log: Visit) -> list[Reading]:
    log.answer("length", 1, apex="closed")
    gauge(log, "30-0")
    return [loose("30/2")]


SINCE = {
    what_was_cut_after_the_last_reading_is_not_read,
    a_reading_told_late_was_before_the_cut,
    a_cut_in_the_shared_part_since,
}
"""Where files cut after the last reading."""
