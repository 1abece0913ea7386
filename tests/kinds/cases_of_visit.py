"""Rules about the visit as a whole: dates, canals said to be untreated, patency lost, what is not accounted for."""

from __future__ import annotations

from tests.cases import Log, opened, shaped
from tests.kinds.rules import Said, case

# dated: the sessions of these tests are opened on 2026-03-02.


@case("dated", "image_in_future")
def an_image_of_tomorrow(log: Log) -> Said:
    seq = log.answer("diagnosis", image_date="3.3.2026")
    return [(0, (seq,), "The image is dated 2026-03-03, and today is 2026-03-02.")]


@case("dated", "image_in_future")
def an_image_of_today(log: Log) -> Said:
    log.answer("diagnosis", image_date="2.3.2026")
    return []


@case("dated", "restored_before")
def restored_by_yesterday(log: Log) -> Said:
    seq = log.answer("coronal_seal", restore_by="1.3.2026")
    return [(0, (seq,), "To be restored by 2026-03-01, and today is 2026-03-02.")]


@case("dated", "restored_before")
def restored_by_today(log: Log) -> Said:
    log.answer("coronal_seal", restore_by="2.3.2026")
    return []


# untreated


@case("untreated", "not_untreated")
def said_to_be_untreated_after_files(log: Log) -> Said:
    seq = shaped(opened(log)).answer("closing", 1, outcome="not_treated")
    return [(1, (seq,), "MB: said to be not treated, and files or rinses are logged in it.")]


@case("untreated", "not_untreated")
def truly_untreated(log: Log) -> Said:
    shaped(opened(log)).answer("closing", 2, outcome="not_treated")
    return []


@case("untreated", "not_untreated")
def blocked_after_files(log: Log) -> Said:
    shaped(opened(log)).answer("closing", 1, outcome="blocked")
    return []


# patency_lost: at length is within 0.5 mm.


@case("patency_lost", "patency_lost")
def a_patency_file_that_stopped_short(log: Log) -> Said:
    seq = shaped(opened(log)).answer("shaping", 1, 7, file="10/2-1", purpose="patency")
    return [(1, (seq,), "MB: patency lost, the last patency file 10/.02 stopped 1 mm short.")]


@case("patency_lost", "patency_lost")
def regained(log: Log) -> Said:
    shaped(opened(log)).answer("shaping", 1, 7, file="10/2-1", purpose="patency")
    log.answer("shaping", 1, 8, file="8/2-0.5", purpose="patency")
    return []


@case("patency_lost", "patency_lost")
def lost_again(log: Log) -> Said:
    shaped(opened(log)).answer("shaping", 1, 7, file="8/2+0.5", purpose="patency")
    seq = log.answer("shaping", 1, 8, file="10/2-1.5", purpose="patency")
    return [(1, (seq,), "MB: patency lost, the last patency file 10/.02 stopped 1.5 mm short.")]


@case("patency_lost", "patency_lost")
def a_cut_that_stopped_short(log: Log) -> Said:
    shaped(opened(log)).answer("shaping", 1, 7, file="40/4-1", purpose="cut")
    return []


# chosen, with `unless`: the count and what explains it.

LOST = "Something is not accounted for. The patient does not leave before it is found or explained."


@case("chosen", "count_open")
def not_all_counted(log: Log) -> Said:
    seq = log.answer("closing", counted="no")
    return [(0, (seq,), LOST)]


@case("chosen", "count_open")
def not_explained(log: Log) -> Said:
    seq = log.answer("closing", counted="no", missing="file", explained="not_explained")
    return [(0, (seq,), LOST)]


@case("chosen", "count_open")
def explained(log: Log) -> Said:
    log.answer("closing", counted="no", missing="fragment", explained="in_canal")
    return []


@case("chosen", "dam_left_on")
def the_dam_is_still_on(log: Log) -> Said:
    seq = log.answer("closing", dam_off="no")
    return [(0, (seq,), "The dam is said to be still on.")]


# unlogged: what is said to lie in a canal.

NOTHING = "Something is said to lie in a canal, and no separated file is logged."


@case("unlogged", "nothing_in_canal")
def a_fragment_that_nobody_logged(log: Log) -> Said:
    seq = opened(log).answer("closing", counted="no", missing="fragment", explained="in_canal")
    return [(0, (seq,), NOTHING)]


@case("unlogged", "nothing_in_canal")
def another_incident_does_not_explain_it(log: Log) -> Said:
    opened(log).incident("shaping", 1, "pain")
    seq = log.answer("closing", counted="no", missing="fragment", explained="in_canal")
    return [(0, (seq,), NOTHING)]


@case("unlogged", "nothing_in_canal")
def a_separated_file_explains_it(log: Log) -> Said:
    opened(log).incident("shaping", 1, "separated_file")
    log.answer("closing", counted="no", missing="fragment", explained="in_canal")
    return []


@case("unlogged", "nothing_in_canal")
def a_canal_that_ended_with_a_fragment_explains_it(log: Log) -> Said:
    opened(log).answer("closing", 2, outcome="fragment")
    log.answer("closing", counted="no", missing="fragment", explained="in_canal")
    return []


@case("unlogged", "nothing_in_canal")
def found_later(log: Log) -> Said:
    opened(log).answer("closing", counted="no", missing="file", explained="found")
    return []
