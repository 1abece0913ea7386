"""Field parsers: what each takes, at least ten bad answers each with the sentence it gets, and any text at all."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stepper.facts.record import Record, read_as, written
from stepper.facts.values import Day, Depth, Number
from stepper.lines import fields
from stepper.lines.fields import Refusal
from tests.lines.answers import BAD, TAKEN, fixed


@pytest.mark.parametrize(("parse", "typed", "value"), TAKEN)
def test_what_the_contract_allows_is_taken(parse: Callable[[str], object], typed: str, value: object) -> None:
    assert parse(typed) == value


@pytest.mark.parametrize(("parse", "typed", "sentence"), [(parse, *row) for parse, rows in BAD.items() for row in rows])
def test_each_bad_answer_gets_its_sentence(parse: Callable[[str], object], typed: str, sentence: str) -> None:
    assert parse(typed) == Refusal(sentence)


def test_every_kind_has_its_ten_bad_answers() -> None:
    kinds = [parse for parse in BAD if parse is not fixed]
    assert len(kinds) == 12
    assert {parse: len(BAD[parse]) for parse in kinds if len(BAD[parse]) < 10} == {}


def test_a_number_keeps_the_digits_keyed() -> None:
    taken = fields.number("20.50")
    assert isinstance(taken, Number)
    assert str(taken.value) == "20.50"


@pytest.mark.parametrize("typed", ["-0", "-0.0", "-.0", "+0", "0"])
def test_at_length_is_zero_without_a_sign(typed: str) -> None:
    taken = fields.depth(typed)
    assert isinstance(taken, Depth)
    assert str(taken.short_mm) == "0"


def test_a_choice_of_one_says_one() -> None:
    assert fields.choice("2", 1, many=False) == Refusal("2: no choice 2; type 1, one of them")


def test_digits_of_one_length_say_one_number() -> None:
    assert fields.digits("123", 2, 2) == Refusal("123: 3 digits typed; type 2 digits")


ANY_TEXT = st.one_of(
    st.text(),
    st.text(alphabet="0123456789.+-/*,", max_size=12),
    st.text(st.characters(exclude_categories=()), max_size=600),
    st.from_regex(r"[0-9]{1,3}(/\.?[0-9]{1,4})?[+-][0-9]{0,4}\.?[0-9]{0,3}", fullmatch=True),
    st.from_regex(r"[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{4}", fullmatch=True),
)


@pytest.mark.parametrize("parse", list(BAD))
@given(typed=ANY_TEXT)
@example(typed="NAN")
@example(typed="²")
@example(typed="\ud800")
@example(typed="9" * 5000)
def test_any_text_gives_a_value_or_one_printable_sentence(parse: Callable[[str], object], typed: str) -> None:
    result = parse(typed)
    if isinstance(result, Refusal):
        assert result.sentence.isprintable()
        assert 0 < len(result.sentence) <= 250
    elif isinstance(result, Record):
        assert read_as(type(result), json.loads(json.dumps(written(result)))) == result
    else:
        assert isinstance(result, tuple)
        assert result


@given(st.integers(0, 4000), st.sampled_from("+-"))
def test_a_distance_is_read_as_it_is_written(hundredths: int, sign: str) -> None:
    mm = Decimal(hundredths) / 100
    assert fields.depth(f"{sign}{mm}") == Depth(short_mm=mm if sign == "-" else 0 - mm)


@given(st.dates(dt.date(1900, 1, 1), dt.date(2099, 12, 31)))
def test_every_date_of_two_centuries_is_read(day: dt.date) -> None:
    assert fields.date(f"{day.day}.{day.month}.{day.year}") == Day(value=day)
