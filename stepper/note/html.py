"""A note as HTML: one file that a browser opens by itself and prints on A4.

Whatever a field holds comes out as words. Each sentence and cell carries the numbers of its entries twice: small behind
it for the reader, and in `data-entries` for a program.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from stepper.lines.refusal import visible
from stepper.note.html_page import page
from stepper.note.numbers import shown_numbers
from stepper.note.shape import Note, Picture, Section, Sentence, Table
from stepper.note.vector import words

KEY: Final = (
    "Small numbers in brackets are the entries of the record that a sentence or a cell rests on; "
    "a cell without any rests on those of the first in its row."
)
WIDE_COLUMNS: Final = 7
"""A table of so many columns takes the whole width of a page."""

MANY, SHORT = 9, 44
"""So many lines of a section, none with more letters, stand three to a line."""

WHOLE: Final = 12
"""A cell of no more letters stays on one line."""

_LONG, _PIECE = 18, 8
"""A word of more letters than that can be broken after each so many."""

IN_WORDS: Final = "In words"


def render(note: Note, pictures: Sequence[Picture]) -> str:
    """Write a note as a page with its pictures, which stand before the last section, where it is signed."""
    return page(note.title, "\n".join(_lines(note, pictures)) + "\n")


def _lines(note: Note, pictures: Sequence[Picture]) -> Iterator[str]:
    *sections, last = note.sections
    yield "<main>"
    yield f"<header><h1>{words(note.title)}</h1>"
    yield from _list(note.heads)
    yield f'<p class="key">{KEY}</p></header>'
    yield '<div class="sections">'
    for section in sections:
        yield from _section(section)
    for one in pictures:
        yield from _picture(one)
    yield "</div>"
    yield from _section(last)
    yield "</main>"


def _section(section: Section) -> Iterator[str]:
    yield f"<section{_width(section)}><h2>{words(section.title)}</h2>"
    if section.table is not None:
        yield from _table(section.table)
    yield from _list(section.sentences)
    yield "</section>"


def _width(section: Section) -> str:
    """Say what does not go into one of two columns: a table too wide for it, and many short lines, which take three."""
    lengths = [len(one.marked) for one in section.sentences]
    if section.table is not None and len(section.table.columns) >= WIDE_COLUMNS:
        return ' class="wide"'
    return ' class="wide short"' if len(lengths) >= MANY and max(lengths) <= SHORT else ""


def _list(sentences: Sequence[Sentence]) -> Iterator[str]:
    if sentences:
        yield "<ul>"
        yield from (f"<li{_data(one)}>{_said(one)}</li>" for one in sentences)
        yield "</ul>"


def _table(table: Table) -> Iterator[str]:
    heads = "".join(f'<th scope="col">{words(column)}</th>' for column in table.columns)
    yield f"<table><thead><tr>{heads}</tr></thead><tbody>"
    for first, *rest in table.rows:
        cells = "".join(f"<td{_whole(one)}{_data(one)}>{_said(one, first.entries)}</td>" for one in rest)
        yield f'<tr><th scope="row"{_data(first)}>{_said(first)}</th>{cells}</tr>'
    yield "</tbody></table>"


def _whole(cell: Sentence) -> str:
    """Keep a figure and its unit on one line."""
    return ' class="whole"' if len(cell.marked) <= WHOLE else ""


def _picture(one: Picture) -> Iterator[str]:
    """Give a picture and, to be opened beneath it, what it shows in words."""
    yield f"<figure>{one.svg}"
    yield f"<figcaption><details><summary>{IN_WORDS}</summary><p{_data(one.told)}>{_said(one.told)}</p></details>"
    yield "</figcaption></figure>"


def _said(one: Sentence, known: tuple[int, ...] = ()) -> str:
    """Give words with their mark before them, and behind them the entries, but for those known from the row."""
    mark = f"<strong>{words(one.mark)}:</strong> " if one.mark else ""
    numbers = shown_numbers(one) if one.entries != known else ""
    return f"{mark}{_words(one.text)}" + (f' <span class="from">[{numbers}]</span>' if numbers else "")


def _words(text: str) -> str:
    """Write words; one that may be too long for its line can go on in the next."""
    return " ".join("<wbr>".join(map(words, _pieces(word))) for word in visible(text).split(" "))


def _pieces(word: str) -> list[str]:
    return [word[at : at + _PIECE] for at in range(0, len(word), _PIECE)] if len(word) > _LONG else [word]


def _data(one: Sentence) -> str:
    return f' data-entries="{" ".join(map(str, one.entries))}"'
