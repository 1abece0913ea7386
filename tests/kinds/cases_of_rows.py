"""Rules that judge a row: numbers, distances, files, solutions, anaesthetics."""

from __future__ import annotations

from decimal import Decimal

from stepper.facts import entries
from stepper.facts.values import Number
from tests.cases import Log, opened
from tests.kinds.rules import Said, case

# apart: two methods of measuring, the protocol's limit 1 mm.


@case("apart", "lengths_apart")
def one_millimetre_apart_is_within_the_limit(log: Log) -> Said:
    opened(log).answer("length", 1, electronic="20.5", image_length="21.5")
    return []


@case("apart", "lengths_apart")
def a_tenth_more_is_not(log: Log) -> Said:
    seq = opened(log).answer("length", 1, electronic="20.5", image_length="21.6")
    return [(1, (seq,), "Electronic 20.5 mm and image 21.6 mm are 1.1 mm apart; the protocol allows 1 mm.")]


@case("apart", "lengths_apart")
def the_other_way_round_and_keyed_one_by_one(log: Log) -> Said:
    first = opened(log).answer("length", 2, electronic="22.0")
    second = log.answer("length", 2, image_length="20.5")
    return [(2, (first, second), "Electronic 22 mm and image 20.5 mm are 1.5 mm apart; the protocol allows 1 mm.")]


@case("apart", "lengths_apart")
def only_one_of_the_two(log: Log) -> Said:
    opened(log).answer("length", 1, electronic="20.5", image_length="-/")
    return []


@case("apart", "lengths_apart")
def keyed_wrong_and_put_right(log: Log) -> Said:
    seq = opened(log).answer("length", 1, electronic="20.5", image_length="25.5")
    log.correct(seq, image_length="20.5")
    return []


@case("apart", "lengths_apart")
def of_two_measurings_each_for_itself(log: Log) -> Said:
    opened(log).answer("length", 1, 1, electronic="20.5", image_length="20.5")
    log.answer("length", 1, 2, electronic="22.0", image_length="22.0")
    return []


# at_least: the temporary's thickness.


@case("at_least", "temporary_thin")
def as_thick_as_that(log: Log) -> Said:
    log.answer("coronal_seal", material="temporary_cement", thickness="3.5")
    return []


@case("at_least", "temporary_thin")
def a_tenth_thinner(log: Log) -> Said:
    seq = log.answer("coronal_seal", material="temporary_cement", thickness="3.4")
    text = "Temporary 3.4 mm thick; the protocol wants 3.5 mm (Webber et al. 1978, from memory)."
    return [(0, (seq,), text)]


@case("at_least", "temporary_thin")
def not_measured_is_no_number(log: Log) -> Said:
    log.answer("coronal_seal", material="temporary_cement", thickness="-/")
    return []


# beyond_length: only patency, and only by 1 mm.


@case("beyond_length", "shaping_beyond")
def a_cut_at_length(log: Log) -> Said:
    opened(log).answer("shaping", 1, file="25/4-0", purpose="cut")
    return []


@case("beyond_length", "shaping_beyond")
def a_cut_beyond(log: Log) -> Said:
    seq = opened(log).answer("shaping", 1, file="25/4+0.25", purpose="cut")
    return [(1, (seq,), "File 25/.04 went 0.25 mm beyond length.")]


@case("beyond_length", "shaping_beyond")
def patency_within_its_millimetre(log: Log) -> Said:
    opened(log).answer("shaping", 1, file="10/2+1", purpose="patency")
    return []


@case("beyond_length", "shaping_beyond")
def patency_past_it(log: Log) -> Said:
    seq = opened(log).answer("shaping", 1, file="10/2+1.01", purpose="patency")
    return [(1, (seq,), "File 10/.02 went 1.01 mm beyond length.")]


@case("beyond_length", "shaping_beyond")
def recapitulation_has_no_allowance(log: Log) -> Said:
    seq = opened(log).answer("shaping", 1, file="10/2+0.5", purpose="recapitulate")
    return [(1, (seq,), "File 10/.02 went 0.5 mm beyond length.")]


@case("beyond_length", "shaping_beyond")
def the_purpose_said_in_a_second_line(log: Log) -> Said:
    opened(log).answer("shaping", 1, file="10/2+0.5")
    log.answer("shaping", 1, purpose="patency")
    return []


# nearer: the needle, 2 mm.


@case("nearer", "needle_near")
def two_millimetres_short(log: Log) -> Said:
    opened(log).answer("irrigation", 1, solution="edta_17", volume="1", needle_depth="-2")
    return []


@case("nearer", "needle_near")
def a_tenth_nearer(log: Log) -> Said:
    seq = opened(log).answer("irrigation", 1, solution="edta_17", volume="1", needle_depth="-1.9")
    return [(1, (seq,), "Needle 1.9 mm short; the protocol keeps 2 mm short of length.")]


@case("nearer", "needle_near")
def a_needle_beyond_length(log: Log) -> Said:
    seq = opened(log).answer("irrigation", 1, solution="edta_17", volume="1", needle_depth="+1")
    return [(1, (seq,), "Needle 1 mm beyond; the protocol keeps 2 mm short of length.")]


@case("nearer", "needle_near")
def a_depth_that_nobody_measured(log: Log) -> Said:
    opened(log).answer("irrigation", 1, solution="edta_17", volume="1", needle_depth="-/")
    return []


# said_absent: expiry.


@case("said_absent", "expiry_unknown")
def an_expiry_that_is_known(log: Log) -> Said:
    log.answer("set_up", item="saline", expiry="11.2027", lot="1")
    return []


@case("said_absent", "expiry_unknown")
def not_measured_not_done_and_owed(log: Log) -> Said:
    seqs = [log.answer("set_up", row=row, item="saline", expiry=word) for row, word in enumerate(("-/", "--", "-."), 1)]
    return [(0, (seq,), "The expiry of something set up is not known.") for seq in seqs]


@case("said_absent", "expiry_unknown")
def an_expiry_not_asked_yet(log: Log) -> Said:
    log.answer("set_up", item="saline")
    return []


@case("said_absent", "expiry_unknown")
def an_expiry_found_afterwards(log: Log) -> Said:
    seq = log.answer("set_up", item="saline", expiry="-/")
    log.correct(seq, expiry="11.2027")
    return []


# tooth_length: 46 is usually 21.5 mm, band 4 mm.


@case("tooth_length", "length_unusual")
def four_millimetres_longer(log: Log) -> Said:
    opened(log).answer("length", 1, working_length="25.5")
    return []


@case("tooth_length", "length_unusual")
def a_tenth_longer_still(log: Log) -> Said:
    seq = opened(log).answer("length", 1, working_length="25.6")
    source = "Length: Wheeler, from memory. Canals: from memory, 3 or 4"
    return [(1, (seq,), f"Length 25.6 mm; tooth 46 is usually 21.5 mm overall. {source}.")]


@case("tooth_length", "length_unusual")
def four_millimetres_shorter(log: Log) -> Said:
    opened(log).answer("length", 1, working_length="17.5")
    return []


@case("tooth_length", "length_unusual", tooth="11")
def twelve_keyed_for_twenty_one(log: Log) -> Said:
    seq = opened(log, "single").answer("length", 1, working_length="12")
    source = "Length: Wheeler, seen as quoted. Canals: from memory"
    return [(1, (seq,), f"Length 12 mm; tooth 11 is usually 23.5 mm overall. {source}.")]


@case("tooth_length", "length_unusual", tooth="75")
def a_milk_tooth_has_no_usual_length(log: Log) -> Said:
    opened(log).answer("length", 1, working_length="8")
    return []


# chosen: blood at the tip twice running at length; pus at once.

AGAIN = "Blood at the tip {} times running, with the point at length."


def _points(log: Log, *rows: tuple[str, str]) -> list[int]:
    opened(log)
    return [
        log.answer("drying", 1, number, point_depth=depth, dryness="wet", blood=blood)
        for number, (depth, blood) in enumerate(rows, 1)
    ]


@case("chosen", "blood_again")
def blood_once(log: Log) -> Said:
    _points(log, ("0", "blood_tip"))
    return []


@case("chosen", "blood_again")
def blood_twice(log: Log) -> Said:
    one, two = _points(log, ("0", "blood_tip"), ("-0.5", "blood_tip+blood_side"))
    return [(1, (one, two), AGAIN.format(2))]


@case("chosen", "blood_again")
def blood_three_times(log: Log) -> Said:
    one, two, three = _points(log, *[("0", "blood_tip")] * 3)
    return [(1, (one, two), AGAIN.format(2)), (1, (two, three), AGAIN.format(3))]


@case("chosen", "blood_again")
def blood_once_short_of_length(log: Log) -> Said:
    _points(log, ("0", "blood_tip"), ("-0.6", "blood_tip"))
    return []


@case("chosen", "blood_again")
def a_clean_point_between(log: Log) -> Said:
    _points(log, ("0", "blood_tip"), ("0", "none"), ("0", "blood_tip"))
    return []


@case("chosen", "blood_again")
def blood_in_two_canals(log: Log) -> Said:
    opened(log)
    for canal in (1, 2):
        log.answer("drying", canal, point_depth="0", dryness="wet", blood="blood_tip")
    return []


@case("chosen", "pus")
def pus_is_said_at_once(log: Log) -> Said:
    (seq,) = _points(log, ("-3", "blood_side+pus"))
    return [(1, (seq,), "Pus on the paper point.")]


@case("chosen", "pus")
def no_pus(log: Log) -> Said:
    _points(log, ("0", "blood_side"), ("0", "--"))
    return []


# clash: hypochlorite and chlorhexidine, whichever comes first, unless flushed.

WHY = "the two form a coloured precipitate. Flush with saline or water or alcohol first."
BASRANI = "Basrani et al. 2007: colour from 0.023 % hypochlorite, precipitate from 0.19 % (seen)."


def _rinsed(log: Log, *solutions: str) -> list[int]:
    opened(log)
    return [
        log.answer("irrigation", 1, row, solution=one, volume="2", needle_depth="-2")
        for row, one in enumerate(solutions, 1)
    ]


@case("clash", "clash")
def chlorhexidine_after_hypochlorite(log: Log) -> Said:
    one, two = _rinsed(log, "hypochlorite_3", "chlorhexidine_2")
    return [(1, (one, two), f"Chlorhexidine 2 % after Sodium hypochlorite 3 %: {WHY} {BASRANI}")]


@case("clash", "clash")
def hypochlorite_after_chlorhexidine(log: Log) -> Said:
    one, two = _rinsed(log, "chlorhexidine_2", "hypochlorite_1")
    return [(1, (one, two), f"Sodium hypochlorite 1 % after Chlorhexidine 2 %: {WHY} {BASRANI}")]


@case("clash", "clash")
def edta_is_no_flush(log: Log) -> Said:
    one, _, three = _rinsed(log, "hypochlorite_3", "edta_17", "chlorhexidine_2")
    return [(1, (one, three), f"Chlorhexidine 2 % after Sodium hypochlorite 3 %: {WHY} {BASRANI}")]


@case("clash", "clash")
def saline_between(log: Log) -> Said:
    _rinsed(log, "hypochlorite_3", "saline", "chlorhexidine_2")
    return []


@case("clash", "clash")
def water_between(log: Log) -> Said:
    _rinsed(log, "chlorhexidine_2", "water", "hypochlorite_3")
    return []


@case("clash", "clash")
def alcohol_between_and_edta_after_it(log: Log) -> Said:
    _rinsed(log, "hypochlorite_3", "alcohol_70", "edta_17", "chlorhexidine_2")
    return []


@case("clash", "clash")
def a_flush_before_both_does_not_help(log: Log) -> Said:
    _, two, three = _rinsed(log, "saline", "hypochlorite_3", "chlorhexidine_2")
    return [(1, (two, three), f"Chlorhexidine 2 % after Sodium hypochlorite 3 %: {WHY} {BASRANI}")]


@case("clash", "clash")
def in_another_canal(log: Log) -> Said:
    opened(log).answer("irrigation", 1, solution="hypochlorite_3")
    log.answer("irrigation", 2, solution="chlorhexidine_2")
    return []


@case("clash", "clash")
def a_rinse_that_was_not_done(log: Log) -> Said:
    _rinsed(log, "hypochlorite_3", "--")
    return []


@case("clash", "clash")
def hypochlorite_and_edta_do_not_clash_here(log: Log) -> Said:
    _rinsed(log, "edta_17", "hypochlorite_3", "edta_17")
    return []


# dose: all agents together, each against the lowest of per kg and cap, and epinephrine; with the volume about to be
# given. Maxima: US label and handbook, FOUND; 0.2 and 0.04 mg of epinephrine, FOUND.

HANDBOOK = "US label and Handbook of Local Anesthesia, Table 4-4"
ARTICAINE_SAYS = f"{HANDBOOK}: 7 mg/kg, no cap listed (seen)."
LIDOCAINE_SAYS = f"{HANDBOOK}: 7 mg/kg, below 500 mg (seen as quoted)."
MEPIVACAINE_SAYS = "Handbook of Local Anesthesia, Table 4-4: 6.6 mg/kg, 400 mg (seen)."
LIDOCAINE, ARTICAINE = "lidocaine_2_epi_100", "articaine_4_epi_100"
ARTICAINE_NAME, LIDOCAINE_NAME = (f"{one} with epinephrine 1:100,000" for one in ("Articaine 4 %", "Lidocaine 2 %"))
BY_LOWEST = ("dose_over", 'method = "shares"', 'method = "lowest_maximum"')


def _given(log: Log, agent: str, *volumes: str, weight: str | None) -> list[int]:
    if weight is not None:
        log.answer("anaesthesia", row=0, weight=weight)
    return [log.answer("anaesthesia", row=row, agent=agent, volume=one) for row, one in enumerate(volumes, 1)]


@case("dose", "dose_over")
def seven_mg_per_kg_to_the_drop(log: Log) -> Said:
    _given(log, ARTICAINE, "10", "2.25", weight="70")
    return []


@case("dose", "dose_over")
def a_hundredth_more(log: Log) -> Said:
    _, seq = _given(log, ARTICAINE, "10", "2.26", weight="70")
    words = "would be 490.4 mg of 490, left 2.25 mL, 1 cartridge; all by shares 101 %"
    return [(0, (seq,), f"{ARTICAINE_NAME} {words}, epinephrine 122.6 of at most 200 µg. {ARTICAINE_SAYS}")]


@case("dose", "dose_over")
def epinephrine_is_the_limit(log: Log) -> Said:
    _, _, seq = _given(log, LIDOCAINE, "10", "10", "0.1", weight="100")
    words = "would be 402 mg of 500, left 0 mL, 0 cartridges; all by shares 101 %, epinephrine 201 of at most 200 µg"
    return [(0, (seq,), f"{LIDOCAINE_NAME} {words}. {LIDOCAINE_SAYS}")]


@case("dose", "dose_over", edits=((LIDOCAINE, "epinephrine_max_ug = 200\n", ""),))
def lidocaine_stays_below_its_cap(log: Log) -> Said:
    *_, seq = _given(log, LIDOCAINE, "10", "10", "4.5", "0.5", weight="100")
    words = "would be 500 mg of 500, left 0.49 mL, 0 cartridges; all by shares 100 %, epinephrine 250 µg"
    return [(0, (seq,), f"{LIDOCAINE_NAME} {words}. {LIDOCAINE_SAYS}")]


@case("dose", "dose_over")
def prilocaine_may_reach_its_cap(log: Log) -> Said:
    *_, seq = _given(log, "prilocaine_4", "10", "4", "1", "0.1", weight="100")
    words = "would be 604 mg of 600, left 0 mL, 0 cartridges; all by shares 101 %, epinephrine 0 µg"
    return [(0, (seq,), f"Prilocaine 4 %, plain {words}. {HANDBOOK}: 8 mg/kg, 600 mg (seen).")]


@case("dose", "dose_over")
def without_a_weight_the_cap_counts(log: Log) -> Said:
    *_, seq = _given(log, "bupivacaine_05_epi_200", "10", "8", "0.1", weight=None)
    words = "would be 90.5 mg of 90, left 0 mL, 0 cartridges; all by shares 101 %, epinephrine 90.5 of at most 200 µg"
    source = f"{HANDBOOK}: 90 mg, none listed per kg (seen)."
    return [(0, (seq,), f"Bupivacaine 0.5 % with epinephrine 1:200,000 {words}. {source}")]


@case("dose", "dose_over")
def without_weight_or_cap_epinephrine_is_left(log: Log) -> Said:
    *_, seq = _given(log, ARTICAINE, "10", "10", "0.1", weight="-/")
    words = "would be 804 mg of none known, left not known; all by shares unknown, epinephrine 201 of at most 200 µg"
    return [(0, (seq,), f"{ARTICAINE_NAME} {words}. {ARTICAINE_SAYS}")]


@case("dose", "dose_over")
def without_a_weight_it_is_at_least_that(log: Log) -> Said:
    """The cap alone was compared: the maximum per kg may be lower."""
    *_, seq = _given(log, "mepivacaine_3", "10", "4", weight="-/")
    words = "would be 420 mg of 400, left at most 3.33 mL, 1 cartridge; all by shares at least 105 %, epinephrine 0 µg"
    return [(0, (seq,), f"Mepivacaine 3 %, plain {words}. {MEPIVACAINE_SAYS}")]


@case("dose", "dose_over")
def another_agent_before_is_added(log: Log) -> Said:
    """480 of 490 mg of articaine; 54 mg of mepivacaine, of 400, are 14 % more."""
    _given(log, ARTICAINE, "10", "2", weight="70")
    seq = log.answer("anaesthesia", row=3, agent="mepivacaine_3", volume="1.8")
    words = "would be 54 mg of 400, left 0.27 mL, 0 cartridges; all by shares 112 %, epinephrine 120 of at most 200 µg"
    return [(0, (seq,), f"Mepivacaine 3 %, plain {words}. {MEPIVACAINE_SAYS}")]


@case("dose", "dose_over")
def two_agents_that_together_stay_within(log: Log) -> Said:
    """244.8 of 490 mg and 199.8 of 400 mg."""
    _given(log, ARTICAINE, "6.12", weight="70")
    log.answer("anaesthesia", row=2, agent="mepivacaine_3", volume="6.66")
    return []


@case("dose", "dose_over", edits=(BY_LOWEST,))
def by_the_lowest_maximum_all_of_it_counts(log: Log) -> Said:
    """The same 244.8 and 199.8 mg, together against mepivacaine's 400 mg."""
    _given(log, ARTICAINE, "6.12", weight="70")
    seq = log.answer("anaesthesia", row=2, agent="mepivacaine_3", volume="6.66")
    words = "would be 199.8 mg of 400, left 5.17 mL, 2 cartridges; all by the lowest maximum 112 %"
    return [(0, (seq,), f"Mepivacaine 3 %, plain {words}, epinephrine 61.2 of at most 200 µg. {MEPIVACAINE_SAYS}")]


@case("dose", "dose_over")
def a_dose_earlier_today_counts(log: Log) -> Said:
    log.answer("anaesthesia", row=0, weight="70")
    log.answer("anaesthesia", row=1, agent=ARTICAINE, volume="10", site="earlier")
    seq = log.answer("anaesthesia", row=2, agent=ARTICAINE, volume="2.26", site="buccal", aspiration="negative")
    words = "would be 490.4 mg of 490, left 2.25 mL, 1 cartridge; all by shares 101 %"
    return [(0, (seq,), f"{ARTICAINE_NAME} {words}, epinephrine 122.6 of at most 200 µg. {ARTICAINE_SAYS}")]


@case("dose", "dose_over")
def a_cardiac_patient_has_less_epinephrine(log: Log) -> Said:
    log.answer("anaesthesia", row=0, weight="70", epinephrine_limit="cardiac")
    log.answer("anaesthesia", row=1, agent=LIDOCAINE, volume="3.6")
    seq = log.answer("anaesthesia", row=2, agent=LIDOCAINE, volume="0.41")
    words = "would be 80.2 mg of 490, left 0.4 mL, 0 cartridges; all by shares 101 %, epinephrine 40.1 of at most 40 µg"
    return [(0, (seq,), f"{LIDOCAINE_NAME} {words}. {LIDOCAINE_SAYS}")]


@case("dose", "dose_over")
def a_plain_agent_is_not_asked_about_for_anothers_epinephrine(log: Log) -> Said:
    log.answer("anaesthesia", row=0, weight="70", epinephrine_limit="cardiac")
    seq = log.answer("anaesthesia", row=1, agent=LIDOCAINE, volume="5.4")
    log.answer("anaesthesia", row=2, agent="mepivacaine_3", volume="1.8")
    words = "would be 108 mg of 490, left 4 mL, 2 cartridges; all by shares 135 %, epinephrine 54 of at most 40 µg"
    return [(0, (seq,), f"{LIDOCAINE_NAME} {words}. {LIDOCAINE_SAYS}")]


@case("dose", "dose_over")
def the_usual_limit_for_any_other_patient(log: Log) -> Said:
    log.answer("anaesthesia", row=0, weight="70", epinephrine_limit="usual")
    log.answer("anaesthesia", row=1, agent=LIDOCAINE, volume="10")
    return []


@case("dose", "dose_over")
def a_volume_that_nobody_knows_makes_it_at_least(log: Log) -> Said:
    _given(log, ARTICAINE, "10", "--", weight="70")
    seq = log.answer("anaesthesia", row=3, agent=ARTICAINE, volume="2.26")
    words = "would be 490.4 mg of 490, left 2.25 mL, 1 cartridge; all by shares at least 101 %"
    return [(0, (seq,), f"{ARTICAINE_NAME} {words}, epinephrine 122.6 of at most 200 µg. {ARTICAINE_SAYS}")]


@case("dose", "dose_over")
def a_dose_said_late_is_in_the_sum_of_those_after_it(log: Log) -> Said:
    log.answer("anaesthesia", row=0, weight="70")
    log.wait(30)
    _, seq = _given(log, ARTICAINE, "6", "6", weight=None)
    log.answer("anaesthesia", row=3, ago=10, agent=ARTICAINE, volume="1")
    words = "would be 520 mg of 490, left 5.25 mL, 2 cartridges; all by shares 107 %, epinephrine 130 of at most 200 µg"
    return [(0, (seq,), f"{ARTICAINE_NAME} {words}. {ARTICAINE_SAYS}")]


@case("dose", "dose_over")
def a_volume_not_said(log: Log) -> Said:
    _given(log, ARTICAINE, "10", "10", "--", weight="200")
    return []


@case("dose", "dose_over")
def no_weight_of_nought_and_no_volume_below_it(log: Log) -> Said:
    """No keys make these, a damaged or foreign log may; the judgement does not break on it."""
    values = {"weight": Number(value=Decimal("0")), "volume": Number(value=Decimal("-1"))}
    log.log(entries.Answer, step="anaesthesia", canal=0, row=0, values={"weight": values["weight"]})
    log.answer("anaesthesia", row=1, agent=ARTICAINE, volume="10")
    log.answer("anaesthesia", row=2, agent=ARTICAINE)
    log.log(entries.Answer, step="anaesthesia", canal=0, row=2, values={"volume": values["volume"]})
    log.answer("anaesthesia", row=3, agent=ARTICAINE, volume="10")
    return []


# read_again: a larger file deeper than a smaller one of the same taper, by more than 0.5 mm.


def _gauged(log: Log, *files: str) -> list[int]:
    opened(log).answer("length", 1, working_length="20.5", reference="mesiobuccal_cusp")
    return [log.answer("gauging", 1, row, gauge=one, held="held") for row, one in enumerate(files, 1)]


@case("read_again", "gauge_again")
def half_a_millimetre_is_the_grain(log: Log) -> Said:
    _gauged(log, "30-0.5", "35-0")
    return []


@case("read_again", "gauge_again")
def the_larger_deeper(log: Log) -> Said:
    one, two = _gauged(log, "30-1", "35-0.25")
    return [(1, (one, two), "35/.02 (0.25 mm short) and 30/.02 (1 mm short) do not go together; worth reading again.")]


@case("read_again", "gauge_again")
def the_smaller_read_afterwards(log: Log) -> Said:
    one, two = _gauged(log, "35-0", "30-1")
    return [(1, (one, two), "30/.02 (1 mm short) and 35/.02 (0 mm short) do not go together; worth reading again.")]


@case("read_again", "gauge_again")
def the_smaller_deeper_is_as_it_should_be(log: Log) -> Said:
    _gauged(log, "30-0", "35-1.5", "40-3")
    return []


@case("read_again", "gauge_again")
def the_same_size_twice(log: Log) -> Said:
    _gauged(log, "30-0", "30-2")
    return []


@case("read_again", "gauge_again")
def a_reading_that_was_not_done(log: Log) -> Said:
    _gauged(log, "30-2", "--", "25-1.5")
    return []


@case("read_again", "gauge_again")
def another_taper(log: Log) -> Said:
    _gauged(log, "30/2-2", "35/4-0")
    return []


@case("read_again", "gauge_again")
def before_the_length_was_measured_anew(log: Log) -> Said:
    _gauged(log, "30-2")
    log.answer("length", 1, 2, working_length="19.5", reference="mesiobuccal_cusp")
    log.answer("gauging", 1, 2, gauge="35-0", held="held")
    return []


# uses: the stock entry allows 4 canals.


def _used(log: Log, file: str, canals: int) -> list[int]:
    opened(log, "mb+mb2+db+p+mm")
    return [log.answer("shaping", canal, file=file, purpose="cut") for canal in range(1, canals + 1)]


@case("uses", "shaping_uses", tooth="16")
def in_four_canals(log: Log) -> Said:
    _used(log, "0/64-0", 4)
    log.answer("shaping", 4, 2, file="0/64-0", purpose="cut")
    return []


@case("uses", "shaping_uses", tooth="16")
def in_the_fifth(log: Log) -> Said:
    *_, seq = _used(log, "0/64-0", 5)
    label = "Nickel-titanium rotary file 35/.04"
    return [(5, (seq,), f"{label} was used in 5 canals; the stock entry says 4.")]


@case("uses", "shaping_uses", tooth="16")
def another_file_in_the_fifth(log: Log) -> Said:
    _used(log, "0/64-0", 4)
    log.answer("shaping", 5, file="0/63-0", purpose="cut")
    return []


@case("uses", "shaping_uses", tooth="16")
def of_no_stock_number_nothing_is_known(log: Log) -> Said:
    _used(log, "35/4-0", 5)
    return []


@case("uses", "shaping_uses", tooth="16")
def stock_without_a_limit(log: Log) -> Said:
    _used(log, "0/52-0", 5)
    return []


# not_set_up: the sealer's lot.


@case("not_set_up", "sealer_lot_unknown")
def the_lot_that_was_set_up(log: Log) -> Said:
    opened(log).answer("set_up", 0, 1, item="resin_sealer", expiry="12.2027", lot="8812")
    log.answer("sealing", 1, sealer_lot="8812")
    return []


@case("not_set_up", "sealer_lot_unknown")
def a_lot_that_nobody_set_up(log: Log) -> Said:
    opened(log).answer("set_up", 0, 1, item="resin_sealer", expiry="12.2027", lot="8812")
    seq = log.answer("sealing", 1, sealer_lot="9999")
    return [(1, (seq,), "Sealer lot 9999 is none of the lots that were set up today.")]


@case("not_set_up", "sealer_lot_unknown")
def a_lot_not_measured_is_no_other_lot(log: Log) -> Said:
    opened(log).answer("sealing", 1, sealer_lot="-/")
    return []
