"""The note as Markdown, held against an independent parser; hostile words in any field come out as words."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from stepper.facts.entries import Ending, IncidentDetail
from stepper.note.compose import compose
from stepper.note.markdown import inert, render
from stepper.note.shape import Note, Section, Sentence, Table
from tests.cases import Log
from tests.note.parsing import READER, expected, parsed
from tests.note.reading import note
from tests.note.visits import ended_early, eventful, four_canals
from tests.samples import FOLDER, ROOT

HOSTILE = [
    "<script>alert(1)</script>",
    "<b>bold</b> <!-- hidden --> <?php ?> &amp; &#x3c; &copy;",
    "*a* _b_ __c__ **d** ~~e~~ ==f== ^g^ $h$",
    "`code` ``more`` ~~~",
    "```\nfence\n```",
    "# heading",
    "## heading ##",
    "> quote",
    "- item",
    "+ item",
    "1. item",
    "23) item",
    "---",
    "***",
    "===",
    "    four spaces",
    "\ttab",
    "a | b || c",
    "\\| \\\\| \\\\\\| back\\slash\\",
    "| --- | --- |",
    "[link](javascript:alert(1)) ![image](http://x/y.png) [ref][1]",
    "[1]: http://example.org 'title'",
    "<http://example.org> <someone@example.org>",
    "http://example.org www.example.org WWW.example.org someone@example.org",
    "example.org //example.org //localhost/x mailto:a@b.org ftp://x.org 1.example.org x.1.org tel:123",
    "a\nb\r\nc\x0bd\x0ce\x85f\u2028g\u2029h",
    "\x1b[2J\x1b]8;;http://x\x07\x9b31m",
    "\u202eabc\u202c \u2066x\u2069 \u200f \u061c",
    "\u200bzero\ufeff \u00a0 \u00ad",
    "hard break  ",
    "[ ] task",
    ":smile: term\n: definition",
    "\ud800 lone",
    "",
    " ",
    "\\",
]
SIGNS = st.text(st.sampled_from([*"\\`*_{}[]()#+-.!|<>&:~^$@=\"'/ 19aw", "\n", "\t", "\x1b", "\u202e", "\u00a0"]))
WORDS = st.one_of(st.sampled_from(HOSTILE), SIGNS, st.text())


def of(*texts: str, mark: str = "") -> Note:
    """A note that holds some words in every place there is."""
    said = tuple(Sentence(one, (0,), mark) for one in texts)
    table = Table(texts or ("x",), (said or (Sentence("x", (0,)),),) * 2)
    return Note("A title", said, (Section(texts[0] if texts else "x", said, table), Section("End", said)))


@pytest.mark.parametrize("visit", [four_canals, ended_early, eventful], ids=lambda one: one.__name__)
def test_a_whole_note_reads_back_as_it_was_composed(visit) -> None:
    composed = note(visit())
    found = parsed(render(composed))
    assert found == expected(composed)
    assert len([one for one in found if one[0] == "td"]) == len(composed.cells)


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("mark", ["", "STOP"])
def test_hostile_words_are_words_in_every_place(text: str, mark: str) -> None:
    composed = of(text, "plain", mark=mark)
    assert parsed(render(composed)) == expected(composed)


@settings(deadline=None)
@given(st.lists(WORDS, min_size=1, max_size=4), st.sampled_from(["", "STOP", "OUTSIDE THE CHAIN"]))
def test_any_words_are_words_in_every_place(texts: list[str], mark: str) -> None:
    composed = of(*texts, mark=mark)
    text = render(composed)
    assert parsed(text) == expected(composed)
    assert all(sign == "\n" or sign.isprintable() for sign in text)
    assert text.endswith("\n")
    text.encode("utf-8")


@settings(deadline=None)
@given(WORDS)
def test_no_reader_finds_a_tag_an_address_or_a_reference(text: str) -> None:
    """Not even one that links bare addresses or knows only the oldest escapes."""
    words = inert(text)
    assert "<" not in words
    assert ">" not in words
    assert "|" not in words
    assert not re.search(r"(?<!\\)://", words)
    assert not re.search(r"(www|[a-z])\.[a-z]", words, re.IGNORECASE)
    assert not re.search(r"(?<!\\)[`*_\[\]#@~$^!]", re.sub(r"&#?\w+;", "", words).replace("\\\\", ""))


def test_the_plain_words_of_a_note_stay_plain() -> None:
    """A note is read as it stands, too: what needs no escape gets none."""
    plain = (
        "MB: 35/.04 at length, cut.",
        "Articaine 4 % with epinephrine 1:100,000",
        "09:05 (line 1); tug-back",
        "2.5 mm.",
    )
    for text in plain:
        assert inert(text) == text


def test_a_colon_that_could_make_a_picture_of_a_word_is_escaped() -> None:
    """Some readers make a picture of :smile: and of :100:."""
    assert inert(":smile: :100:") == r"\:smile: \:100:"


def test_the_parser_would_find_what_is_not_inert() -> None:
    """The checks above can fail: the same words unescaped are marks and tags."""
    kinds = {child.type for token in READER.parse("- <b>*a* `b` [c](http://d)") for child in token.children or ()}
    assert {"html_inline", "em_open", "code_inline", "link_open"} <= kinds
    for bare in ("http://example.org", "www.example.org", "example.org", "someone@example.org", "//example.org"):
        assert "link_open" in {child.type for token in READER.parse(bare) for child in token.children or ()}


@pytest.mark.parametrize("place", ["canal", "void", "reason", "heading", "patient", "ending", "incident", "sid"])
def test_a_hostile_field_of_a_session_comes_out_inert(place: str) -> None:
    text = "\n".join(HOSTILE)
    heading = "".join(f"\\U{ord(sign):08x}" for sign in text.replace("\ud800", ""))
    log = Log(
        settings=f'heading = "{heading}"' if place == "heading" else "",
        patient=text if place == "patient" else "4711",
    )
    if place == "canal":
        log.found(1, text)
        log.answer("shaping", 1, file="25/4-0", purpose="cut")
    elif place == "void":
        log.void(text)
    elif place == "reason":
        log.depart("needle_near:1:7", text)
    elif place == "ending":
        log.log(Ending, reason=text, said_by=1)
    elif place == "incident":
        seq = log.incident("shaping", 1)
        log.log(IncidentDetail, of=seq, what=text, values={text: {"kind": "text", "value": text}})
    elif place == "sid":
        log.entries[0] = replace(log.entries[0], sid=text)
    composed = compose(log.case())
    assert any("script" in one.text for one in (*composed.sentences, *composed.cells))
    assert parsed(render(composed)) == expected(composed)


def test_the_command_writes_markdown(tmp_path: Path) -> None:
    session = FOLDER / "plain-single-canal.jsonl"
    command = [sys.executable, "-m", "stepper", "note", str(session), "--as", "markdown"]
    shown = subprocess.run(command, capture_output=True, cwd=ROOT, check=True).stdout
    out = tmp_path / "note.md"
    subprocess.run([*command, "--out", str(out)], capture_output=True, cwd=ROOT, check=True)
    assert out.read_bytes() == shown
    assert shown.startswith(b"# Note of a root canal visit\n")
    assert next(one for one in parsed(shown.decode()) if one[0] == "h2")[2] == "Diagnosis"
    refused = subprocess.run([*command[:-1], "html5"], capture_output=True, cwd=ROOT, check=False)
    assert refused.returncode == 2
    assert b"markdown" in refused.stderr
