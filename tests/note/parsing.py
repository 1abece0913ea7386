"""A Markdown note read back by an independent parser, beside what the composed note says it should hold.

markdown-it-py follows CommonMark; its table rule follows GitHub Flavored Markdown. It also links bare addresses here,
as many readers do.
"""

from __future__ import annotations

from markdown_it import MarkdownIt
from markdown_it.token import Token

from stepper.lines.refusal import visible
from stepper.note.shape import Note, Sentence

READER = MarkdownIt("commonmark", {"linkify": True}).enable(["table", "strikethrough", "linkify"])
BLOCKS = {"heading", "bullet_list", "list_item", "paragraph", "table", "thead", "tbody", "tr", "th", "td"}
INLINE = {"text", "strong_open", "strong_close"}

Piece = tuple[str, str, str]
"""What it stands in (h1, h2, li, th, td), the bold words before it, and its words."""


def expected(note: Note) -> list[Piece]:
    """What a reader should see, in order."""
    pieces: list[Piece] = [("h1", "", visible(note.title).strip())]
    pieces += [_piece("li", one) for one in note.heads]
    for section in note.sections:
        pieces.append(("h2", "", visible(section.title).strip()))
        if section.table is not None:
            pieces += [("th", "", visible(column).strip()) for column in section.table.columns]
            pieces += [_piece("td", cell) for cell in section.cells]
        pieces += [_piece("li", one) for one in section.sentences]
    return pieces


def parsed(text: str) -> list[Piece]:
    """What the parser makes of a note; fails on anything but headings, flat lists, tables, words and bold marks."""
    found: list[Piece] = []
    place = depth = 0
    inside = ""
    for token in READER.parse(text):
        kind, _, end = token.type.rpartition("_")
        if token.type == "inline":
            found.append((inside, *_words(token)))
            continue
        assert kind in BLOCKS, token
        depth += {"open": 1, "close": -1}[end] if kind == "bullet_list" else 0
        assert depth <= 1, "a list within a list"
        if kind in ("list_item", "heading", "th", "td") and end == "open":
            inside, place = token.tag, len(found)
        elif kind in ("list_item", "heading", "th", "td") and len(found) == place:
            found.append((inside, "", ""))
    return found


def _piece(inside: str, sentence: Sentence) -> Piece:
    mark = f"{visible(sentence.mark).strip()}:" if sentence.mark else ""
    return inside, mark, visible(sentence.text).strip()


def _words(token: Token) -> tuple[str, str]:
    bold, plain, level = "", "", 0
    for child in token.children or ():
        assert child.type in INLINE, child
        level += {"strong_open": 1, "strong_close": -1}.get(child.type, 0)
        if level:
            bold += child.content
        else:
            plain += child.content
    return bold, plain.strip()
