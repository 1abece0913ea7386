"""Lessons of a protocol: every mistake in one gets one sentence, and the practice tooth's own are sound."""

from __future__ import annotations

import re
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields

from stepper.lines.grammar import Refused, read_line
from stepper.lines.marked import lines_to_key, pieces, wrong_marks
from stepper.protocol.load import load_file, load_text
from stepper.protocol.models import Lesson, Until
from stepper.protocol.problems import BadProtocol
from stepper.record.places import bundled

PATH = bundled("protocols") / "practice_tooth.toml"
TEXT = PATH.read_text(encoding="utf-8")
LESSON = '\n[[lesson]]\nsay = "Key `7` now."\nuntil = { entry = "answer", question = "patient.pain" }\n'


def refused(lesson: str) -> tuple[str, ...]:
    with pytest.raises(BadProtocol) as caught:
        load_text(TEXT + lesson, "mine.toml")
    return caught.value.sentences


def test_one_more_lesson_is_taken():
    assert len(load_text(TEXT + LESSON, "mine.toml").lesson) == 30


ANSWER = '{ entry = "answer", question = "patient.pain" }'
UNTIL = {
    "an entry that is none": (
        '{ entry = "anser" }',
        "until, entry 'anser' is not allowed; allowed: 'answer', 'correction', 'confirm', 'go', 'held', "
        "'incident_detail' or 'close'",
    ),
    "a key that is none": (
        '{ entry = "close", cannals = [1] }',
        "until, cannals is not a key here; did you mean 'canals'?",
    ),
    "no entry": ('{ question = "patient.pain" }', "until, entry is missing"),
    "no question": ('{ entry = "answer" }', "until, question is missing; the entry 'answer' is told by it"),
    "no step": ('{ entry = "go" }', "until, step is missing; the entry 'go' is told by it"),
    "not what": ('{ entry = "incident_detail" }', "until, what is missing; the entry 'incident_detail' is told by it"),
    "an unknown step": (
        '{ entry = "answer", question = "patients.pain" }',
        "until, question 'patients' is no step; did you mean 'patient'?",
    ),
    "an unknown step to go to": (
        '{ entry = "go", step = "acces" }',
        "until, step 'acces' is no step; did you mean 'access'?",
    ),
    "an unknown question": (
        '{ entry = "answer", question = "patient.paine" }',
        "until, question 'patient.paine' is no question; did you mean 'pain'?",
    ),
    "no name of a question": (
        '{ entry = "answer", question = "pain" }',
        "until, question 'pain' does not name a question; allowed: \"step.question\", by their ids",
    ),
    "an unknown incident": (
        '{ entry = "incident_detail", what = "slipp" }',
        "until, what 'slipp' is no incident; did you mean 'slip'?",
    ),
    "canals of the tooth": (
        '{ entry = "answer", question = "patient.pain", canals = [1] }',
        "until, canals means nothing of 'patient', which is the tooth's",
    ),
    "a canal twice": (
        '{ entry = "go", step = "shaping", canals = [1, 1] }',
        "until, canals names a canal twice",
    ),
    "canal 0": (
        '{ entry = "go", step = "shaping", canals = [0] }',
        "until, canals 1 must be at least 1",
    ),
    "a step of an answer": (
        '{ entry = "answer", question = "patient.pain", step = "patient" }',
        "until, step means nothing of the entry 'answer'; allowed: question, canals",
    ),
    "a step of closing": (
        '{ entry = "close", step = "closing" }',
        "until, step means nothing of the entry 'close'; it takes no more",
    ),
}


@pytest.mark.parametrize(("until", "said"), UNTIL.values(), ids=UNTIL)
def test_one_mistake_in_what_ends_a_lesson(until: str, said: str):
    (sentence,) = refused(f'\n[[lesson]]\nsay = "Key `7` now."\nuntil = {until}\n')
    place, _, rest = sentence.partition(": ")
    assert place in (f"mine.toml, line {line}" for line in range(TEXT.count("\n") + 2, TEXT.count("\n") + 5))
    assert rest == f"lesson 30, {said}"


PAD = "allowed: 0-9 . + - * / or the word Enter between two `"
SAY = {
    "a mark left open": ('"Key `7 now."', f"say has a mark ` that is not closed; {PAD}"),
    "nothing marked": ('"Key `` now."', f"say marks nothing between two `; {PAD}"),
    "letters marked": ('"Key `yes` now."', f"say marks 'yes', which a number pad has no keys for; {PAD}"),
    "a blank marked": ('"Key `1 2` now."', f"say marks '1 2', which a number pad has no keys for; {PAD}"),
    "no words": ('""', "say is empty"),
    "too many words": (f'"{"x" * 181}"', "say is longer than 180 characters"),
    "two lines": ('"a\\nb"', "say 'a\\nb' holds a sign without a shape; allowed: text on one line, without control"),
}


@pytest.mark.parametrize(("say", "said"), SAY.values(), ids=SAY)
def test_one_mistake_in_what_a_lesson_says(say: str, said: str):
    (sentence,) = refused(f"\n[[lesson]]\nsay = {say}\nuntil = {ANSWER}\n")
    assert sentence.startswith(f"mine.toml, line {TEXT.count(chr(10)) + 3}: lesson 30, {said}")


def test_all_mistakes_are_said_at_once():
    sentences = refused(
        '\n[[lesson]]\nsay = "Key `7 now."\nuntil = { entry = "answer", question = "patient.paine" }\n'
        '\n[[lesson]]\nsay = "x"\nuntil = { entry = "go", step = "acces", what = "slip" }\n'
    )
    assert [one.split(": ")[1].split(", ")[0] for one in sentences] == ["lesson 30"] * 2 + ["lesson 31"] * 2


def test_what_the_practice_tooth_says_to_key_is_what_a_line_can_be():
    for lesson in load_file(PATH)[0].lesson:
        assert lines_to_key(lesson.say)
        assert not any(isinstance(read_line(line), Refused) for line in lines_to_key(lesson.say))


@given(st.lists(st.tuples(st.text("ab ,.", min_size=1), st.text("0123456789.+-*/", min_size=1)), max_size=6))
def test_what_is_marked_comes_out_as_it_went_in(parts: list[tuple[str, str]]):
    text = "".join(f"{word}`{line}`" for word, line in parts)
    assert not wrong_marks(text)
    assert lines_to_key(text) == [line for _, line in parts]
    assert "".join(piece for piece, _ in pieces(text)) == text.replace("`", "")


def test_an_empty_line_is_marked_by_its_key():
    assert lines_to_key("Then `Enter` and `2*`") == ["", "2*"]


def test_the_guide_names_everything_that_a_lesson_can_name():
    guide = (PATH.parent / "README.md").read_text(encoding="utf-8")
    told = guide[guide.index("## A practice tooth") :]
    told = told[: told.index("\n## ")]
    entries = get_args(next(one.type for one in fields(Until) if one.name == "entry"))
    for name in (*Lesson.__struct_fields__, *Until.__struct_fields__, *entries):
        assert re.search(rf"`{name}\b|\b{name} =", told), name
