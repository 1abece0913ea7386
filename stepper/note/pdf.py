"""A note as PDF: A4, with its fonts inside, and tagged for who has it read aloud.

The compiler gets a template of our own, which never changes, and the note as data, so that no word of a note is read
as markup or code. It has no file, no address and no font but what is handed over here and what it brings along.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import Final
from xml.sax.saxutils import escape

import typst

from stepper.note.html import KEY
from stepper.note.numbers import shown_numbers
from stepper.note.shape import Note, Picture, Section, Sentence

_STANDARDS: Final[list[typst.PDFStandard]] = ["a-2a", "ua-1"]
"""PDF/A-2a, for a file that is kept for long, and PDF/UA-1, for who cannot see it. What breaks one is an error."""

_UNSHAPED: Final = re.compile(
    "[^"
    "\u0020-\u007e\u00a1-\u00ac\u00ae-\u023f\u0250-\u02af"  # Latin with its signs, and of phonetics
    "\u0384-\u038a\u038c\u038e-\u03a1\u03a3-\u03ce"  # Greek
    "\u0400-\u045f\u0490-\u04c4\u1e00-\u1e9b\u1e9e\u1ea0-\u1ef9"  # Cyrillic; Latin with two marks
    "\u2010-\u2027\u2030-\u2037\u2039-\u203e\u2044\u2070\u2071\u2074-\u208e"  # Punctuation, raised and lowered figures
    "\u20ab\u20ac\u2103\u2116\u2122\u2126\u2153-\u215e"  # Currencies, units, fractions
    "\u2190-\u219b\u2200-\u220d\u220f-\u221c\u221e\u2248\u2260\u2264\u2265\u25a0\u25a1"  # Arrows, sums, shapes
    "]"
)
"""Signs that the font of the page and the drawings may have no glyph for in each weight, or written from the right."""

_NOT_ASCII: Final = re.compile(r"[^\x00-\x7f]+")

_LONG: Final = re.compile(r"\S{33,}")
_LONG_IN_TITLE: Final = re.compile(r"\S{17,}")
_LONG_IN_CELL: Final = re.compile(r"\S{14,}")
_LONGEST: Final = re.compile(r"\S{81,}")
"""Words that may not fit into a line: of sentences, of titles, of cells, and of the small line at the foot."""

_LINE: Final = 90
_SHORT: Final = 1500
"""Characters in a line, and in a section that surely fits on a page and is kept in one piece."""

_LOW: Final = 400
"""Characters in a cell that surely fits on a page; the rows of a table of such cells are not torn apart."""

_MANY: Final = 8
_HALF_A_LINE: Final = 44
"""From how many sentences on, none of them longer than this, a section has two of them in a line."""

_PIECE: Final = re.compile(r"<U\+[0-9A-F]{4,6}>|[^<]{1,8}|<")
_CUT: Final = "\u200b"
"""What a long word is cut into, a sign that is spelt out being left whole; and a sign that no shown word can hold."""


@dataclass(frozen=True, slots=True)
class Foot:
    """What stands at the foot of each page, since pages come apart: whose visit it is, and what the note was made from.

    `head` is the hash of the last entry, `last` its time: the file says that it was written then, by no other clock.
    """

    patient: str
    tooth: str
    day: dt.date
    session: str
    head: str
    last: dt.datetime


def render(note: Note, pictures: Sequence[Picture], foot: Foot) -> bytes:
    """Write a note as PDF, with its pictures; the same note gives the same words, whatever the machine."""
    given = {
        "main.typ": files(__package__).joinpath("note.typ").read_bytes(),
        "note.json": json.dumps(_told(note, pictures, foot)).encode(),
        **{_file(place): _drawable(one.svg).encode() for place, one in enumerate(pictures)},
    }
    # What the library says of its types does not know of files by name, which it takes.
    written: bytes = typst.compile(  # type: ignore[call-overload]
        given, format="pdf", ignore_system_fonts=True, pdf_standards=_STANDARDS
    )
    return written


def _told(note: Note, pictures: Sequence[Picture], foot: Foot) -> Mapping[str, object]:
    *sections, last = map(_section, note.sections)
    return {
        "title": _words(note.title),
        "key": _words(KEY),
        "heads": [_sentence(one) for one in note.heads],
        "sections": sections,
        "pictures": [_picture(place, one) for place, one in enumerate(pictures)],
        "last": last,
        "whose": _words(f"Patient number {foot.patient}, tooth {foot.tooth}, {foot.day.isoformat()}"),
        "session": _words(f"Session {foot.session}, hash of its last entry {foot.head}", _LONGEST),
        "written": _moment(foot.last),
    }


def _section(section: Section) -> Mapping[str, object]:
    table = section.table
    lengths = [len(one.marked) for one in section.sentences]
    return {
        "short": sum(_LINE + len(one.marked) for one in (*section.sentences, *section.cells)) < _SHORT,
        "low": all(len(one.marked) < _LOW for one in section.cells),
        "paired": len(lengths) >= _MANY and max(lengths) <= _HALF_A_LINE,
        "title": _words(section.title, _LONG_IN_TITLE),
        "columns": [_words(one, _LONG_IN_CELL) for one in table.columns] if table is not None else [],
        "rows": [list(_cells(row)) for row in table.rows] if table is not None else [],
        "sentences": [_sentence(one) for one in section.sentences],
    }


def _picture(place: int, one: Picture) -> Mapping[str, object]:
    return {"file": _file(place), "entries": _numbers(one.told), "told": _shown(one.told.marked)}


def _drawable(svg: str) -> str:
    """Write a drawing with each sign of its words seen; its marks are of ASCII and stay as they are."""
    return _NOT_ASCII.sub(lambda found: escape(_shown(found[0])), svg)


def _file(place: int) -> str:
    return f"picture-{place}.svg"


def _sentence(one: Sentence, long: re.Pattern[str] = _LONG) -> dict[str, object]:
    return {"before": _words(one.mark, long), "text": _words(one.text, long), "entries": _numbers(one)}


def _cells(row: Sequence[Sentence]) -> Iterator[Mapping[str, object]]:
    """Give a row, its cells without the entries that its first one names already."""
    for place, cell in enumerate(row):
        known = row[0].entries if place else ()
        yield _sentence(cell, _LONG_IN_CELL) | ({"entries": ""} if cell.entries == known else {})


def _numbers(one: Sentence) -> str:
    numbers = shown_numbers(one)
    return f"[{numbers}]" if numbers else ""


def _moment(time: dt.datetime) -> Mapping[str, int]:
    return {part: getattr(time, part) for part in ("year", "month", "day", "hour", "minute", "second")}


def _words(text: str, long: re.Pattern[str] = _LONG) -> Sequence[str]:
    """Write words so that each sign is seen, in pieces wherever one could be too long for its line."""
    return long.sub(_in_pieces, _shown(text).strip()).split(_CUT)


def _in_pieces(found: re.Match[str]) -> str:
    return _CUT.join(_PIECE.findall(found[0]))


def _shown(text: str) -> str:
    """Write words so that each sign is seen: what has no glyph or no shape is spelt out, as text and Markdown do it.

    A letter and its marks are first put into one sign, where there is one: a mark alone would be left out or misplaced.
    """
    return _UNSHAPED.sub(_spelt, unicodedata.normalize("NFC", text))


def _spelt(found: re.Match[str]) -> str:
    return f"<U+{ord(found[0]):04X}>"
