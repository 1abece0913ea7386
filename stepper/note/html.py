"""A note as HTML: one file that a browser opens by itself and prints on A4.

Whatever a field holds comes out as words. Each sentence and cell carries the numbers of its entries twice: small behind
it for the reader, and in `data-entries` for a program.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from stepper.note.html_page import page
from stepper.note.numbers import shown_numbers
from stepper.note.shape import Note, Picture, Section, Sentence, Table
from stepper.note.vector import words

KEY: Final = "Small numbers in brackets are the entries of the record that a sentence or a cell rests on."
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
    yield "</div>"
    if pictures:
        yield '<div class="pictures">'
        for one in pictures:
            yield from _picture(one)
        yield "</div>"
    yield from _section(last)
    yield "</main>"


def _section(section: Section) -> Iterator[str]:
    yield f"<section><h2>{words(section.title)}</h2>"
    if section.table is not None:
        yield from _table(section.table)
    yield from _list(section.sentences)
    yield "</section>"


def _list(sentences: Sequence[Sentence]) -> Iterator[str]:
    if sentences:
        yield "<ul>"
        yield from (f"<li{_data(one)}>{_said(one)}</li>" for one in sentences)
        yield "</ul>"


def _table(table: Table) -> Iterator[str]:
    heads = "".join(f'<th scope="col">{words(column)}</th>' for column in table.columns)
    yield f"<table><thead><tr>{heads}</tr></thead><tbody>"
    for first, *rest in table.rows:
        cells = "".join(f"<td{_data(one)}>{_said(one)}</td>" for one in rest)
        yield f'<tr><th scope="row"{_data(first)}>{_said(first)}</th>{cells}</tr>'
    yield "</tbody></table>"


def _picture(one: Picture) -> Iterator[str]:
    """Give a picture and, to be opened beneath it, what it shows in words."""
    yield f"<figure>{one.svg}"
    yield f"<figcaption><details><summary>{IN_WORDS}</summary><p{_data(one.told)}>{_said(one.told)}</p></details>"
    yield "</figcaption></figure>"


def _said(one: Sentence) -> str:
    mark = f"<strong>{words(one.mark)}:</strong> " if one.mark else ""
    numbers = shown_numbers(one)
    return f"{mark}{words(one.text)}" + (f' <span class="from">[{numbers}]</span>' if numbers else "")


def _data(one: Sentence) -> str:
    return f' data-entries="{" ".join(map(str, one.entries))}"'
