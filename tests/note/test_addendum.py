"""What came after the signature stands right after the head, apart from what was signed."""

from __future__ import annotations

import datetime as dt

import pytest

from stepper.facts.entries import Incident, Resume
from stepper.facts.signature import Addendum, Signature
from stepper.note import markdown, text
from stepper.note.addendum import NOT_COVERED
from stepper.note.head import UNSIGNED
from stepper.protocol.sections import ADDENDUM, is_closed
from tests.cases import START, Log
from tests.note.reading import filled, note, section, the, titles

SAYS = "The patient rang: tender to bite for a day"
RECORD = "The record was signed by Invented Person (IP) on 2026-03-02 11:00 +01:00. What stands here came later."


def sign(log: Log, name: str = "Invented Person", initials: str = "IP") -> int:
    about = {"meaning": "I have read it.", "at": "2026-03-02T10:00:00Z", "key": "0011", "sig": "00", "head": "00"}
    return log.log(Signature, person=1, name=name, initials=initials, entries=len(log.entries), **about)


def signed() -> Log:
    """A closed visit that was signed at eleven, and a minute's silence after it."""
    log, _ = filled()
    log.close()
    log.elapsed_s = 2 * 3600 - log.step_s
    sign(log)
    log.wait(1)
    return log


def add(log: Log, words: str = SAYS, *, by: int = 1) -> int:
    log.by = by
    return log.log(Addendum, text=words, said_by=1, name="Clinician 1")


def test_a_signed_record_to_which_nothing_was_added_has_no_such_section() -> None:
    assert ADDENDUM not in titles(signed())
    log = signed()
    log.log(Resume, app="x")
    assert ADDENDUM not in titles(log), "that it was looked at is nothing added"
    assert NOT_COVERED not in section(log, "Signature")


def test_nor_has_one_that_nobody_signed() -> None:
    log, _ = filled()
    log.close()
    assert ADDENDUM not in titles(log)
    assert section(log, "Signature")[0] == UNSIGNED


def test_a_paragraph_stands_with_day_time_and_who_keyed_it_right_after_the_head() -> None:
    log = signed()
    seq = add(log)
    assert titles(log)[0] == ADDENDUM
    told = f"2026-03-02 11:01 +01:00, keyed by Clinician 1: {SAYS}."
    assert section(log, ADDENDUM) == [RECORD, told, f"NOT SIGNED: {NOT_COVERED}"]
    assert the(log, SAYS).entries == (seq,)
    assert the(log, "The record was signed by").entries == (seq - 1,)
    assert the(log, NOT_COVERED, ADDENDUM).entries == (seq - 1, seq)


def test_whose_words_they_are_is_said_where_another_person_keyed_them() -> None:
    log = signed()
    add(log, by=2)
    assert the(log, SAYS).text == f"2026-03-02 11:01 +01:00, keyed by Assistant 1, said by Clinician 1: {SAYS}."


def test_a_person_of_today_goes_by_the_name_of_today() -> None:
    log = signed()
    log.by = 9
    log.log(Addendum, text=SAYS, said_by=9, name="Clinician 9")
    assert "keyed by Clinician 9: " in the(log, SAYS).text


def test_the_day_is_that_on_which_it_was_keyed() -> None:
    log = signed()
    log.elapsed_s += 9 * 86_400
    add(log)
    day = (START + dt.timedelta(days=9)).date().isoformat()
    assert the(log, SAYS).text.startswith(f"{day} 11:01 +01:00, ")


def test_corrections_and_all_else_that_came_later_are_told_there_in_words() -> None:
    log = signed()
    length = next(one.seq for one in log.entries if "working_length" in getattr(one, "values", {}))
    wrong = log.correct(length, working_length="19.5")
    yes = log.confirm(wrong)
    tooth = log.correct(0, tooth="12")
    seq = log.log(Incident, step="shaping", canal=1)
    corrected, confirmed, header, incident = section(log, ADDENDUM)[1:-1]
    begins = f"2026-03-02 11:01 +01:00, keyed by Assistant 1: entry {length} (Working length B) was keyed wrong: "
    assert corrected.startswith(begins) and corrected.endswith("is 19.5 mm.")
    assert confirmed.endswith(f"Clinician 1 said yes to entry {wrong}.")
    assert "entry 0 (header) was keyed wrong: tooth, was 11, is 12." in header
    assert incident.endswith("Shaping B: INCIDENT.")
    rests = [one.entries for part in note(log).sections if part.title == ADDENDUM for one in part.sentences]
    assert rests[1:-1] == [(wrong, length), (yes, wrong), (tooth, 0), (seq,)]
    assert "Corrections" in titles(log), "and where they stand in any note"


def test_what_is_keyed_before_the_signature_is_none() -> None:
    log, _ = filled()
    seq = log.correct(0, patient="4712")
    log.confirm(seq)
    log.close()
    sign(log)
    assert ADDENDUM not in titles(log)


def test_signed_in_its_turn_it_says_so_and_only_what_comes_then_is_not_signed() -> None:
    log = signed()
    add(log)
    log.by = 3
    second = sign(log, "Another Person", "AP")
    end = "Up to here the addendum was signed by Another Person (AP) on 2026-03-02 11:01 +01:00."
    assert section(log, ADDENDUM)[2:] == [end]
    assert the(log, end).entries == (second,)
    third = add(log, "And later still")
    assert section(log, ADDENDUM)[2] == end
    assert "And later still" in section(log, ADDENDUM)[3]
    assert the(log, NOT_COVERED, ADDENDUM).entries == (second, third)


def test_the_foot_gives_each_signature_and_says_what_none_covers() -> None:
    log = signed()
    first = "Signed electronically by Invented Person (IP) at 11:00: I have read it."
    assert section(log, "Signature")[0] == first
    assert len(section(log, "Signature")) == 3
    add(log)
    assert section(log, "Signature")[:1] == [first] and NOT_COVERED in section(log, "Signature")
    sign(log, "Another Person", "AP")
    found = section(log, "Signature")
    assert found[0] == first and NOT_COVERED not in found and UNSIGNED not in found
    assert found[2] == "Addendum signed electronically by Another Person (AP) at 11:01: I have read it."
    assert len(found) == 5


@pytest.mark.parametrize("render", [text.render, markdown.render])
def test_it_stands_in_every_format_and_its_words_stay_words(render: object) -> None:
    log = signed()
    add(log, "# Signed by nobody \x1b[31m <b>")
    assert callable(render)
    said = render(note(log))
    assert "\x1b" not in said and "\n# Signed" not in said
    assert said.upper().index("ADDENDUM") < said.upper().index("DIAGNOSIS")
    assert "keyed by Clinician 1" in " ".join(said.split())
    assert "NOT SIGNED" in said


def test_no_sentence_of_a_protocol_can_pass_for_one() -> None:
    assert is_closed("ADDENDUM")
