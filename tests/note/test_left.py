"""What the protocol asks for and nobody recorded."""

from __future__ import annotations

from stepper.facts.state import LAST
from tests.cases import Log, examined, fill, opened, ready
from tests.note.reading import section, single, the


def test_steps_never_begun_stand_in_one_line() -> None:
    lines = section(opened(examined(single()), "b"), "Not recorded")
    assert len(lines) == 1
    assert lines[0].startswith("Never begun: Working length (B), Coronal flare (B)")
    assert lines[0].endswith("Coronal seal, Closing.")


def test_a_step_that_was_begun_lists_what_it_lacks_line_by_line() -> None:
    log = opened(Log(), "mb")
    seq = log.answer("irrigation", 1, 1, solution="saline", volume="-/")
    log.answer("irrigation", 1, 2, solution="saline", volume="3", needle_depth="-2", needle="needle_30_side")
    sentence = the(log, "Irrigation MB, line 1")
    assert sentence.text == (
        "Irrigation MB, line 1, not measured: Volume; not recorded: Needle, short of length, Needle."
    )
    assert sentence.entries == (seq,)
    assert not [one for one in section(log, "Not recorded") if "line 2" in one], "what may be left out is not missed"


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
