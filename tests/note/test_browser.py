"""The HTML note in a real browser: it shows what was composed, runs nothing and prints on two pages."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from stepper.note.compose import compose
from stepper.note.html import render
from stepper.note.pictures import pictures
from stepper.note.shape import Note, Section, Sentence
from stepper.session.store import read_case
from tests.note.browser import NEEDED, found, opened, printed
from tests.note.html_reading import expected, parsed
from tests.note.test_html import HOSTILE_HERE
from tests.note.test_markdown import of
from tests.samples import FOLDER

FOUR = "four-canals-interleaved"
TAKEN = "taken over"


def written(tmp_path: Path, text: str) -> Path:
    page = tmp_path / "note.html"
    page.write_text(text, encoding="utf-8")
    return page


def sample(name: str) -> tuple[str, Note, tuple]:
    _, case, fault = read_case(FOLDER / f"{name}.jsonl")
    assert case is not None, fault
    composed, drawn = compose(case), pictures(case)
    return render(composed, drawn), composed, drawn


def test_a_browser_shows_every_sentence_and_every_picture(tmp_path: Path) -> None:
    text, composed, drawn = sample(FOUR)
    shown = opened(written(tmp_path, text), tmp_path)
    page = parsed(shown.document)
    assert page.pieces == expected(composed, drawn)
    assert page.svgs == len(drawn) == 5
    assert shown.console == []


def test_nothing_that_stands_in_a_field_is_run(tmp_path: Path) -> None:
    """Each of these would set the title of the document, were it markup; a browser says what it then is."""
    act = f"document.title='{TAKEN}'"
    attacks = [
        f"<script>{act}</script>",
        f"</title><script>{act}</script>",
        f"</style><script>{act}</script>",
        f'<img src=x onerror="{act}">',
        f'<svg onload="{act}"><circle/></svg>',
        f'" onload="{act}" x="',
        f'<iframe srcdoc="<script>parent.{act}</script>"></iframe>',
        f'<a href="javascript:{act}" autofocus onfocus="{act}">x</a>',
        *HOSTILE_HERE,
    ]
    said = tuple(Sentence(one, (0,), one) for one in attacks)
    composed = Note(attacks[1], said, (*(of(one).sections[0] for one in attacks), Section(attacks[2], said)))
    shown = opened(written(tmp_path, render(composed, ())), tmp_path)
    page = parsed(shown.document)
    assert page.title == attacks[1]
    assert page.pieces == expected(composed)
    assert shown.console == []


def test_a_browser_would_run_it_were_it_not_inert(tmp_path: Path) -> None:
    """The check above can fail: the same page with a script in it, and without its policy, has another title."""
    script = f"<script>document.title='{TAKEN}'</script>"
    text = render(of("PLACE"), ()).replace("PLACE", script, 1)
    guarded = opened(written(tmp_path, text), tmp_path)
    assert parsed(guarded.document, strict=False).title == "A title"
    assert "Content Security Policy" in " ".join(guarded.console)
    bare = re.sub(r"<meta http-equiv[^>]*>", "", text)
    assert parsed(opened(written(tmp_path, bare), tmp_path).document, strict=False).title == TAKEN


def test_a_visit_of_four_canals_prints_on_two_pages_at_most(tmp_path: Path) -> None:
    text, composed, _ = sample(FOUR)
    pages = PdfReader(printed(written(tmp_path, text), tmp_path)).pages
    assert len(pages) <= 2
    assert [round(float(side) / 72 * 25.4) for side in (pages[0].mediabox.width, pages[0].mediabox.height)] == [
        210,
        297,
    ]
    shown = "".join("".join(page.extract_text() for page in pages).split())
    missing = [one.text for one in (*composed.sentences, *composed.cells) if "".join(one.text.split()) not in shown]
    assert missing == []
    assert "Wherethetimewent" in shown
    assert "belowmmwide" in shown


def test_where_a_browser_is_needed_its_lack_is_a_failure(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv(NEEDED, raising=False)
    with pytest.raises(pytest.skip.Exception, match="no browser is installed"):
        found()
    monkeypatch.setenv(NEEDED, "1")
    with pytest.raises(pytest.fail.Exception, match="no browser is installed"):
        found()
