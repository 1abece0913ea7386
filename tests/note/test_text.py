"""The note as plain text: its width, its end, and hostile words."""

from __future__ import annotations

import pytest

from stepper.note.compose import compose
from stepper.note.shape import Note, Section, Sentence
from stepper.note.text import WIDTH, render
from tests.cases import Log
from tests.note.visits import eventful


def test_lines_are_80_wide_and_the_last_one_is_ended() -> None:
    text = render(compose(eventful().case()))
    assert text.endswith("\n")
    assert not text.endswith("\n\n")
    assert max(len(line) for line in text.split("\n")) <= WIDTH
    assert not [line for line in text.split("\n") if line != line.rstrip()]


def test_titles_are_underlined_and_sentences_hang() -> None:
    note = Note("A title", (Sentence("word " * 30, (0,)),), (Section("Part", (Sentence("word " * 30, (0,), "STOP"),)),))
    lines = render(note).split("\n")
    assert lines[:2] == ["A TITLE", "======="]
    assert lines[2].startswith("word")
    assert lines[3].startswith("  word")
    part = lines.index("PART")
    assert lines[part - 1 : part + 2] == ["", "PART", "----"]
    assert lines[part + 2].startswith("- STOP: word")
    assert lines[part + 3].startswith("  word")


def test_words_with_hyphens_are_not_broken_at_them() -> None:
    lines = render(Note("T", (Sentence("x" * 75 + " tug-back", (0,)),), ())).split("\n")
    assert lines[-2] == "  tug-back"


def test_a_word_longer_than_a_line_is_broken() -> None:
    text = render(Note("T", (Sentence("x" * 200, (0,)),), ()))
    assert max(len(line) for line in text.split("\n")) == WIDTH
    assert text.count("x") == 200


HOSTILE = "end\n\nSIGNATURE\n---------\n- Signed\x1b[2J\u202e\u2066\u200b\x00\r\x85\u2028"


@pytest.mark.parametrize("place", ["canal", "void", "reason", "heading", "patient"])
def test_hostile_words_stay_in_their_sentence_with_every_sign_visible(place: str) -> None:
    heading = "".join(f"\\u{ord(sign):04x}" for sign in HOSTILE)
    log = Log(
        settings=f'heading = "{heading}"' if place == "heading" else "",
        patient=HOSTILE if place == "patient" else "4711",
    )
    if place == "canal":
        log.found(1, HOSTILE)
    elif place == "void":
        log.void(HOSTILE)
    elif place == "reason":
        log.depart("needle_near:1:7", HOSTILE)
    text = render(compose(log.case()))
    assert "<U+001B>" in text.replace("\n  ", "")
    assert "<U+202E>" in text.replace("\n  ", "")
    assert all(sign == "\n" or sign.isprintable() for sign in text)
    assert text.split("\n").count("SIGNATURE") == 1
    assert "- Signed" not in [line[:8] for line in text.split("\n")]


def test_words_with_braces_are_words() -> None:
    log = Log()
    log.found(1, "{tooth}")
    log.answer("shaping", 1, file="25/4-0", purpose="cut")
    assert "{tooth}: 25/.04 at length, cut." in render(compose(log.case()))
