"""The sheet for the patient as one HTML file of its own: no script, nothing from outside, every word escaped."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator
from html import escape

from stepper.lines.refusal import visible
from stepper.note.shape import Note

_STYLE = """
@page { size: A4; margin: 18mm; }
body { margin: 2rem auto; max-width: 38rem; padding: 0 1rem; color: #000; background: #fff;
  font: 1.15rem/1.5 sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 1.7rem; line-height: 1.2; }
h2 { font-size: 1.25rem; margin: 1.4rem 0 0.3rem; break-after: avoid; }
ul { margin: 0; padding-left: 1.3rem; }
li { margin: 0.2rem 0; break-inside: avoid; }
p { margin: 0.1rem 0; }
strong { border: 2px solid #000; padding: 0 0.3rem; }
@media print { body { margin: 0; max-width: none; padding: 0; font-size: 12pt; } }
"""
_HASH = base64.b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()
_POLICY = f"default-src 'none'; style-src 'sha256-{_HASH}'; base-uri 'none'; form-action 'none'"


def render(note: Note) -> str:
    """Write the sheet as a page that ends with a newline; signs without a shape of their own are spelt out."""
    return "\n".join(_lines(note)) + "\n"


def _lines(note: Note) -> Iterator[str]:
    yield "<!DOCTYPE html>"
    yield '<html lang="en">'
    yield "<head>"
    yield '<meta charset="utf-8">'
    yield f'<meta http-equiv="Content-Security-Policy" content="{escape(_POLICY)}">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{_words(note.title)}</title>"
    yield f"<style>{_STYLE}</style>"
    yield "</head>"
    yield "<body>"
    yield f"<h1>{_words(note.title)}</h1>"
    for one in note.heads:
        yield f"<p>{_marked(one.mark)}{_words(one.text)}</p>"
    for section in note.sections:
        yield f"<h2>{_words(section.title)}</h2>"
        yield "<ul>"
        yield from (f"<li>{_marked(one.mark)}{_words(one.text)}</li>" for one in section.sentences)
        yield "</ul>"
    yield "</body>"
    yield "</html>"


def _words(text: str) -> str:
    return escape(visible(text), quote=True)


def _marked(mark: str) -> str:
    return f"<strong>{_words(mark)}</strong> " if mark else ""
