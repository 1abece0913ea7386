"""The note as PDF, read back with pypdf: its words in order, whatever they are, tagged, and the same everywhere."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from stepper.facts.entries import Ending, IncidentDetail
from stepper.note import pdf
from stepper.note.compose import compose
from stepper.note.outputs import FORMATS, Told, tell
from stepper.note.shape import Note, Section, Sentence, Table
from stepper.session.files import files_of
from stepper.session.store import read_case
from tests.cases import Log, ready
from tests.note.printed import FOOT, pieces, printed, read, says
from tests.note.test_bytes import MACHINES, ROOT, VISITS
from tests.note.test_markdown import HOSTILE as MARKS
from tests.note.test_markdown import of
from tests.note.test_random import log_one
from tests.samples import FOLDER

HOSTILE = [
    '#import "@preview/x:1.0.0": *',
    '#read("/etc/passwd")',
    '#{ panic() } #eval("1") #let x = 1; #x',
    "$ x^2 $ $a",
    "*a* _b_ `c` ```d``` == e",
    "= heading",
    "- item + item / term: words",
    "@label <label> <U+0041>",
    "[content] {code} (array)",
    "\\ \\u{1F600} \\# \\\\",
    "// comment /* comment */",
    "-- --- ... ~ -? 'quoted' \"quoted\"",
    "https://example.org www.example.org",
    '" } ] , \\" \\n',
    "fi ffi fl office",
    "\u4e2d\u6587 \U0001f600 \u05d0\u05d1 \u0627\u0644 \ufb01 \ue000",
    "e\u0301 x\u0301\u0323 \u0301",
    "x" * 300,
    "1" * 90 + " " + "/" * 90,
    *MARKS,
]
SAMPLES = sorted(FOLDER.glob("*.jsonl"))


def told(session: Path) -> Told:
    found, case, fault = read_case(session)
    assert case is not None, fault
    return tell(case, files_of(session, found))


@pytest.mark.parametrize("session", SAMPLES, ids=lambda one: one.stem)
def test_a_sample_says_every_word_of_its_note_and_no_other(session: Path) -> None:
    note = told(session).note
    found = printed(note)
    printed_words, words = "\n".join(found.pages).split(), " ".join(pieces(note)).split()
    assert "".join(printed_words) == "".join(words)
    # a long word, and one behind its hyphen, may go on in the next line
    short = Counter(word for word in words if len(word) < 33 and "-" not in word)
    assert short <= Counter(printed_words)


def test_a_missing_word_would_be_noticed() -> None:
    """What reads the pages back can fail: by one word too few, by two that changed their places."""
    note = of("one", "two", "three")
    assert says(printed(note), note)
    assert not says(printed(note), of("one", "two", "threes"))
    assert not says(printed(note), of("two", "one", "three"))


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data(), st.integers(1, 14))
def test_any_log_is_printed_word_by_word(data: st.DataObject, more: int) -> None:
    log = ready(Log())
    log.answer("diagnosis", complaint="biting")
    for _ in range(more):
        log_one(data.draw, log)
    note = compose(log.case())
    assert says(printed(note), note)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_words_are_words_in_every_place(text: str) -> None:
    note = of(text, "plain", mark="STOP")
    assert says(printed(note), note)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.one_of(st.sampled_from(HOSTILE), st.text(max_size=100)), min_size=1, max_size=4))
def test_any_words_are_words_in_every_place(texts: list[str]) -> None:
    note = of(*texts)
    assert says(printed(note), note)


@pytest.mark.parametrize("place", ["canal", "void", "reason", "heading", "patient", "ending", "incident", "sid"])
def test_a_hostile_field_of_a_session_comes_out_inert(place: str) -> None:
    text = "\n".join(HOSTILE if place != "canal" else HOSTILE[:9])  # a cell goes on behind the next one on a new page
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
    note = compose(log.case())
    assert any("#import" in one.text for one in (*note.sentences, *note.cells))
    assert says(printed(note), note)


@pytest.mark.parametrize(
    "text",
    ["Příliš žluťoučký kůň Łódź ßẞ Đặng", "Καλημέρα Ώρα", "Съешь ещё Їжак Ђорђе", "35 µg ≤ 0,5 mm – „gut“ … ½ € № ™"],
)
def test_letters_of_europe_are_printed_as_they_are(text: str) -> None:
    found = printed(of(text, mark="STOP"))
    assert text.replace(" ", "") in "".join(found.pages[0].split())


@pytest.mark.parametrize(
    ("text", "spelt"),
    [
        ("\u4e2d", "<U+4E2D>"),
        ("\U0001f9b7", "<U+1F9B7>"),
        ("\u05d0", "<U+05D0>"),
        ("\u202e", "<U+202E>"),
        ("x\u0301", "x<U+0301>"),
        ("\x1b[2J", "<U+001B>[2J"),
        ("a\nb", "a<U+000A>b"),
        ("\ud800", "<U+D800>"),
    ],
)
def test_a_sign_that_would_not_be_seen_is_spelt_out(text: str, spelt: str) -> None:
    found = printed(of(text))
    assert "".join(found.pages[0].split()).count(f"{spelt}[0]") == 5


def test_the_fonts_have_a_glyph_for_each_sign_that_is_not_spelt_out() -> None:
    """The standards that the file is held to make an error of a missing glyph, in each weight."""
    signs = [chr(one) for one in range(0x21, 0x3000) if pdf._shown(chr(one)) == chr(one)]
    assert len(signs) > 1100
    words = " ".join(signs)
    found = printed(Note("A title", (Sentence(words, (0,), words),), (Section(words, (Sentence("x", (0,)),)),)))
    assert "".join(found.pages).split()[2:].count("Ω") == 3
    assert all("".join(found.pages).count(one) >= 3 for one in signs)


def test_each_page_says_whose_it_is_and_what_it_was_made_from() -> None:
    note = of(*[f"sentence {one}" for one in range(200)])
    found = printed(note)
    assert len(found.pages) > 3
    for number, foot in enumerate(found.feet, 1):
        whose = f"Patient number 4711, tooth 36, 2026-03-06 page {number} of {len(found.pages)}"
        assert foot == f"{whose} Session a-session, hash of its last entry {'ab' * 32}"


def test_a_table_says_its_columns_again_on_each_page() -> None:
    row = tuple(Sentence(one, (0,)) for one in ("first", "second"))
    table = Table(("Left column", "Right column"), (row,) * 200)
    note = Note("T", (), (Section("Rows", (), table), Section("End", (Sentence("x", (0,)),))))
    found = printed(note)
    assert len(found.pages) > 3
    assert all("Left column Right column" in " ".join(one.split()) for one in found.pages)
    assert says(found, note)


def test_a_row_is_not_torn_apart() -> None:
    cells = (Sentence("words " * 60, (0,)),) * 4
    rows = tuple((Sentence(f"from{at} {'words ' * (20 + at)}to{at}", (0,)), *cells) for at in range(40))
    table = Table(("One", "Two", "Three", "Four", "Five"), rows)
    note = Note("T", (), (Section("Rows", (), table), Section("End", (Sentence("x", (0,)),))))
    pages = [one.split() for one in printed(note).pages]
    assert len(pages) > 5
    for one in range(40):
        assert [f"from{one}" in page for page in pages] == [f"to{one}" in page for page in pages]
    assert all(page.count("words") % 4 == sum(20 + at for at in range(40) if f"to{at}" in page) % 4 for page in pages)


def test_entries_in_a_row_are_printed_as_the_first_and_the_last() -> None:
    said = {(0,): "[0]", (1, 2): "[1, 2]", (1, 2, 3, 5, 7, 8, 9, 10): "[1-3, 5, 7-10]"}
    note = Note("T", (), (Section("S", tuple(Sentence("x", one) for one in said)),))
    found = printed(note).pages[0].replace("\xa0", " ")
    assert found.partition("\nS ")[2].splitlines() == [f"x {one}" for one in said.values()]


def test_a_cell_that_no_page_holds_goes_on_in_the_next() -> None:
    row = (Sentence("word " * 2000, (0,)), Sentence("x", (0,)))
    note = Note("T", (), (Section("Rows", (), Table(("One", "Two"), (row,))), Section("End", (Sentence("x", (0,)),))))
    found = printed(note)
    assert "".join(found.pages).count("word") == 2000
    assert max(one.count("word") for one in found.pages) < 1500


def test_a_short_section_is_not_torn_apart_and_a_long_one_is() -> None:
    sections = [Section(f"S{one}", tuple(Sentence(f"s{one}n{at}", (0,)) for at in range(5))) for one in range(60)]
    endless = Section("Endless", (Sentence("word " * 3000, (0,)),))
    found = printed(Note("T", (), (*sections, endless, sections[0])))
    pages = [one.split() for one in found.pages]
    for one in range(1, 60):
        assert [f"s{one}n0" in page for page in pages] == [f"s{one}n4" in page for page in pages]
    assert "".join(found.pages).count("word") == 3000
    assert max(one.count("word") for one in found.pages) < 1500


def test_a_word_too_long_for_its_line_goes_on_in_the_next() -> None:
    cells = tuple(Sentence(sign * 24, (0,), sign.upper() * 24) for sign in "cde")
    table = Table(tuple(sign * 24 for sign in "tuvwxy"), (cells * 2,))
    section = Section("s" * 24, (Sentence("i" * 400, (0,)), Sentence("\u4e2d" * 80, (0,))), table)
    end = Section("End", (Sentence("z", (0,)),))
    found = printed(Note("T", (Sentence("h" * 400, (0,)),), (section, end)))
    lines = [one for one in found.pages[0].splitlines() if "entries" not in one]  # what the small numbers are
    widest = {sign: max(line.count(sign) for line in lines) for sign in "hsicdeCDEtuvwxy"}
    assert widest["s"] <= 16
    assert max(widest[sign] for sign in "cdeCDEtuvwxy") <= 16
    assert 32 < widest["i"] <= 180
    assert 32 < widest["h"] <= 110
    assert max(line.count("<U+4E2D>") for line in lines) <= 11


def test_it_is_tagged_for_who_has_it_read_aloud() -> None:
    found = printed(told(FOLDER / "four-canals-interleaved.jsonl").note)
    root = found.reader.trailer["/Root"]
    assert root["/Lang"].startswith("en")
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert found.reader.metadata.title == "Note of a root canal visit"
    assert {"/H1", "/Table", "/TH", "/TD", "/L", "/LI"} <= set(found.tagged)
    assert found.tagged.count("/TH") == 7 + 6
    xmp = root["/Metadata"].get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in xmp
    assert "<pdfaid:part>2</pdfaid:part>" in xmp
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in xmp


def test_its_date_is_that_of_the_last_entry() -> None:
    session = FOLDER / "four-canals-interleaved.jsonl"
    of_session = told(session)
    last = of_session.case.entries[-1].t
    found = read(FORMATS["pdf"](of_session))
    assert found.reader.metadata.creation_date == last.replace(microsecond=0)
    assert found.feet[0].endswith(
        f"Session four-canals-interleaved, hash of its last entry {of_session.files[-1].head}"
    )
    assert found.feet[0].startswith("Patient number 70318, tooth 36, 2026-03-06 page 1")


CODE = "from tests.note.test_pdf import digests\nprint(*digests())"


def digests() -> list[str]:
    """The hash of each visit's note as PDF."""
    return [hashlib.sha256(pdf.render(compose(visit().case()), (), FOOT)).hexdigest() for visit in VISITS]


@pytest.mark.parametrize(("zone", "place", "seed"), MACHINES)
def test_every_machine_writes_the_same_bytes(zone: str, place: str, seed: str, tmp_path: Path) -> None:
    there = os.environ | {"TZ": zone, "LC_ALL": place, "LANG": place, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)}
    ran = subprocess.run(
        [sys.executable, "-c", CODE], cwd=tmp_path, env=there, capture_output=True, text=True, check=True
    )
    assert ran.stdout.split() == digests()
