"""What departs from the plain way: reasons, acts held back, incidents, corrections, late entries, what is owed."""

from __future__ import annotations

from stepper.facts.remarks import Weight
from stepper.facts.signature import Signature
from stepper.note.words import clock
from tests.cases import Log, examined, fill, fitted, opened, ready, shaped
from tests.note.reading import filled, keys, section, single, the


def test_a_departure_names_the_remark_the_reason_and_both_people() -> None:
    log = opened(examined(Log()), "mb")
    remark = keys(log)["fewer_canals"]
    seq = log.depart(remark, "The clinician judges it acceptable.")
    sentence = the(log, "Canals found: 1. Usual for tooth 46: 3.")
    assert "Reason: The clinician judges it acceptable. Said by Clinician 1, keyed by Assistant 1 at" in sentence.text
    assert sentence.text.endswith("to be confirmed by the clinician at signing.")
    assert seq in sentence.entries
    assert len(sentence.entries) == 2
    assert section(log, "Asked and not answered") == []


def test_a_departure_is_confirmed_by_the_signature_after_it_and_by_none_before() -> None:
    log = Log()
    signed = {"name": "Clinician 1", "initials": "C1", "meaning": "read", "at": "", "key": "k", "head": "", "sig": ""}
    seq = log.depart("needle_near:1:7", "Other")
    signature = log.log(Signature, person=1, entries=log.entries[-1].seq, **signed)
    log.depart("needle_near:1:8", "Another reason")
    confirmed, later = the(log, "Reason: Other."), the(log, "Reason: Another reason.", "Departures")
    assert confirmed.text.endswith("confirmed by the signature of Clinician 1.")
    assert confirmed.entries == (seq, signature)
    assert later.text.endswith("to be confirmed by the clinician at signing.")


def test_a_departure_whose_remark_is_gone_is_told_as_it_was_read_out() -> None:
    log = Log()
    log.depart("needle_near:1:7", "Other")
    log.depart("needle_near:1:8", "Other", text="Needle 1 mm short.")
    named, read_out = section(log, "Departures")
    assert named.startswith("needle near. (It no longer stands.) Reason: Other. Said by")
    assert read_out.startswith("Needle 1 mm short. (It no longer stands.) Reason: Other. Said by")


def test_an_ask_that_nobody_answered_and_one_that_is_owed_are_told_apart() -> None:
    log = opened(examined(Log()), "mb")
    assert section(log, "Asked and not answered")[0].startswith("Access: Canals found: 1.")
    seq = log.owe(keys(log)["fewer_canals"])
    assert section(log, "Asked and not answered") == []
    sentence = the(log, "Reason owed since")
    assert seq in sentence.entries
    assert section(log, "Owed") == [sentence.text]


def test_owed_facts_and_steps_are_listed() -> None:
    log = single()
    fact = log.answer("diagnosis", consent="-.")
    step = log.declare("coronal_seal", how="owed")
    assert the(log, "Diagnosis: Options and risks explained, consent.").entries == (fact,)
    assert the(log, "Coronal seal: the whole step").entries == (step,)
    assert section(log, "Owed") == [
        "Diagnosis: Options and risks explained, consent.",
        "Coronal seal: the whole step, since 09:00.",
    ]


def test_what_a_rule_only_tells_is_in_the_note() -> None:
    log = opened(examined(single()), "b")
    log.answer("length", 1, working_length="33")
    assert any("usually 23.5 mm overall" in one for one in section(log, "Also noticed"))


def test_a_held_act_says_what_it_was_and_why() -> None:
    log = fitted(shaped(opened(examined(single()), "b")))
    cone = log.answer("cone_fit", 1, 2, cone="40/4")
    stop = keys(log, Weight.STOP)["cone"]
    seq = log.hold("cone_fit", 1, 2, cone="40/4", remarks={stop: ""})
    sentence = the(log, "not done, held back at")
    assert sentence.text.startswith("Cone fit B, 40/.04: not done")
    assert sentence.text.endswith("Do not hand it over.")
    assert {seq, cone} <= set(sentence.entries)


def test_incidents_are_told_with_and_without_their_name() -> None:
    log = opened(Log(), "mb")
    one = log.incident("shaping", 1, "separated_file")
    two = log.incident("shaping", 1)
    assert the(log, "Shaping MB: Separated file.", "Incidents").entries == (one, one + 1)
    assert the(log, "what it was is not recorded", "Incidents").entries == (two,)


def test_a_fact_keyed_wrong_is_written_as_corrected_and_the_correction_is_listed() -> None:
    log = opened(Log(), "mb")
    cut = log.answer("shaping", 1, file="35/4-0", purpose="cut")
    seq = log.correct(cut, file="30/4-0")
    assert section(log, "Shaping") == [
        f"MB: 30/.04 at length, cut (corrected at {clock(log.entries[seq])}, waits for the clinician's yes)."
    ]
    assert seq in the(log, "MB: 30/.04 at length").entries
    listed = the(log, f"Entry {cut} (Shaping MB")
    assert "was keyed wrong: File and depth, was 35/.04 at length, is 30/.04 at length." in listed.text
    assert listed.text.endswith("waits for the clinician's yes.")
    yes = log.confirm(seq)
    listed = the(log, f"Entry {cut} (Shaping MB")
    assert listed.text.endswith(f"confirmed by Clinician 1 at {clock(log.entries[yes])}, keyed by Assistant 1.")
    assert section(log, "Shaping") == [f"MB: 30/.04 at length, cut (corrected at {clock(log.entries[seq])})."]
    assert listed.entries == (cut, seq, yes)


def test_a_second_correction_says_what_the_first_one_left() -> None:
    log = opened(Log(), "mb")
    cut = log.answer("shaping", 1, file="35/4-0", purpose="cut")
    once = log.correct(cut, file="30/4-0")
    log.correct(once, file="25/4-0")
    assert "was 30/.04 at length, is 25/.04 at length" in the(log, f"Entry {once} (Shaping MB").text


def test_a_length_measured_anew_says_both_lengths_and_needs_no_yes() -> None:
    log = opened(Log(), "mb")
    seq = log.answer("length", 1, working_length="20.5", reference="mesiobuccal_cusp")
    log.correct(seq, anew=True, working_length="20")
    listed = the(log, f"Entry {seq} (Working length MB")
    assert "was measured anew: Working length agreed, was 20.5 mm, is 20 mm. Keyed at" in listed.text
    assert "yes" not in listed.text
    assert the(log, "agreed working length 20 mm from")


def test_a_blind_question_answered_again_shows_both_answers() -> None:
    log = single()
    one = log.answer("time_out", patient_number="4711", tooth_on_image="21")
    two = log.answer("time_out", tooth_on_image="11")
    sentence = the(log, "answered again")
    assert "was 21, is 11" in sentence.text
    assert sentence.entries == (one, two)


def test_a_late_fact_says_when_it_was_keyed_and_waits_for_the_yes() -> None:
    log = shaped(opened(examined(single()), "b"))
    seq = log.answer("shaping", 1, 3, ago=1, file="30/4-0", purpose="cut")
    minute = clock(log.entries[seq])
    told = the(log, "30/.04 at length, cut (keyed")
    assert told.text.endswith(f"(keyed at {minute}, said to have happened 1 min before).")
    assert the(log, f"Entry {seq} (Shaping B)").text.endswith("waits for the clinician's yes.")
    yes = log.confirm(seq)
    assert the(log, f"Entry {seq} (Shaping B)").entries == (seq, yes)


def test_a_corrected_late_fact_still_says_when_it_was_keyed() -> None:
    log = shaped(opened(examined(single()), "b"))
    seq = log.answer("shaping", 1, 3, ago=1, file="30/4-0", purpose="cut")
    mended = log.correct(seq, file="20/4-0", purpose="cut")
    told = the(log, "B: 20/.04 at length, cut (keyed")
    assert "said to have happened 1 min before; corrected at" in told.text
    assert told.entries == (seq, mended), "how long before is said by the entry that was corrected"


def test_a_fill_that_was_held_back_is_missed_and_its_sealer_is_not_called_used() -> None:
    log = ready(single(), canals="b")
    log.answer("sealing", 1, sealer_lot="7003")
    log.hold("sealing", 1, fill="filled", remarks={"gate:1:9": ""})
    assert section(log, "Sealing") == ["B: Lot of the sealer in hand: 7003."]
    assert "used" not in " ".join(section(log, "Materials and lots"))
    assert [one for one in section(log, "Not recorded") if one.startswith("Sealing B, not recorded: Fill this canal;")]


def test_facts_outside_the_chain_have_a_section_that_says_when_by_whom_and_against_what() -> None:
    log = opened(Log(tooth="11"), "b")
    seq = log.answer("irrigation", 1, solution="hypochlorite_3", volume="3", outside=True)
    assert section(log, "Outside the chain") == [
        "Irrigation B: solution Sodium hypochlorite 3 %, volume 3 mL. Keyed at 09:00 by Assistant 1. "
        "Sodium hypochlorite 3 % is about to be used and the dam is not on. Hold it."
    ]
    assert the(log, "Keyed at", "Outside the chain").entries == (seq,)


def test_a_fill_through_a_shut_gate_says_why_the_gate_was_shut_then() -> None:
    log = opened(examined(single()), "b")
    log.wait(1)
    seq = fill(log)
    log.wait(1)
    log.answer("sealing", 1, method="as_planned")
    told = the(log, "Sealing B: sealer lot 7003, fill filled", "Outside the chain")
    assert f"Keyed at {clock(log.entries[seq])} by" in told.text
    assert "Its gate was shut:" in told.text
    assert "no working length" in told.text
    assert seq in told.entries
    shaped(log)
    log.confirm(*log.case().unconfirmed)
    assert "no working length" in the(log, "Sealing B:", "Outside the chain").text, "what came later changes nothing"


def test_a_late_word_about_a_fact_outside_the_chain_keeps_the_time_it_was_keyed() -> None:
    log = opened(Log(tooth="11"), "b")
    seq = log.answer("irrigation", 1, solution="hypochlorite_3", outside=True)
    log.wait(5)
    log.answer("irrigation", 1, volume="3")
    assert f"Keyed at {clock(log.entries[seq])}" in section(log, "Outside the chain")[0]


def test_a_fact_outside_the_chain_keeps_its_own_time_when_the_canal_is_filled_later() -> None:
    log = opened(Log(tooth="11"), "b")
    log.wait(3)
    rinse = log.answer("irrigation", 1, solution="hypochlorite_3", outside=True)
    mended = log.correct(rinse, solution="edta_17")
    log.wait(9)
    fill(log)
    (told,) = (one for one in section(log, "Outside the chain") if one.startswith("Irrigation"))
    assert f"Keyed at {clock(log.entries[rinse])} by" in told
    assert {rinse, mended} <= set(the(log, "Irrigation B: EDTA", "Outside the chain").entries)


def test_a_plain_visit_has_no_facts_outside_the_chain() -> None:
    assert section(filled()[0], "Outside the chain") == []
