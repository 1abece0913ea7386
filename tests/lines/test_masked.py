"""A masked line: entered as it was typed, and read nowhere."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from stepper.lines.key_names import APPLICATION_KEYPAD
from stepper.lines.keys import MASK, MOST_TYPED, Entered, KeyBuffer, KeyRefused

SIGNS = "0123456789*/-+.]"


def typed(buffer: KeyBuffer, text: str) -> list[object]:
    return [buffer.press(sign, sign, 0.0) for sign in text]


def test_it_is_shown_as_signs_that_no_key_types_and_entered_as_it_is():
    buffer = KeyBuffer()
    assert buffer.mask(on=True)
    typed(buffer, "2**4711")
    assert buffer.seen == MASK * 7
    assert MASK not in APPLICATION_KEYPAD
    assert buffer.press("enter", "\r", 1.0) == Entered("2**4711")
    assert buffer.seen == ""


def test_what_was_half_typed_before_goes_and_what_comes_after_is_seen_again():
    buffer = KeyBuffer()
    typed(buffer, "35/4")
    assert buffer.seen == "35/4"
    assert buffer.mask(on=True)
    assert (buffer.line, buffer.seen) == ("", "")
    typed(buffer, "2")
    assert not buffer.mask(on=True), "it is on already"
    assert not buffer.mask(on=False)
    assert buffer.seen == "2"


@given(st.text(SIGNS, min_size=1, max_size=12))
def test_no_refusal_repeats_a_masked_line(text: str):
    buffer = KeyBuffer()
    buffer.mask(on=True)
    typed(buffer, text)
    buffer.paste("5" * MOST_TYPED * 5, 0.0)  # more than a line or a scan takes
    refusal = buffer.press("enter", "\r", 1.0)
    assert isinstance(refusal, KeyRefused)
    assert refusal.sentence.startswith(MASK)
    assert "5" not in refusal.sentence
