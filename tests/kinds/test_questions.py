"""Every kind of question: what it takes, how it shows it, and one sentence for what it does not take."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.facts.record import written
from stepper.facts.sharing import read_value
from stepper.facts.values import Absent, Number, Value, Why
from stepper.kinds.asking import show_absent
from stepper.kinds.union import AnyQuestion
from stepper.lines.refusal import Refusal
from tests.cases import protocol
from tests.kinds.questions import ASKED, TABLES, question

D = Decimal


def test_every_kind_has_a_table():
    kinds = {str(kind.__struct_config__.tag) for kind in get_args(AnyQuestion)}
    assert {asked.question.kind for asked in ASKED.values()} == kinds


@pytest.mark.parametrize("name", ASKED)
def test_at_least_ten_bad_answers_are_tried(name: str):
    assert len(dict(ASKED[name].bad)) >= 10


@pytest.mark.parametrize(
    ("name", "typed", "value", "shown"), [(name, *row) for name, asked in ASKED.items() for row in asked.taken]
)
def test_taken_and_shown(name: str, typed: str, value: Value, shown: str):
    got = ASKED[name].question.parse(typed, TABLES)
    assert got == value
    assert not isinstance(got, Refusal)
    assert str(got) == str(value)  # 20.50 stays 20.50, though 20.5 would be equal
    assert ASKED[name].question.show(got, TABLES) == shown


@pytest.mark.parametrize(
    ("name", "typed", "sentence"), [(name, *row) for name, asked in ASKED.items() for row in asked.bad]
)
def test_refused_in_one_sentence(name: str, typed: str, sentence: str):
    assert ASKED[name].question.parse(typed, TABLES) == Refusal(sentence)


@pytest.mark.parametrize("name", ASKED)
def test_hint(name: str):
    assert ASKED[name].question.hint() == ASKED[name].hint


@pytest.mark.parametrize("value", [row[1] for asked in ASKED.values() for row in asked.taken])
def test_values_come_back_from_json_as_they_went_in(value: Value):
    text = json.dumps(written(value))
    back = read_value(json.loads(text))
    assert back == value
    assert str(back) == str(value)
    assert type(back) is type(value)


@pytest.mark.parametrize("name", ASKED)
@given(typed=st.text(max_size=60) | st.text("0123456789.,+-*/", max_size=14))
def test_any_text_is_a_value_or_a_sentence(name: str, typed: str):
    asked = ASKED[name].question
    got = asked.parse(typed, TABLES)
    if isinstance(got, Refusal):
        assert got.sentence.isprintable()
        assert len(got.sentence) < 300
    else:
        assert asked.show(got, TABLES)
        assert read_value(json.loads(json.dumps(written(got)))) == got


@pytest.mark.parametrize(
    ("why", "words"), [(Why.NOT_DONE, "not done"), (Why.NOT_MEASURED, "not measured"), (Why.OWED, "owed")]
)
def test_what_is_absent_says_why(why: Why, words: str):
    assert show_absent(Absent(why=why)) == words
    assert show_absent(Number(value=D(1))) is None


def test_a_number_outside_the_usual_is_told_of_and_taken():
    length = question("number", unit="mm", least=5, most=40, usual_least=14, usual_most=31)
    told = {typed: length.unusual(Number(value=D(typed))) for typed in ("13.9", "14", "31", "31.1")}
    assert told == {
        "13.9": "Asked: 13.9 mm is below the usual 14",
        "14": None,
        "31": None,
        "31.1": "Asked: 31.1 mm is above the usual 31",
    }
    assert length.parse("13.9", TABLES) == Number(value=D("13.9"))


def test_one_usual_limit_alone():
    volume = question("number", least=0, most=60, usual_most=20)
    assert volume.unusual(Number(value=D(20))) is None
    assert volume.unusual(Number(value=D(21))) == "Asked: 21 is above the usual 20"
    weight = question("number", least=0, most=60, usual_least=20)
    assert weight.unusual(Number(value=D(19))) == "Asked: 19 is below the usual 20"
    assert weight.unusual(Number(value=D(60))) is None


def test_only_numbers_can_be_unusual():
    assert all(
        asked.question.unusual(Absent(why=Why.OWED)) is None
        and (asked.question.kind == "number" or asked.question.unusual(asked.taken[0][1]) is None)
        for asked in ASKED.values()
    )


@pytest.mark.parametrize(
    ("among", "options"),
    [
        ("file", [(54, "orifice"), (55, "odd")]),
        ("cone", [(41, "cones")]),
        ("solution", [(3, "saline")]),
        ("technique", [(2, "cold")]),
        ("agent", []),
    ],
)
def test_a_choice_among_the_tables(among: str, options: list[tuple[int, str]]):
    assert [(one.number, one.id) for one in question("choice", among=among).options_of(TABLES)] == options


@pytest.mark.parametrize(
    ("step", "name", "typed"),
    [
        ("diagnosis", "allergies", "1+2"),
        ("diagnosis", "complaint", "5+1"),
        ("access", "canals", "1+2"),
        ("access", "sought", "6+1"),
        ("drying", "blood", "1+4"),
        ("closing", "prescribed", "1+2"),
    ],
)
def test_the_bundled_protocol_takes_no_option_together_with_one_that_says_there_is_none(
    step: str, name: str, typed: str
):
    asked = protocol().by_step[step].asked(name)
    assert asked is not None
    got = asked.parse(typed, protocol())
    assert isinstance(got, Refusal)
    assert "goes with no other" in got.sentence


def test_an_option_that_the_protocol_has_lost_keeps_its_id():
    asked = ASKED["choice among the stock"]
    shown = asked.question.show(read_value({"kind": "choice", "options": ["gone", "saline"]}), TABLES)
    assert shown == "gone, Saline"
