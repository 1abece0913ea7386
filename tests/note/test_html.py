"""The note as HTML, held against an independent parser: the same words in the same order, and nothing but words."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from stepper.facts.entries import Ending, IncidentDetail
from stepper.lines.refusal import visible
from stepper.note.compose import compose
from stepper.note.html import render
from stepper.note.numbers import shown_numbers
from stepper.note.pictures import pictures
from stepper.note.shape import Note, Sentence
from tests.cases import Log
from tests.note.html_reading import expected, parsed
from tests.note.reading import note
from tests.note.test_markdown import HOSTILE, WORDS, of
from tests.note.visits import ended_early, eventful, four_canals
from tests.samples import FOLDER, ROOT

HOSTILE_HERE = [
    *HOSTILE,
    "</style><script>alert(1)</script>",
    "</title></head><body onload=alert(1)>",
    "<img src=x onerror=alert(1)>",
    "<svg/onload=alert(1)>",
    "</svg></figure><iframe src='//example.org'>",
    "</li></ul></section></main>",
    '" onmouseover="alert(1)" x="',
    "' onfocus='alert(1)' autofocus='",
    "]]> <![CDATA[ <x> ]]>",
    "<!DOCTYPE html [<!ENTITY e SYSTEM 'file:///etc/passwd'>]>&e;",
    "&lt;b&gt; &amp;amp; &#0; &#xD800; &nbsp",
    "a\x00b\x00",
    "\ufffe \uffff",
    "@import url(//example.org); } body { display: none",
    "x" * 300,
]


def whole(log: Log) -> tuple[str, Note, tuple]:
    case = log.case()
    composed, drawn = compose(case), pictures(case)
    return render(composed, drawn), composed, drawn


@pytest.mark.parametrize("visit", [four_canals, ended_early, eventful], ids=lambda one: one.__name__)
def test_a_whole_note_reads_back_as_it_was_composed(visit) -> None:
    text, composed, drawn = whole(visit())
    page = parsed(text)
    assert page.pieces == expected(composed, drawn)
    assert page.svgs == len(drawn) > 1
    assert page.title == composed.title


@pytest.mark.parametrize("text", HOSTILE_HERE)
@pytest.mark.parametrize("mark", ["", "STOP"])
def test_hostile_words_are_words_in_every_place(text: str, mark: str) -> None:
    composed = of(text, "plain", mark=mark)
    assert parsed(render(composed, ())).pieces == expected(composed)


@pytest.mark.parametrize("text", HOSTILE_HERE)
def test_hostile_words_are_words_as_a_mark_and_as_a_title_too(text: str) -> None:
    composed = dataclasses.replace(of("plain", mark=text), title=text)
    page = parsed(render(composed, ()))
    assert page.pieces == expected(composed)
    assert page.title == visible(text)


@settings(deadline=None)
@given(
    st.lists(st.one_of(WORDS, st.sampled_from(HOSTILE_HERE)), min_size=1, max_size=4),
    st.sampled_from(["", "STOP", "OUTSIDE THE CHAIN"]),
)
def test_any_words_are_words_in_every_place(texts: list[str], mark: str) -> None:
    composed = of(*texts, mark=mark)
    text = render(composed, ())
    assert parsed(text).pieces == expected(composed)
    assert all(sign == "\n" or sign.isprintable() for sign in text)
    text.encode("utf-8")


@pytest.mark.parametrize("place", ["canal", "void", "reason", "heading", "patient", "ending", "incident", "sid"])
def test_a_hostile_field_of_a_session_comes_out_inert(place: str) -> None:
    words = "\n".join(HOSTILE_HERE)
    heading = "".join(f"\\U{ord(sign):08x}" for sign in words.replace("\ud800", ""))
    log = Log(
        settings=f'heading = "{heading}"' if place == "heading" else "",
        patient=words if place == "patient" else "4711",
    )
    log.found(1, words if place == "canal" else "MB")
    log.answer("shaping", 1, file="25/4-0", purpose="cut")
    log.answer("shaping", 1, row=10_000, master="25/4")
    if place == "void":
        log.void(words)
    elif place == "reason":
        log.depart("needle_near:1:7", words)
    elif place == "ending":
        log.log(Ending, reason=words, said_by=1)
    elif place == "incident":
        seq = log.incident("shaping", 1)
        log.log(IncidentDetail, of=seq, what=words, values={words: {"kind": "text", "value": words}})
    elif place == "sid":
        log.entries[0] = replace(log.entries[0], sid=words)
    text, composed, drawn = whole(log)
    assert any("script" in one.text for one in (*composed.sentences, *composed.cells))
    assert drawn
    assert parsed(text).pieces == expected(composed, drawn)


def test_the_page_may_load_and_run_nothing() -> None:
    text, _, _ = whole(four_canals())
    page = parsed(text)
    digest = base64.b64encode(hashlib.sha256(page.style.encode()).digest()).decode()
    rules = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    assert page.policy == rules
    assert "url(" not in page.style
    assert "@import" not in page.style
    addresses = set(re.findall(r"\w+://[^\"'\s]*", text))
    assert addresses == {"http://www.w3.org/2000/svg"}


def test_numbers_are_shown_behind_sentences_and_where_a_cell_has_others_than_its_row() -> None:
    text, composed, _ = whole(four_canals())
    found = [piece for piece in parsed(text).pieces if piece[0] in ("li", "td", "th row")]
    assert len(found) == len(composed.sentences) + len(composed.cells)
    assert all(entries for _, _, _, entries, _ in found)
    silent = [one for one in composed.sentences if one.fixed]
    assert silent
    for one in silent:
        assert shown_numbers(one) == ""


@pytest.mark.parametrize(
    ("entries", "shown"),
    [((0,), "0"), ((1, 2), "1, 2"), ((1, 2, 3), "1-3"), ((0, 2, 3, 4, 7), "0, 2-4, 7"), ((5, 6, 8, 9), "5, 6, 8, 9")],
)
def test_numbers_in_a_row_are_written_short(entries: tuple[int, ...], shown: str) -> None:
    assert shown_numbers(Sentence("x", entries)) == shown


def test_the_parser_would_find_what_is_not_inert() -> None:
    """The checks above can fail."""
    text = render(of("PLACE"), ())
    for words in ("<script>alert(1)</script>", "<img src=x>", "</li>", "<li>", "<b title='x'>"):
        with pytest.raises(AssertionError):
            assert parsed(text.replace("PLACE", words, 1)).pieces == expected(of("PLACE"))


def test_the_command_writes_html(tmp_path: Path) -> None:
    session = FOLDER / "plain-single-canal.jsonl"
    command = [sys.executable, "-m", "stepper", "note", str(session), "--as", "html"]
    shown = subprocess.run(command, capture_output=True, cwd=ROOT, check=True).stdout
    out = tmp_path / "note.html"
    subprocess.run([*command, "--out", str(out)], capture_output=True, cwd=ROOT, check=True)
    assert out.read_bytes() == shown
    assert shown.startswith(b'<!DOCTYPE html>\n<html lang="en">\n')
    assert parsed(shown.decode()).svgs == 2


def test_a_note_without_pictures_is_whole() -> None:
    composed = note(Log())
    text, again, drawn = whole(Log())
    assert drawn == ()
    assert again == composed
    assert parsed(text).pieces == expected(composed)
