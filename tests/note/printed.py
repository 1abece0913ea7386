"""A PDF read back with pypdf, beside the words that the composed note says it should hold, in order."""

from __future__ import annotations

import datetime as dt
import io
import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from stepper.note.html import KEY
from stepper.note.pdf import Foot, render
from stepper.note.shape import Note, Picture, Sentence

FOOT = Foot("4711", "36", dt.date(2026, 3, 6), "a-session", "ab" * 32, dt.datetime(2026, 3, 6, 9, 7, 5, tzinfo=dt.UTC))


@dataclass(frozen=True)
class Printed:
    """What the pages say, without their feet; `tagged` are the kinds of tag in the file, in reading order."""

    pages: tuple[str, ...]
    feet: tuple[str, ...]
    tagged: tuple[str, ...]
    alternatives: tuple[str, ...]
    reader: PdfReader


def printed(note: Note, pictures: Sequence[Picture] = (), foot: Foot = FOOT) -> Printed:
    return read(render(note, pictures, foot))


def read(data: bytes) -> Printed:
    reader = PdfReader(io.BytesIO(data))
    texts = [page.extract_text() for page in reader.pages]
    found = [re.fullmatch(r"(.*?)(Patient number [^\n]*page \d+ of \d+\s+Session .*)", one, re.DOTALL) for one in texts]
    assert all(found), texts
    tags = list(_tags(reader.trailer["/Root"]["/StructTreeRoot"]["/K"]))
    kinds = tuple(str(one["/S"]) for one in tags)
    alternatives = tuple(str(one["/Alt"]) for one in tags if "/Alt" in one)
    pages, feet = zip(*[one.groups() for one in found if one], strict=True)
    return Printed(pages, tuple(" ".join(one.split()) for one in feet), kinds, alternatives, reader)


def _tags(node: object) -> Iterator[DictionaryObject]:
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        for one in node:
            yield from _tags(one)
    elif isinstance(node, dict) and "/S" in node:
        yield node
        yield from _tags(node.get("/K"))


def pieces(note: Note) -> Iterator[str]:
    """The words of a note, piece by piece in reading order: each with its mark before it and its entries after it."""
    yield note.title
    yield from map(_piece, note.heads)
    yield KEY
    for section in note.sections:
        yield section.title
        if section.table is not None:
            yield from section.table.columns
            for first, *rest in section.table.rows:
                yield _piece(first)
                yield from (_piece(one, known=one.entries == first.entries) for one in rest)
        yield from map(_piece, section.sentences)


def _piece(one: Sentence, *, known: bool = False) -> str:
    entries = "" if one.fixed or known else f" [{entries_of(one)}]"
    return f"{one.mark}: {one.text}{entries}" if one.mark else f"{one.text}{entries}"


def entries_of(one: Sentence) -> str:
    """The entries of a sentence as they are printed: three or more in a row as the first and the last."""
    known = set(one.entries)
    said = []
    for first in sorted(known):
        if first - 1 not in known:
            last = next(number for number in range(first, first + len(known)) if number + 1 not in known)
            said += [f"{first}-{last}"] if last - first >= 2 else [str(number) for number in range(first, last + 1)]
    return ", ".join(said)


def says(found: Printed, note: Note) -> bool:
    """Tell whether the pages say the note's words in order, and nothing else.

    Where and how lines end is left out of it. A sign may be spelt out; the titles of a table's columns may be repeated
    at the head of a page.
    """
    titles = [one.table.columns for one in note.sections if one.table is not None]
    repeated = [_pattern("".join(one)) for one in titles]
    said = "".join(found.pages[:1])
    for page in found.pages[1:]:
        for one in repeated:
            again = re.match(one, _close(page))
            if again and not re.fullmatch(_pattern("".join(pieces(note))), _close(said + page)):
                page = _close(page)[again.end() :]
                break
        said += page
    return re.fullmatch(_pattern("".join(pieces(note))), _close(said)) is not None


def _pattern(text: str) -> str:
    signs = [one for one in unicodedata.normalize("NFC", text) if one != " "]
    return "".join(f"(?:{re.escape(one)}|<U\\+{ord(one):04X}>)" for one in signs)


def _close(text: str) -> str:
    return "".join(text.split()).replace("\u200b", "")
