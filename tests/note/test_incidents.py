"""Incidents with their details: what was said, what was said again, what is owed, what nobody said."""

from __future__ import annotations

from stepper.facts.entries import IncidentDetail
from stepper.note.words import clock
from tests.cases import Log, opened
from tests.note.reading import section, the
from tests.note.visits import detail


def marked() -> tuple[Log, int]:
    log = opened(Log(), "mb")
    return log, log.incident("shaping", 1)


def test_what_was_said_about_an_incident_is_told_in_the_words_of_its_questions() -> None:
    log, seq = marked()
    told = detail(log, seq, "separated_file", file="25/4", fragment_mm="3", level="apical", result="left")
    sentence = the(log, "Separated file", "Incidents")
    assert sentence.text == (
        "Marked at 09:00, Shaping MB: Separated file. Keyed by Assistant 1. Which file, size and taper: 25/.04; "
        "Length of the fragment: 3 mm; Where it lies: apical third; What became of it: left in place."
    )
    assert sentence.entries == (seq, told)


def test_several_signs_are_told_together() -> None:
    log, seq = marked()
    detail(log, seq, "hypochlorite_accident", signs="pain+swelling", rinsed="yes", relief="no")
    assert (
        "Signs: sudden pain, swelling; Rinsed with saline: yes; Pain relief given: no."
        in the(log, "accident", "Incidents").text
    )


def test_what_is_missing_is_told_as_owed_as_not_done_or_as_not_recorded() -> None:
    log, seq = marked()
    detail(log, seq, "separated_file", fragment_mm="-.", level="-/")
    assert section(log, "Incidents") == [
        "Marked at 09:00, Shaping MB: Separated file. Keyed by Assistant 1. Not measured: Where it lies. "
        "Owed: Length of the fragment. "
        "Not recorded: Which file, size and taper; What became of it."
    ]


def test_a_question_whose_condition_does_not_hold_is_not_missed() -> None:
    log, seq = marked()
    detail(log, seq, "bleeding", stopped="not_stopped")
    assert "Not recorded" not in the(log, "Bleeding", "Incidents").text
    detail(log, seq, "bleeding", stopped="pressure")
    assert "Not recorded: After how many minutes." in the(log, "Bleeding", "Incidents").text


def test_details_follow_one_another_and_the_later_word_counts() -> None:
    log, seq = marked()
    first = detail(log, seq, "separated_file", fragment_mm="3", level="apical")
    log.wait(4)
    later = detail(log, seq, "separated_file", fragment_mm="2.5", result="bypassed")
    sentence = the(log, "Separated file", "Incidents")
    assert "Length of the fragment: 2.5 mm; Where it lies: apical third; What became of it: bypassed." in sentence.text
    when = clock(log.entries[later])
    assert sentence.text.endswith(f"Before {when}, Length of the fragment: 3 mm.")
    assert sentence.entries == (seq, first, later)


def test_the_same_word_again_is_no_earlier_word() -> None:
    log, seq = marked()
    for _ in range(2):
        detail(log, seq, "separated_file", fragment_mm="3")
    assert "Before" not in the(log, "Separated file", "Incidents").text


def test_another_kind_of_incident_takes_the_place_of_the_first_which_is_told_too() -> None:
    log, seq = marked()
    detail(log, seq, "pain", when="filing")
    detail(log, seq, "perforation", where="floor")
    text = the(log, "Perforation", "Incidents").text
    assert "Perforation. Keyed by Assistant 1. Where: floor of the chamber. Not recorded: Repaired with." in text
    assert text.endswith("it was said to be: Pain during treatment (When: on filing).")


def test_a_slip_and_an_unnamed_one_ask_for_nothing() -> None:
    log, seq = marked()
    assert section(log, "Incidents") == [
        "Marked at 09:00, Shaping MB: what it was is not recorded. Keyed by Assistant 1."
    ]
    log.log(IncidentDetail, of=seq, what="slip")
    assert section(log, "Incidents") == ["Marked at 09:00, Shaping MB: a slip of the keys. Keyed by Assistant 1."]


def test_a_kind_that_the_protocol_does_not_know_goes_by_its_id() -> None:
    log, seq = marked()
    log.log(IncidentDetail, of=seq, what="flood", values={"how_deep": {"kind": "digits", "value": "17"}})
    assert section(log, "Incidents") == ["Marked at 09:00, Shaping MB: flood. Keyed by Assistant 1. how deep: 17."]


def test_where_it_was_is_told_as_said_and_where_it_was_marked_too() -> None:
    log = opened(Log(), "mb+ml")
    seq = log.incident("shaping", 1)
    log.log(IncidentDetail, of=seq, what="pain", canal=2)
    text = section(log, "Incidents")[0]
    assert text.startswith(
        "Marked at 09:00, Shaping ML: Pain during treatment. Shaping MB was at hand when it was marked."
    )


def test_who_keyed_what_it_was_is_told_where_that_was_somebody_else() -> None:
    log, seq = marked()
    log.relieve(3)
    detail(log, seq, "bleeding", stopped="not_stopped")
    assert "Keyed by Assistant 1; what it was, by Assistant 2." in section(log, "Incidents")[0]


def test_an_incident_is_named_where_the_note_is_read_first_and_a_slip_is_not() -> None:
    log, seq = marked()
    assert section(log, "To be read first") == [
        "Incident at 09:00, Shaping MB: what it was is not recorded. See Incidents."
    ]
    told = detail(log, seq, "separated_file", file="25/4")
    sentence = the(log, "Separated file", "To be read first")
    assert sentence.text == "Incident at 09:00, Shaping MB: Separated file. See Incidents."
    assert sentence.entries == (seq, told)
    log.log(IncidentDetail, of=seq, what="slip")
    assert section(log, "To be read first") == []
