"""What stands at the head and at the foot of a note."""

from __future__ import annotations

from stepper.facts.entries import Previous, Resume
from stepper.note.head import CAUTION, UNSIGNED
from stepper.note.words import clock
from tests.cases import Log
from tests.note.reading import filled, note, section, the


def test_the_head_says_whose_tooth_when_and_by_whom() -> None:
    log = Log(settings='heading = "Invented Practice"')
    log.relieve(3)
    closed = log.close()
    heads = {one.text: one.entries for one in note(log).heads}
    assert heads["Invented Practice"] == (0,)
    assert heads["Patient number 4711."] == (0,)
    assert heads["Tooth 46 (FDI), lower right first molar."] == (0,)
    assert heads["Opened 2026-03-02 09:00 +01:00; closed 2026-03-02 09:00 +01:00."] == (0, closed)
    assert heads["Clinician: Clinician 1."] == (0,)
    assert heads["Assistants at the keyboard: Assistant 1, Assistant 2."] == (0, 1)
    assert heads["Protocol: Root canal treatment in one visit (one_visit)."] == (0,)


def test_times_are_local_to_the_offset_they_were_keyed_under() -> None:
    assert any("2026-03-02 02:30 -05:30; not closed" in one.text for one in note(Log(off="-05:30")).heads)


def test_only_a_practice_session_says_that_it_is_one() -> None:
    assert [one.entries for one in note(Log(practice=True)).heads if one.mark == "PRACTICE"] == [(0,)]
    assert not [one for one in note(Log()).heads if one.mark == "PRACTICE"]


def test_a_void_visit_says_so_at_its_head() -> None:
    log = Log()
    seq = log.void("The wrong patient was opened")
    found = [one for one in note(log).heads if one.mark == "VISIT VOID"]
    assert [one.entries for one in found] == [(seq,)]
    assert "The wrong patient was opened." in found[0].text


def test_a_second_visit_names_the_first() -> None:
    log = Log(previous=Previous(sid="first-visit", head="ab" * 32))
    assert the(log, "Goes on from session first-visit").text.endswith(f"{'ab' * 32}.")


def test_a_corrected_header_is_shown_as_corrected_and_as_unconfirmed_until_the_yes() -> None:
    log = Log()
    seq = log.correct(0, patient="4712")
    assert the(log, "Patient number 4712").text.endswith("(corrected; the clinician has not confirmed it).")
    assert the(log, "Patient number 4712").entries == (0, seq)
    yes = log.confirm(seq)
    assert the(log, "Patient number 4712 (corrected).")
    correction = the(log, "Entry 0 (header")
    assert "patient, was 4711, is 4712" in correction.text
    assert correction.entries == (0, seq, yes)


def test_settings_that_are_no_toml_leave_the_heading_out() -> None:
    assert note(Log(settings="= broken")).heads[0].text == "Patient number 4711."


def test_times_say_between_when_each_step_was_keyed() -> None:
    log = Log()
    one = log.answer("isolation", dam="on")
    log.wait(12)
    two = log.answer("isolation", tight="yes", clamped="46", through="1")
    assert the(log, "Isolation: keyed 09:00 to 09:12.").entries == (one, two)


def test_a_step_gone_back_to_has_a_time_for_each_going() -> None:
    log = Log()
    on = log.answer("isolation", dam="on")
    log.wait(5)
    log.answer("access", tooth_opened="46")
    log.wait(5)
    off = log.answer("isolation", row=2, dam="off")
    log.wait(2)
    again = log.answer("isolation", row=3, dam="on")
    log.answer("access", pulp_seen="bleeding")
    log.wait(5)
    last = log.answer("isolation", row=4, dam="off")
    one, two, three, four = (clock(log.entries[seq]) for seq in (on, off, again, last))
    sentence = the(log, "Isolation: keyed")
    assert sentence.text == f"Isolation: keyed {one}, {two} to {three} and {four}."
    assert sentence.entries == (on, off, again, last)
    assert len({one, two, three, four}) == 4


def test_a_clinician_who_keyed_is_not_called_an_assistant() -> None:
    log = Log()
    log.relieve(1)
    assert the(log, "t the keyboard: Assistant 1, Clinician 1.").text.startswith("At the keyboard")


def test_a_session_opened_again_tells_since_when_nothing_was_keyed() -> None:
    log = Log()
    before = log.answer("isolation", dam="on")
    log.wait(16)
    again = log.log(Resume, app="0")
    sentence = the(log, "opened again")
    at, since = clock(log.entries[again]), clock(log.entries[before])
    assert sentence.text == f"At {at}: the session was opened again; the entry before was keyed at {since}."
    assert sentence.entries == (before, again)


def test_a_time_on_another_day_says_which() -> None:
    log = Log()
    log.wait(16 * 60)
    log.answer("isolation", dam="on")
    assert section(log, "Times") == ["Isolation: keyed 2026-03-03 01:00."]


def test_relief_changes_who_keyed() -> None:
    log = Log()
    log.relieve(3)
    log.answer("isolation", dam="off")
    assert section(log, "Keyed by") == ["Keyed by Assistant 1 from 09:00.", "Keyed by Assistant 2 from 09:00."]


def test_every_note_ends_unsigned_and_with_the_caution() -> None:
    for log in (Log(), filled()[0]):
        last = note(log).sections[-1]
        dots = "." * 24
        sign = ("Read, and corrected where needed, by Clinician 1:", f"Date: {dots} Signature: {dots}")
        assert [one.text for one in last.sentences] == [UNSIGNED, *sign, CAUTION]
        assert all(one.fixed for one in last.sentences)


def test_every_sentence_knows_entries_that_are_there() -> None:
    log, _ = filled()
    log.correct(5, anew=True, tooth_on_image="12")
    log.incident("closing", 1, "pain")
    log.answer("shaping", 1, 3, ago=2, file="40/4-0", purpose="cut")
    for one in note(log).sentences:
        assert one.entries, one.text
        assert all(0 <= seq < len(log.entries) for seq in one.entries), one.text
        assert tuple(sorted(set(one.entries))) == one.entries, one.text
