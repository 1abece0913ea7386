"""A note as plain text, 80 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from stepper.lines.refusal import visible
from stepper.note.columns import laid_out
from stepper.note.shape import Note, Sentence

WIDTH = 80


def render(note: Note) -> str:
    """Write a note as text that ends with a newline; signs without a shape of their own are spelt out."""
    return "\n".join(_lines(note)) + "\n"


def _lines(note: Note) -> Iterator[str]:
    yield from _title(note.title.upper(), "=")
    for sentence in note.heads:
        yield from _wrapped(sentence, "")
    for section in note.sections:
        yield ""
        yield from _title(section.title.upper(), "-")
        if section.table is not None:
            cells = [[visible(cell.marked) for cell in row] for row in section.table.rows]
            yield from laid_out(section.table.columns, cells, WIDTH)
            yield from [""] if section.sentences else []
        for sentence in section.sentences:
            yield from _wrapped(sentence, "- ")


def _title(text: str, line: str) -> Iterator[str]:
    lines = textwrap.wrap(visible(text), WIDTH)
    yield from lines
    yield line * max((len(one) for one in lines), default=1)


def _wrapped(sentence: Sentence, bullet: str) -> list[str]:
    return textwrap.wrap(
        visible(sentence.marked), WIDTH, initial_indent=bullet, subsequent_indent="  ", break_on_hyphens=False
    )
