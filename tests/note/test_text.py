"""The note as plain text: its width, its end, hostile words, and the same bytes everywhere."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

from stepper.note.compose import compose
from stepper.note.shape import Note, Section, Sentence
from stepper.note.text import WIDTH, render
from tests.cases import Log, fill, ready

ROOT = Path(__file__).resolve().parents[2]


def eventful() -> Log:
    """A visit with something in every section."""
    log = ready(Log(practice=True, settings='heading = "Praxis für Beispiele"'))
    fill(log)
    log.answer("shaping", 1, 3, ago=2, file="40/4-0", purpose="cut")
    log.correct(len(log.entries) - 1, file="45/4-0")
    log.depart("needle_near:1:7")
    log.owe("needle_near:2:8")
    log.hold("cone_fit", 2, cone="40/4", remarks={"cone:2:9": "It does not match."})
    log.incident("shaping", 2, "separated_file")
    log.answer("diagnosis", consent="-.")
    log.relieve(3)
    log.answer("irrigation", 2, solution="saline", volume="3", outside=True)
    log.close()
    return log


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


def test_the_same_session_gives_the_same_bytes_in_any_zone_locale_and_hash_seed() -> None:
    here = hashlib.sha256(render(compose(eventful().case())).encode()).hexdigest()
    code = (
        "import hashlib\n"
        "from stepper.note.compose import compose\nfrom stepper.note.text import render\n"
        "from tests.note.test_text import eventful\n"
        "print(hashlib.sha256(render(compose(eventful().case())).encode()).hexdigest())"
    )
    for zone, place, seed in (
        ("UTC", "C", "0"),
        ("Pacific/Kiritimati", "de_DE.UTF-8", "1"),
        ("XYZ11:30", "tr_TR", "9"),
    ):
        there = os.environ | {"TZ": zone, "LC_ALL": place, "PYTHONHASHSEED": seed}
        ran = subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, env=there, capture_output=True, text=True, check=True
        )
        assert ran.stdout.strip() == here, (zone, place, seed)
