"""Entries that say the same share it; those that say it otherwise, be it by a digit, do not."""

from __future__ import annotations

import pytest

from stepper.facts.entries import Answer, parse
from stepper.facts.record import place_of


def answer(value: object, **more: object) -> dict[str, object]:
    stamp = {"t": "2026-03-02T08:00:00Z", "off": "+01:00", "tz": "", "mono_us": 1, "boot": "b", "by": 2, "v": 1}
    return {**stamp, "seq": 1, "kind": "answer", "step": "s", "canal": 0, "row": 1, "values": {"q": value}, **more}


def number(text: str) -> dict[str, object]:
    return {"kind": "number", "value": text}


def test_what_is_written_the_same_is_one_value():
    one, other = parse(answer(number("20.5"))), parse(answer(number("20.5"), seq=2))
    assert isinstance(one, Answer) and isinstance(other, Answer)
    assert one.values["q"] is other.values["q"]
    assert one != other, "they are two entries"


def test_a_digit_more_makes_it_another():
    shown = [str(parse(answer(number(text))).values["q"].value) for text in ("20.5", "20.50", "20.5")]  # type: ignore[union-attr]
    assert shown == ["20.5", "20.50", "20.5"]


def test_answers_that_are_written_the_same_share_their_values():
    one, other = parse(answer(number("20.5"))), parse(answer(number("20.5"), seq=2))
    apart = parse(answer(number("20.50"), seq=3))
    assert isinstance(one, Answer) and isinstance(other, Answer) and isinstance(apart, Answer)
    assert one.values is other.values
    assert one.values == apart.values
    assert one.values is not apart.values


@pytest.mark.parametrize("value", [{"kind": "number", "value": "x"}, {"kind": "none"}, 3, None, []])
def test_what_is_no_value_is_refused_where_it_stands(value: object):
    with pytest.raises(ValueError, match="values") as refused:
        parse(answer(value))
    assert place_of(refused.value).startswith("values")
