"""What the protocol asks for and nobody recorded."""

from __future__ import annotations

from stepper.facts.state import LAST
from tests.cases import Log, examined, fill, fitted, opened, ready, shaped
from tests.note.reading import section, single, the


def test_steps_never_begun_stand_in_one_line() -> None:
    lines = section(opened(examined(single()), "b"), "Not recorded")
    assert len(lines) == 1
    assert lines[0].startswith("Nothing was recorded of: Working length (B), Coronal flare (B)")
    assert lines[0].endswith("Coronal seal, Closing.")


def test_a_step_that_was_begun_lists_what_it_lacks_line_by_line() -> None:
    log = opened(Log(), "mb")
    seq = log.answer("irrigation", 1, 1, solution="saline", volume="-/")
    log.answer("irrigation", 1, 2, solution="saline", volume="3", needle_depth="-2", needle="needle_30_side")
    sentence = the(log, "Irrigation MB (line 1)")
    assert sentence.text == (
        "Irrigation MB (line 1), not measured: Volume. Not recorded: Needle, short of length; Needle."
    )
    assert sentence.entries == (seq,)
    assert not [one for one in section(log, "Not recorded") if " 2" in one], "what may be left out is not missed"


def test_what_a_step_asks_before_and_after_its_lines_is_missed_too() -> None:
    log = single()
    log.answer("anaesthesia", agent="mepivacaine_3", volume="1.8", site="buccal", aspiration="negative")
    assert "Anaesthesia, not recorded: Weight of the patient." in section(log, "Not recorded")
    assert "Anaesthesia, not recorded: Effect tested." in section(log, "Not recorded")
    log.answer("anaesthesia", row=LAST, effect="numb")
    assert "Anaesthesia, not recorded: Effect tested." not in section(log, "Not recorded")


def test_what_need_not_be_asked_is_not_missed() -> None:
    log = single()
    log.answer("isolation", dam="off")
    assert not [one for one in section(log, "Not recorded") if one.startswith("Isolation")]
    log = ready(single(), canals="b")
    fill(log)
    assert "Dressing" not in " ".join(section(log, "Not recorded"))


def test_of_a_canal_not_treated_no_step_is_missed() -> None:
    log = opened(Log(), "mb+ml")
    log.answer("closing", 2, outcome="not_treated")
    never = section(log, "Not recorded")[-1]
    assert "Shaping (MB)" in never
    assert "ML" not in never


def test_a_step_declared_not_done_is_said_to_be() -> None:
    log = single()
    seq = log.declare("isolation", how="not_done")
    assert the(log, "Isolation: declared not done at 09:00.").entries == (seq,)


def test_what_several_canals_lack_is_said_once_with_their_lines() -> None:
    log = opened(Log(), "mb+ml+d")
    one = log.answer("irrigation", 1, 1, solution="saline", volume="-/")
    two = log.answer("irrigation", 3, 1, solution="saline", volume="-/")
    three = log.answer("irrigation", 3, 2, solution="saline", volume="-/")
    log.answer("irrigation", 2, 1, solution="saline", volume="3", needle_depth="-2", needle="needle_30_side")
    sentence = the(log, "Irrigation MB (line 1), D (lines 1, 2), not measured: Volume.")
    assert sentence.entries == (one, two, three)
    assert not [line for line in section(log, "Not recorded") if line.startswith("Irrigation ML")]


def test_steps_declared_not_done_in_the_same_minute_are_said_together() -> None:
    log = opened(Log(step_s=0), "mb+ml")
    one, two = log.declare("drying", 1, "not_done"), log.declare("drying", 2, "not_done")
    assert the(log, "Drying MB, ML: declared not done at 09:00.").entries == (one, two)


def test_steps_never_begun_in_any_canal_name_all_canals_at_once() -> None:
    log = opened(examined(Log()), "mb+ml+d")
    log.answer("drying", 2, point_depth="0", dryness="dry")
    never = section(log, "Not recorded")[-1]
    assert "Working length (all canals)" in never
    assert "Drying (MB, D)" in never


def test_a_cone_that_was_held_back_lacks_nothing_and_is_not_told_as_tried() -> None:
    log = fitted(shaped(opened(examined(single()), "b")))
    log.answer("cone_fit", 1, 2, cone="40/4")
    assert "Cone fit B (line 2), not recorded" in " ".join(section(log, "Not recorded"))
    log.hold("cone_fit", 1, 2, cone="40/4", remarks={"cone:1:9": ""})
    assert not [one for one in section(log, "Not recorded") if one.startswith("Cone fit")]
    assert "B: Cone, size and taper: 40/.04 (held back, not done)." in section(log, "Cone fit")


def test_what_was_held_back_and_then_done_in_its_row_is_told_as_done() -> None:
    log = ready(single(), canals="b")
    log.hold("cone_fit", 1, 2, cone="40/4", remarks={"cone:1:9": ""})
    log.answer("cone_fit", 1, 2, cone="30/4")
    assert "B: Cone, size and taper: 30/.04." in section(log, "Cone fit")
    assert "Cone fit B (line 2), not recorded" in " ".join(section(log, "Not recorded"))
    log.hold("sealing", 1, 1, fill="filled", remarks={"gate:1:9": ""})
    log.answer("sealing", 1, sealer_lot="7003")
    assert not [one for one in section(log, "Sealing") if "held back" in one]


def test_a_dressing_and_a_fill_are_not_missed_in_a_canal_that_joins_another() -> None:
    log = opened(examined(Log()), "mb+ml")
    log.join(2, 1, "17")
    never = section(log, "Not recorded")[-1]
    assert "Sealing (MB)" in never
    assert "Dressing (MB)" in never
    assert "Cone fit (all canals)" in never


def test_one_owed_question_of_several_lines_is_named_once() -> None:
    log = opened(Log(), "mb")
    for row in (1, 2):
        log.answer("irrigation", 1, row, solution="saline", volume="-.")
    assert section(log, "Owed") == ["Irrigation MB: Volume."]
