"""A note as Markdown: CommonMark, with tables as GitHub Flavored Markdown has them.

Whatever a field holds comes out as words: each sign that could begin a mark, a tag, a link or an entity is written so
that no reader takes it for one. Escapes are those of CommonMark 0.31, sections 2.4 and 2.5.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepper.lines.refusal import visible
from stepper.note.shape import Note, Section, Sentence, Table

_ENTITIES = {"&": "&amp;", "<": "&lt;", ">": "&gt;", "|": "&#124;"}
"""By name or number, since an older reader knows no backslash before them, and a table is cut at every `|`."""

_SIGNS = re.compile(r"[\\`*_{}\[\]#~!$^@]")
_ADDRESS = re.compile(r"(?<!\d):(?=\S)|:(?=[^\s\d])|(?<=[^\W\d])\.(?=\S)|(?<=\S)\.(?=[^\W\d])|(?<=/)/")
"""What could make an address of a word, for a reader that links bare ones: a colon, dot or second slash inside it.

Those of a time, a figure and a taper (09:05, 1:100,000, 20.5, 35/.04) could not.
"""

_MARKER = re.compile(r"^(\d*)([-+.)])")
"""What would open a list in a list, or a rule across the page."""


def render(note: Note) -> str:
    """Write a note as Markdown that ends with a newline; each sentence stands on one line."""
    return "\n".join(_lines(note)) + "\n"


def _lines(note: Note) -> Iterator[str]:
    yield f"# {inert(note.title)}"
    yield ""
    yield from _list(note.heads)
    for section in note.sections:
        yield from ("", f"## {inert(section.title)}")
        yield from _section(section)


def _section(section: Section) -> Iterator[str]:
    if section.table is not None:
        yield ""
        yield from _table(section.table)
    if section.sentences:
        yield ""
        yield from _list(section.sentences)


def _list(sentences: tuple[Sentence, ...]) -> Iterator[str]:
    yield from (f"- {_MARKER.sub(_escaped, _marked(sentence))}" for sentence in sentences)


def _escaped(found: re.Match[str]) -> str:
    return f"{found[1]}\\{found[2]}"


def _table(table: Table) -> Iterator[str]:
    yield _row(tuple(inert(column) for column in table.columns))
    yield _row(("---",) * len(table.columns))
    yield from (_row(tuple(_marked(cell) for cell in row)) for row in table.rows)


def _row(cells: tuple[str, ...]) -> str:
    return f"| {' | '.join(cells)} |"


def _marked(sentence: Sentence) -> str:
    return f"**{inert(sentence.mark)}:** {inert(sentence.text)}" if sentence.mark else inert(sentence.text)


def inert(text: str) -> str:
    """Write words so that they are read as nothing else: on one line, with every sign shown."""
    words = visible(text).strip()
    words = _SIGNS.sub(r"\\\g<0>", words)
    words = "".join(_ENTITIES.get(sign, sign) for sign in words)
    return _ADDRESS.sub(r"\\\g<0>", words)
