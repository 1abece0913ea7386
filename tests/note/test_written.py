"""What a person writes into a section stands there as it was written, with whose words they are, and nowhere else."""

from __future__ import annotations

from stepper.facts.free_text import FreeText
from stepper.note.compose import compose
from stepper.note.markdown import render
from stepper.note.written import sections_for_words
from stepper.protocol import sections as titles
from tests.cases import Log
from tests.note.reading import filled, note, section
from tests.note.reading import titles as shown

WORDS = "The patient asked for the longest appointment."


def written(title: str, text: str = WORDS, said_by: int = 1) -> tuple[Log, int]:
    log, _ = filled()
    log.close()
    return log, log.log(FreeText, section=title, text=text, said_by=said_by)


def test_words_stand_last_in_their_section_with_whose_they_are_and_who_keyed_them() -> None:
    log, seq = written("Access")
    found = next(one for one in note(log).sections if one.title == "Access").sentences[-1]
    keyed = log.case().entries[seq]
    assert found.text.startswith(f"{WORDS} (as said by Clinician 1, keyed by Assistant 1, ")
    assert "in writing" not in found.text, "the clinician wrote nothing"
    assert found.entries == (seq,)
    assert keyed.by == 2
    assert sum(WORDS in one.text for one in note(log).sentences) == 1


def test_of_words_that_a_person_keyed_himself_it_is_said_once() -> None:
    log, _ = written("Access", said_by=2)
    assert section(log, "Access")[-1].startswith(f"{WORDS} (Assistant 1 in writing, ")
    assert "keyed by" not in section(log, "Access")[-1]


def test_a_section_that_had_nothing_to_say_is_there_for_the_words_alone() -> None:
    log = Log(tooth="11")
    assert "Dressing" not in shown(log)
    log.log(FreeText, section="Dressing", text="None was wanted", said_by=1)
    assert len(section(log, "Dressing")) == 1


def test_words_for_a_section_that_is_not_there_are_not_lost() -> None:
    log, seq = written("A section of another protocol")
    found = [one for one in note(log).sections if one.title == titles.WRITTEN]
    assert [one.entries for part in found for one in part.sentences] == [(seq,)]


def test_words_are_offered_for_each_step_and_each_open_section_but_none_that_the_program_alone_writes() -> None:
    log, _ = filled()
    case = log.case()
    offered = sections_for_words(case, [one.title for one in compose(case).sections])
    assert {step.title for step in case.protocol.step} <= set(offered)
    assert {titles.MATERIALS, titles.CANALS, titles.ADVICE, titles.WRITTEN} <= set(offered)
    assert not [title for title in offered if titles.is_closed(title)]
    assert len(offered) == len(set(offered))


def test_hostile_words_come_out_as_words() -> None:
    log, _ = written("Access", "<b>x</b> **y** \x1b[31m \u202e # [a](http://b.c)")
    text = render(note(log))
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "&lt;b&gt;x&lt;/b&gt; \\*\\*y\\*\\*" in text


def test_words_taken_up_by_another_are_that_persons_own() -> None:
    log, first = written("Access")
    then = log.log(FreeText, section="Access", text="", said_by=1, instead=first)
    last = log.log(FreeText, section="Access", text="Anew", said_by=2, instead=then)
    found = next(one for one in note(log).sections if one.title == "Access").sentences[-1]
    assert found.text.startswith("Anew. (Assistant 1 in writing, ")
    assert "first" not in found.text, "what stood first were the words of another"
    told = [one for one in section(log, "Corrections") if one.startswith("Words of Clinician 1")]
    assert len(told) == 2
    assert f"Before: {WORDS}" in told[0]
    assert "withdrawn at" in told[0] and "keyed by Assistant 1" in told[0]
    assert told[1].endswith("Assistant 1 in writing. They had been withdrawn.")
    assert "Before: ." not in " ".join(told)
    assert found.entries == (first, then, last)
