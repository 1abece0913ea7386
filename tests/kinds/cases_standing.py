"""Rules that judge what stands for the tooth or for a canal: what is missing, does not go together, was reopened."""

from __future__ import annotations

from stepper.facts.state import LAST
from tests.cases import Log, examined, fill, opened, ready, shaped
from tests.kinds.rules import Said, case

# combination: the pulp seen against the pulpal diagnosis.

ALIVE = "Pulp seen: bleeding. Pulpal diagnosis: necrosis."


@case("combination", "pulp_alive")
def a_bleeding_pulp_that_was_called_dead(log: Log) -> Said:
    one = log.answer("diagnosis", pulpal="necrosis")
    two = log.answer("access", pulp_seen="bleeding")
    return [(0, (one, two), ALIVE)]


@case("combination", "pulp_alive")
def the_diagnosis_keyed_after_it(log: Log) -> Said:
    one = log.answer("access", pulp_seen="bleeding", canals="mb+ml+d")
    two = log.answer("diagnosis", pulpal="previously_treated")
    return [(0, (one, two), "Pulp seen: bleeding. Pulpal diagnosis: previously treated.")]


@case("combination", "pulp_alive")
def a_bleeding_pulp_that_was_called_alive(log: Log) -> Said:
    log.answer("diagnosis", pulpal="symptomatic_irreversible")
    log.answer("access", pulp_seen="bleeding")
    return []


@case("combination", "pulp_dead")
def a_dead_pulp_that_was_called_alive(log: Log) -> Said:
    one = log.answer("diagnosis", pulpal="normal_pulp")
    two = log.answer("access", pulp_seen="dead_tissue")
    return [(0, (one, two), "Pulp seen: dead tissue. Pulpal diagnosis: normal pulp.")]


@case("combination", "pulp_dead")
def one_side_alone(log: Log) -> Said:
    log.answer("access", pulp_seen="dead_tissue")
    return []


@case("combination", "pulp_dead")
def one_side_corrected(log: Log) -> Said:
    seq = log.answer("diagnosis", pulpal="normal_pulp")
    log.answer("access", pulp_seen="dead_tissue")
    log.correct(seq, pulpal="necrosis")
    return []


# fewer_canals: three are usual for 46, four for 16.

THREE = "Canals: from memory, 3 or 4"


@case("fewer_canals", "fewer_canals")
def two_where_three_are_usual(log: Log) -> Said:
    opened(log, "mb+d")
    text = f"Canals found: 2. Usual for tooth 46: 3. Length: Wheeler, from memory. {THREE}."
    return [(0, (1,), text)]


@case("fewer_canals", "fewer_canals")
def three_where_three_are_usual(log: Log) -> Said:
    opened(log, "mb+ml+d")
    return []


@case("fewer_canals", "fewer_canals")
def four_where_three_are_usual(log: Log) -> Said:
    opened(log, "mb+ml+db+dl")
    return []


@case("fewer_canals", "fewer_canals", tooth="16")
def three_where_four_are_usual(log: Log) -> Said:
    opened(log, "mb+db+p")
    seen = "Canals: a second mesiobuccal one in 69.6 %, 26 studies pooled, seen"
    return [(0, (1,), f"Canals found: 3. Usual for tooth 16: 4. Length: Wheeler, seen as quoted. {seen}.")]


@case("fewer_canals", "fewer_canals", tooth="16")
def the_fourth_found_late(log: Log) -> Said:
    opened(log, "mb+db+p").found(4, "MB2")
    return []


@case("fewer_canals", "fewer_canals", tooth="75")
def a_milk_tooth(log: Log) -> Said:
    opened(log, "single")
    return []


@case("fewer_canals", "fewer_canals")
def before_the_canals_are_named(log: Log) -> Said:
    log.answer("access", tooth_opened="46", pulp_seen="pus")
    return []


# needed: once a later step has begun.

MISSING = "Not on record before treatment: {}."


@case("needed", "diagnosis_missing")
def nothing_is_missing_before_the_step_begins(log: Log) -> Said:
    log.answer("diagnosis", complaint="biting")
    return []


@case("needed", "diagnosis_missing")
def all_of_it_is_missing(log: Log) -> Said:
    log.answer("time_out", patient_number="4711")
    return [(0, (), MISSING.format("pulpal, apical, history, image date, consent"))]


@case("needed", "diagnosis_missing")
def what_was_said_to_be_absent_is_missing(log: Log) -> Said:
    seq = log.answer("diagnosis", pulpal="necrosis", apical="normal_apical", image_date="-/", history="unchanged")
    other = log.answer("diagnosis", consent="-.")
    log.answer("time_out", patient_number="4711")
    return [(0, (seq, other), MISSING.format("image date, consent"))]


@case("needed", "diagnosis_missing")
def all_of_it_is_there(log: Log) -> Said:
    examined(log)
    return []


GAUGE = (
    'id = "gauging_old"',
    "[[step.note]]",
    '[[step.rule]]\nid = "ungauged"\nkind = "needed"\nweight = "tell"\nquestion = ["gauge"]\nby = "shaping"\n'
    'text = "Missing: {missing}."\n\n[[step.note]]',
)
AT_THE_END = ("ungauged", 'by = "shaping"', 'by = "coronal_seal"')


@case("needed", "ungauged", edits=(GAUGE,))
def of_each_canal_for_itself(log: Log) -> Said:
    opened(log)
    for canal in (1, 2):
        log.answer("shaping", canal, file="25/4-0", purpose="cut")
    log.answer("gauging", 2, gauge="30-0", held="held")
    return [(1, (), "Missing: gauge.")]


@case("needed", "ungauged", edits=(GAUGE, AT_THE_END))
def of_each_canal_by_a_step_of_the_tooth(log: Log) -> Said:
    opened(log).answer("gauging", 2, gauge="30-0", held="held")
    log.answer("coronal_seal", material="composite")
    return [(1, (), "Missing: gauge."), (3, (), "Missing: gauge.")]


BY_LENGTH = ("effect_untested", 'by = "access"', 'by = "length"')


@case("needed", "effect_untested", edits=(BY_LENGTH,))
def of_the_tooth_by_a_step_of_the_canals(log: Log) -> Said:
    examined(opened(log)).answer("length", 2, electronic="20")
    return []


@case("needed", "effect_untested", edits=(BY_LENGTH,))
def of_the_tooth_it_is_said_once(log: Log) -> Said:
    opened(log)
    for canal in (1, 2):
        log.answer("length", canal, electronic="20")
    return [(0, (), "The tooth is being opened, and the effect of the anaesthetic has not been tested.")]


# no_outcome, undressed: how canals end.


def _names(rule: str, *canals: tuple[int, str]) -> Said:
    texts = {"no_outcome": "nobody has said how it ended.", "undressed": "worked in, not filled, and no dressing."}
    return [(canal, (), f"{name}: {texts[rule]}") for canal, name in canals]


@case("no_outcome", "no_outcome")
def every_canal_without_an_outcome(log: Log) -> Said:
    opened(log).answer("closing", counted="yes")
    return _names("no_outcome", (1, "MB"), (2, "ML"), (3, "D"))


@case("no_outcome", "no_outcome")
def before_closing(log: Log) -> Said:
    opened(log)
    return []


@case("no_outcome", "no_outcome")
def filled_dressed_joined_or_said(log: Log) -> Said:
    fill(ready(log, "mb+ml+d+dl+mm"))
    log.answer("dressing", 2, material="calcium_hydroxide")
    log.join(3, 1)
    log.answer("closing", 4, outcome="blocked")
    log.answer("closing", counted="yes")
    return _names("no_outcome", (5, "MM"))


@case("no_outcome", "no_outcome")
def an_outcome_that_is_owed_is_none(log: Log) -> Said:
    opened(log, "single").answer("closing", 1, outcome="-.")
    log.answer("closing", counted="yes")
    return _names("no_outcome", (1, "single canal"))


@case("undressed", "undressed")
def worked_in_and_left(log: Log) -> Said:
    opened(log).answer("shaping", 1, file="25/4-0", purpose="cut")
    log.answer("irrigation", 2, solution="saline")
    log.answer("coronal_seal", material="temporary_cement")
    return _names("undressed", (1, "MB"), (2, "ML"))


@case("undressed", "undressed")
def the_tooth_is_not_closed_yet(log: Log) -> Said:
    opened(log).answer("shaping", 1, file="25/4-0", purpose="cut")
    return []


@case("undressed", "undressed")
def filled_dressed_or_joined(log: Log) -> Said:
    fill(ready(log))
    for canal in (2, 3):
        log.answer("shaping", canal, file="25/4-0", purpose="cut")
    log.answer("dressing", 2, material="calcium_hydroxide")
    log.join(3, 1)
    log.answer("coronal_seal", material="temporary_cement")
    return []


@case("undressed", "undressed")
def said_to_be_left_undressed(log: Log) -> Said:
    opened(log).answer("shaping", 1, file="25/4-0", purpose="cut")
    log.answer("closing", 1, outcome="left_undressed")
    log.answer("coronal_seal", material="temporary_cement")
    return _names("undressed", (1, "MB"))


@case("undressed", "undressed")
def a_dressing_that_is_owed_is_none(log: Log) -> Said:
    opened(log).answer("shaping", 1, file="25/4-0", purpose="cut")
    log.answer("dressing", 1, material="-.")
    log.answer("coronal_seal", material="temporary_cement")
    return _names("undressed", (1, "MB"))


# over_gauge: at least one ISO size over the largest gauging file at length.

OVER = "Master apical file {} is {} sizes over gauging file {} at length; the protocol wants 1."


def _declared(log: Log, master: str, *gauges: str) -> tuple[list[int], int]:
    opened(log).answer("length", 1, working_length="20.5", reference="mesiobuccal_cusp")
    seqs = [log.answer("gauging", 1, row, gauge=one, held="loose") for row, one in enumerate(gauges, 1)]
    return seqs, log.answer("shaping", 1, LAST, master=master)


@case("over_gauge", "over_gauge")
def one_size_over(log: Log) -> Said:
    _declared(log, "35/4", "30-0")
    return []


@case("over_gauge", "over_gauge")
def the_size_itself(log: Log) -> Said:
    (gauge,), master = _declared(log, "30/4", "30-0")
    return [(1, (gauge, master), OVER.format("30/.04", 0, 30))]


@case("over_gauge", "over_gauge")
def a_smaller_size(log: Log) -> Said:
    (gauge,), master = _declared(log, "30/4", "60-0")
    return [(1, (gauge, master), OVER.format("30/.04", -6, 60))]


@case("over_gauge", "over_gauge")
def positions_are_counted_not_hundredths(log: Log) -> Said:
    _declared(log, "70/4", "60-0")
    return []


@case("over_gauge", "over_gauge")
def the_largest_at_length_counts_and_half_a_millimetre_is_at_length(log: Log) -> Said:
    (_, gauge, _, _), master = _declared(log, "35/4", "30-0", "35-0.5", "40-0.6", "25-0")
    return [(1, (gauge, master), OVER.format("35/.04", 0, 35))]


@case("over_gauge", "over_gauge")
def nothing_gauged_at_length(log: Log) -> Said:
    _declared(log, "30/4", "35-1", "40-2", "--")
    return []


@case("over_gauge", "over_gauge")
def gauged_under_another_length(log: Log) -> Said:
    opened(log).answer("length", 1, 1, working_length="20.5", reference="mesiobuccal_cusp")
    log.answer("gauging", 1, gauge="40-0", held="loose")
    log.answer("length", 1, 2, working_length="19.5", reference="mesiobuccal_cusp")
    log.answer("shaping", 1, LAST, master="35/4")
    return []


ODD = ('id = "rotary_25_04"', "size = 25", "size = 27")


@case("over_gauge", "over_gauge", edits=(ODD,))
def a_stock_file_between_two_sizes_counts_as_the_smaller(log: Log) -> Said:
    (gauge,), master = _declared(log, "0/62", "25-0")
    return [(1, (gauge, master), OVER.format("27/.04", 0, 25))]


@case("over_gauge", "over_gauge", edits=(ODD,))
def a_size_over_a_stock_file_between_two(log: Log) -> Said:
    _declared(log, "30/4", "0/62-0")
    return []


# rinse_order: complete, but not in the protocol's order; looked at when the canal has been dried.

ORDER = "Final rinse was {}; the protocol's order is edta, then hypochlorite."


def _rinsed(log: Log, *solutions: str, dried: bool = True, cut: bool = True) -> list[int]:
    opened(log)
    if cut:
        log.answer("shaping", 1, file="35/4-0", purpose="cut")
    seqs = [log.answer("irrigation", 1, row, solution=one) for row, one in enumerate(solutions, 1)]
    if dried:
        log.answer("drying", 1, point_depth="0", dryness="dry")
    return seqs


@case("rinse_order", "rinse_order")
def in_order(log: Log) -> Said:
    _rinsed(log, "edta_17", "hypochlorite_3")
    return []


@case("rinse_order", "rinse_order")
def the_wrong_way_round(log: Log) -> Said:
    one, two = _rinsed(log, "hypochlorite_3", "edta_17")
    return [(1, (one, two), ORDER.format("hypochlorite, then edta"))]


@case("rinse_order", "rinse_order")
def in_order_with_something_before_and_between(log: Log) -> Said:
    _rinsed(log, "hypochlorite_3", "edta_17", "saline", "hypochlorite_1")
    return []


@case("rinse_order", "rinse_order")
def one_of_the_two_is_the_gates_business(log: Log) -> Said:
    _rinsed(log, "hypochlorite_3")
    return []


@case("rinse_order", "rinse_order")
def not_dried_yet(log: Log) -> Said:
    _rinsed(log, "hypochlorite_3", "edta_17", dried=False)
    return []


@case("rinse_order", "rinse_order")
def a_cut_between_begins_it_anew(log: Log) -> Said:
    _rinsed(log, "edta_17", dried=False)
    log.answer("shaping", 1, 2, file="40/4-0", purpose="cut")
    log.answer("irrigation", 1, 2, solution="hypochlorite_3")
    log.answer("irrigation", 1, 3, solution="edta_17")
    log.answer("drying", 1, point_depth="0", dryness="dry")
    return [(1, (5, 6), ORDER.format("hypochlorite, then edta"))]


@case("rinse_order", "rinse_order")
def with_nothing_cut_all_rinses_count(log: Log) -> Said:
    one, two = _rinsed(log, "hypochlorite_3", "edta_17", cut=False)
    return [(1, (one, two), ORDER.format("hypochlorite, then edta"))]


@case("rinse_order", "rinse_order")
def a_cut_in_the_shared_part_begins_it_anew(log: Log) -> Said:
    _rinsed(log, "hypochlorite_3", "edta_17", dried=False)
    log.answer("length", 1, working_length="20.5")
    log.answer("length", 2, working_length="20.5")
    log.join(1, 2, "15")
    log.answer("shaping", 2, file="45/4-0", purpose="cut")
    log.answer("drying", 1, point_depth="0", dryness="dry")
    return []  # what was rinsed before it is the gate's business


@case("rinse_order", "rinse_order")
def the_wrong_way_round_since_a_cut_in_the_shared_part(log: Log) -> Said:
    _rinsed(log, "edta_17", dried=False)
    log.answer("length", 1, working_length="20.5")
    log.answer("length", 2, working_length="20.5")
    log.join(1, 2, "15")
    log.answer("shaping", 2, file="45/4-0", purpose="cut")
    one = log.answer("irrigation", 1, 2, solution="hypochlorite_3")
    two = log.answer("irrigation", 1, 3, solution="edta_17")
    log.answer("drying", 1, point_depth="0", dryness="dry")
    return [(1, (one, two), ORDER.format("hypochlorite, then edta"))]


@case("rinse_order", "rinse_order")
def one_outside_the_chain_does_not_put_it_in_order(log: Log) -> Said:
    one, two = _rinsed(log, "hypochlorite_3", "edta_17", dried=False)
    log.answer("irrigation", 1, 3, solution="hypochlorite_3", outside=True)
    log.answer("drying", 1, point_depth="0", dryness="dry")
    return [(1, (one, two), ORDER.format("hypochlorite, then edta"))]


@case("rinse_order", "rinse_order")
def one_outside_the_chain_does_not_make_it_complete(log: Log) -> Said:
    _rinsed(log, "hypochlorite_3", dried=False)
    log.answer("irrigation", 1, 2, solution="edta_17", outside=True)
    log.answer("drying", 1, point_depth="0", dryness="dry")
    return []


# fill_level: from 0.5 mm beyond length to 1.5 mm short of it.

SOURCE = "practice setting, after Ng et al. 2008, seen"
LEVEL = f"MB: the fill ends {{}} the range of -0.5 to 1.5 mm short of length ({SOURCE})."
FILL_LEVEL = 'id = "fill_level"\nkind'


def _filled(log: Log, level: str) -> int:
    return opened(log).answer("sealing", 1, level=level)


@case("fill_level", "fill_level")
def shorter_than_the_range(log: Log) -> Said:
    return [(1, (_filled(log, "-2"),), LEVEL.format("2 mm short, short of"))]


@case("fill_level", "fill_level")
def further_beyond_than_the_range(log: Log) -> Said:
    return [(1, (_filled(log, "+1"),), LEVEL.format("1 mm beyond, beyond"))]


@case("fill_level", "fill_level")
def at_the_short_end_of_the_range(log: Log) -> Said:
    _filled(log, "-1.5")
    return []


@case("fill_level", "fill_level")
def at_the_far_end_of_the_range(log: Log) -> Said:
    _filled(log, "+0.5")
    return []


@case("fill_level", "fill_level", edits=((FILL_LEVEL, "most_mm = 1.5", "most_mm = 1.5\nmost_counts = false"),))
def at_the_short_end_that_does_not_count(log: Log) -> Said:
    return [(1, (_filled(log, "-1.5"),), LEVEL.format("1.5 mm short, short of"))]


@case("fill_level", "fill_level", edits=((FILL_LEVEL, "most_mm = 1.5", "most_mm = 1.5\nmost_counts = false"),))
def the_other_end_counts_all_the_same(log: Log) -> Said:
    _filled(log, "+0.5")
    return []


@case("fill_level", "fill_level", edits=((FILL_LEVEL, "least_mm = -0.5", "least_mm = -0.5\nleast_counts = false"),))
def at_the_far_end_that_does_not_count(log: Log) -> Said:
    return [(1, (_filled(log, "+0.5"),), LEVEL.format("0.5 mm beyond, beyond"))]


@case("fill_level", "fill_level", edits=((FILL_LEVEL, "least_mm = -0.5", "least_mm = 0\nleast_counts = false"),))
def flush_where_flush_does_not_count(log: Log) -> Said:
    said = LEVEL.format("at length, beyond").replace("-0.5 to", "0 to")
    return [(1, (_filled(log, "0"),), said)]


@case("fill_level", "fill_level")
def no_level_was_measured(log: Log) -> Said:
    _filled(log, "-/")
    return []


@case("fill_level", "fill_level")
def the_level_keyed_wrong(log: Log) -> Said:
    log.correct(_filled(log, "-2"), level="-1")
    return []


@case("fill_level", "fill_level")
def the_level_of_each_canal_for_itself(log: Log) -> Said:
    _filled(log, "-1")
    seq = log.answer("sealing", 3, level="-3")
    return [(3, (seq,), LEVEL.format("3 mm short, short of").replace("MB", "D"))]


# unrepeated: gauging rests on the length and on what the flare cut.

OLD = "MB: the length or the flare changed after gauging, and gauging was not repeated."


@case("unrepeated", "gauging_old")
def nothing_changed(log: Log) -> Said:
    shaped(opened(log))
    return []


@case("unrepeated", "gauging_old")
def the_length_changed(log: Log) -> Said:
    seq = shaped(opened(log)).answer("length", 1, 2, working_length="20", reference="flattened")
    return [(1, (seq,), OLD)]


@case("unrepeated", "gauging_old")
def a_further_reading_alone(log: Log) -> Said:
    shaped(opened(log)).answer("length", 1, 2, electronic="20.5")
    return []


@case("unrepeated", "gauging_old")
def the_flare_went_on(log: Log) -> Said:
    seq = shaped(opened(log)).answer("flare", 1, 2, file="25/8-5", purpose="cut")
    return [(1, (seq,), OLD)]


@case("unrepeated", "gauging_old")
def only_scouted(log: Log) -> Said:
    shaped(opened(log)).answer("flare", 1, 2, file="10/2-0", purpose="scout")
    return []


@case("unrepeated", "gauging_old")
def gauged_again(log: Log) -> Said:
    shaped(opened(log)).answer("flare", 1, 2, file="25/8-5", purpose="cut")
    log.answer("gauging", 1, 2, gauge="30-0", held="held")
    return []


@case("unrepeated", "gauging_old")
def of_another_canal(log: Log) -> Said:
    shaped(opened(log)).answer("flare", 2, file="25/8-5", purpose="cut")
    return []


@case("unrepeated", "gauging_old")
def never_gauged(log: Log) -> Said:
    opened(log).answer("length", 1, working_length="20")
    log.answer("flare", 1, file="25/8-5", purpose="cut")
    return []
