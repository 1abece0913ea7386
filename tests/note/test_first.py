"""What opens a note."""

from __future__ import annotations

from stepper.case.gate import shut
from stepper.case.judge import judge
from stepper.note.shape import OUTSIDE
from tests.cases import Log, examined, fill, fitted, opened, shaped
from tests.note.reading import filled, note, section, single, the, titles, words


def test_a_plain_visit_opens_with_nothing_to_be_read_first() -> None:
    log, _ = filled()
    assert titles(log)[0] == "Diagnosis"


def test_a_fill_outside_the_chain_opens_the_note_and_is_marked_everywhere() -> None:
    log = opened(examined(single()), "b")
    seq = fill(log, outside=True)
    assert titles(log)[0] == "To be read first"
    (first,) = [one for one in note(log).sections[0].sentences if one.mark == OUTSIDE]
    assert first.text.startswith("B was filled although its gate was not open.")
    assert first.entries == (seq,)
    assert any(one.startswith("OUTSIDE THE CHAIN: B: filled") for one in section(log, "Sealing"))
    assert words(log, "Canals")[0][1] == "OUTSIDE THE CHAIN: filled"


def test_a_fill_with_a_shut_gate_is_outside_the_chain_even_if_nobody_said_so() -> None:
    log = opened(examined(single()), "b")
    fill(log)
    assert any("although its gate was not open" in one for one in section(log, "To be read first"))


def test_facts_outside_the_chain_open_the_note_once() -> None:
    log = opened(examined(single()), "b")
    seq = log.answer("irrigation", 1, solution="saline", volume="3", outside=True)
    first = [one for one in note(log).sections[0].sentences if one.mark == OUTSIDE]
    assert [(one.text, one.entries) for one in first] == [("Irrigation B: solution Saline 0.9 %, volume 3 mL.", (seq,))]


def test_a_stop_that_stands_opens_the_note_with_its_evidence() -> None:
    log = fitted(shaped(opened(examined(single()), "b")))
    cone = log.answer("cone_fit", 1, 2, cone="40/4")
    stop = the(log, "Cone 40/.04 does not go with master apical file 35/.04")
    assert stop.mark == "STOP"
    assert cone in stop.entries
    assert stop.text.startswith("Cone fit B: Cone")


def test_a_stop_about_a_fact_outside_the_chain_stands() -> None:
    log = opened(Log(tooth="11"), "b")
    seq = log.answer("irrigation", 1, solution="hypochlorite_3", outside=True)
    stop = the(log, "is about to be used and the dam is not on", "To be read first")
    assert (stop.mark, stop.entries) == ("STOP", (seq,))


def test_a_stop_does_not_name_its_canal_twice() -> None:
    log = opened(Log(), "mb")
    log.answer("closing", counted="yes")
    assert "STOP: Closing: MB: nobody has said how it ended." in section(log, "To be read first")


def test_an_entry_corrected_after_the_fill_opens_the_note_where_the_gate_was_shut() -> None:
    log, act = filled()
    cut = next(one.seq for one in log.entries if getattr(one, "step", "") == "shaping" and getattr(one, "row", 0) == 1)
    seq = log.correct(cut, file="40/4-0")
    stop = the(log, f"Entry {cut} was corrected after B was filled.")
    assert stop.mark == "STOP"
    assert "40/.04 was cut to length and is wider than 35/.04" in stop.text
    assert stop.entries == (act, seq)
    assert words(log, "Canals")[0][1] == "filled"


def test_a_harmless_correction_after_the_fill_is_no_stop() -> None:
    log, _ = filled()
    rinse = next(one.seq for one in log.entries if getattr(one, "step", "") == "irrigation")
    log.correct(rinse, volume="4")
    log.confirm(len(log.entries) - 1)
    found = the(log, "was corrected after B was filled")
    assert found.mark == ""
    assert found.text.endswith("Its gate would have been open all the same.")


def test_what_happens_after_the_fill_is_no_correction_of_it() -> None:
    log, _ = filled()
    log.answer("isolation", row=2, dam="off")
    log.answer("coronal_seal", material="temporary_cement", thickness="2")
    assert "clear" in shut(log.case(), 1)
    assert section(log, "To be read first") == []


def test_a_cut_said_after_the_fill_to_have_come_before_it_opens_the_note() -> None:
    log, _ = filled()
    seq = log.answer("shaping", 1, 3, ago=2, file="40/4-0", purpose="cut")
    stop = the(log, f"Entry {seq}, keyed after B was filled, is said to have happened before.")
    assert stop.mark == "STOP"
    assert "wider than 35/.04" in stop.text


def test_a_reason_given_after_the_fill_opens_no_gate_that_was_shut_then() -> None:
    log, act = filled()
    consent = next(one.seq for one in log.entries if "consent" in getattr(one, "values", {}))
    seq = log.correct(consent, consent="not_yet")
    shut_then = the(log, f"Entry {consent} was corrected after B was filled.")
    assert shut_then.mark == "STOP"
    assert shut_then.text.endswith("its gate was shut: unanswered: The patient has not yet consented. It stays filled.")
    (ask,) = [one.remark for one in judge(log.case()) if one.remark.rule == "no_consent"]
    reason = log.depart(ask.key)
    found = the(log, f"Entry {consent} was corrected after B was filled.")
    assert found.mark == "STOP"
    assert found.text == f"{shut_then.text} Reasons were given only after the fill: entry {reason}."
    assert found.entries == (act, seq, reason)
