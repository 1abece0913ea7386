"""The steps in the protocol's sentences, and how each canal ended."""

from __future__ import annotations

from stepper.facts.state import LAST
from stepper.note.words import clock
from stepper.protocol.load import load_text
from tests.cases import Log, examined, opened, shaped
from tests.note.reading import filled, section, single, the, titles
from tests.protocol.scraps import whole


def test_sections_stand_in_the_order_of_the_protocol() -> None:
    log, _ = filled()
    steps = [step.title for step in log.plan.step]
    told = [title for title in titles(log) if title in steps]
    assert told == [title for title in steps if title in told]
    assert len(told) == 14


def test_a_sentence_is_written_with_the_words_of_the_answers_and_their_entries() -> None:
    log = shaped(opened(examined(single()), "b"))
    cut = next(one.seq for one in log.entries if getattr(one, "step", "") == "shaping" and getattr(one, "row", 0) == 2)
    sentence = the(log, "35/.04 at length")
    assert sentence.text == "B: 35/.04 at length, cut."
    assert sentence.entries == (cut,)
    assert the(log, "agreed working length").text == "B: agreed working length 20.5 mm from the mesiobuccal cusp."


def test_a_sentence_from_two_entries_knows_both() -> None:
    log = opened(single(), "b")
    one = log.answer("length", 1, working_length="21")
    two = log.answer("length", 1, reference="incisal_edge")
    assert the(log, "agreed working length").entries == (one, two)


def test_canals_are_grouped_however_they_interleave() -> None:
    log = opened(Log(), "mb+ml")
    log.answer("shaping", 2, 1, file="25/4-0", purpose="cut")
    log.answer("shaping", 1, 1, file="30/4-0", purpose="cut")
    log.answer("shaping", 2, 2, file="35/4-0", purpose="cut")
    assert section(log, "Shaping") == [
        "MB: 30/.04 at length, cut.",
        "ML: 25/.04 at length, cut.",
        "ML: 35/.04 at length, cut.",
    ]


def test_one_absence_is_said_in_words_beside_real_facts() -> None:
    log = opened(single(), "b")
    log.answer("length", 1, electronic="20.5", image_length="-/")
    assert section(log, "Working length") == ["B: electronic length 20.5 mm, length by image with a file not measured."]


def test_a_sentence_of_absences_only_is_left_to_what_is_not_recorded() -> None:
    log = opened(single(), "b")
    log.answer("length", 1, row=0, estimate="-/")
    assert section(log, "Working length") == []
    assert the(log, "not measured: Estimated length").entries == (3 - 1,)


def test_a_fact_whose_sentence_lacks_its_other_facts_is_told_all_the_same() -> None:
    log = single()
    seq = log.answer("diagnosis", cold="lingering", percussion="--", palpation="--")
    sentence = the(log, "Cold test, this tooth: pain that lingers")
    assert sentence.entries == (seq,)
    assert "Not done: Percussion; Palpation." in " ".join(section(log, "Not recorded"))


def test_a_condition_keeps_a_sentence_out_and_nothing_else_tells_it() -> None:
    log = opened(single(), "b")
    log.answer("dressing", 1, material="calcium_hydroxide", pellet="cotton", earlier="none")
    assert section(log, "Dressing") == ["B: dressed with calcium hydroxide paste; pellet, cotton pellet."]
    log.answer("gauging", 1, gauge="30-0", held="held")
    assert section(log, "Apical gauging") == ["B: gauging file 30/.02 at length, held there."]


def test_a_row_given_up_is_no_fact_but_is_told_as_held_back() -> None:
    log = single()
    item = log.answer("set_up", item="resin_sealer")
    held = log.hold("set_up", expiry="11.2020", remarks={"expired:0:2": "It expired 2020-11."}, drops=True)
    assert section(log, "Set-up") == []
    sentence = the(log, "Epoxy resin sealer")
    assert sentence.entries == (item, held)
    assert "not done and given up, held back at 09:00, keyed by Assistant 1. It expired 2020-11." in sentence.text


def test_a_sentence_of_the_tooth_names_the_tooth_where_it_names_a_canal() -> None:
    plan = load_text(
        whole().replace('text = "Restorable: {restorable}."', 'text = "{canal}: restorable, {restorable}."'), "x"
    )
    log = Log(tooth="11", plan=plan)
    log.answer("diagnosis", restorable="yes")
    assert section(log, "Diagnosis") == ["Tooth 11: restorable, yes."]


def test_a_sentence_with_a_condition_knows_the_entry_of_its_condition() -> None:
    log = opened(single(), "b")
    one = log.answer("gauging", 1, gauge="30-0")
    two = log.answer("gauging", 1, held="held")
    assert the(log, "held there").entries == (one, two)


def test_what_closed_a_step_and_was_followed_by_more_stands_before_it() -> None:
    log = opened(single(), "b")
    log.answer("shaping", 1, 1, file="30/4-0", purpose="cut")
    log.answer("shaping", 1, LAST, master="30/4")
    log.answer("shaping", 1, 2, file="35/4-0", purpose="cut")
    log.answer("shaping", 1, LAST + 1, master="35/4")
    assert section(log, "Shaping") == [
        "B: 30/.04 at length, cut.",
        "B: master apical file 30/.04.",
        "B: 35/.04 at length, cut.",
        "B: master apical file 35/.04.",
    ]


def test_what_was_keyed_late_stands_where_it_is_said_to_have_happened() -> None:
    log = opened(single(), "b")
    log.answer("shaping", 1, 1, file="25/4-0", purpose="cut")
    log.wait(5)
    log.answer("shaping", 1, 2, file="35/4-0", purpose="cut")
    log.answer("shaping", 1, 3, ago=3, file="30/4-0", purpose="cut")
    assert [one[:9] for one in section(log, "Shaping")] == ["B: 25/.04", "B: 30/.04", "B: 35/.04"]


def test_what_was_measured_anew_says_when_and_waits_for_nobody() -> None:
    log = opened(single(), "b")
    one = log.answer("length", 1, working_length="21", reference="buccal_cusp")
    log.wait(7)
    anew = log.correct(one, anew=True, working_length="20.5")
    when = clock(log.entries[anew])
    sentence = the(log, "agreed working length")
    assert sentence.text == f"B: agreed working length 20.5 mm from the buccal cusp (measured anew at {when})."
    assert sentence.entries == (one, anew)


def test_a_gauge_that_nothing_held_is_said_not_to_have_been() -> None:
    log = opened(single(), "b")
    log.answer("gauging", 1, gauge="30-0", held="loose")
    assert section(log, "Apical gauging") == ["B: gauging file 30/.02 at length, not held there."]
