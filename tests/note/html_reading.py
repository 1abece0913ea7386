"""An HTML note read back by the parser of the standard library, beside what the composed note says it should hold."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

from stepper.lines.refusal import visible
from stepper.note.html import IN_WORDS, KEY
from stepper.note.numbers import shown_numbers
from stepper.note.shape import Note, Picture, Sentence

VOID = {"meta", "wbr"}
ALLOWED = {
    *("html", "head", "meta", "title", "style", "body", "main", "header", "h1", "h2", "div", "section", "p", "ul"),
    *("li", "table", "thead", "tbody", "tr", "th", "td", "strong", "span", "figure", "figcaption", "details"),
    *("summary", "wbr"),
}
OF_SVG = {"svg", "g", "path", "circle", "text", "title", "desc"}
ATTRIBUTES = {
    *("lang", "charset", "http-equiv", "content", "name", "class", "scope", "data-entries"),
}
OF_SVG_ATTRIBUTES = {
    *("xmlns", "width", "height", "viewbox", "role", "aria-label", "font-family", "fill", "data-part", "d", "stroke"),
    *("stroke-width", "stroke-dasharray", "cx", "cy", "r", "x", "y", "font-size", "font-weight", "text-anchor"),
}

Piece = tuple[str, str, str, str, str]
"""What it stands in, the bold words before it, its words, the entries in its data, the numbers shown behind it."""


def expected(note: Note, pictures: tuple[Picture, ...] = ()) -> list[Piece]:
    """What a reader should see, in order."""
    pieces = [_titled("h1", note.title), *(_piece("li", one) for one in note.heads), _titled("p", KEY)]
    for section in note.sections:
        if section is note.sections[-1]:
            pieces += [_pictured(one) for one in pictures]
        pieces.append(_titled("h2", section.title))
        if section.table is not None:
            pieces += [_titled("th col", column) for column in section.table.columns]
            for first, *rest in section.table.rows:
                pieces.append(_piece("th row", first))
                pieces += [_piece("td", one, shown=one.entries != first.entries) for one in rest]
        pieces += [_piece("li", one) for one in section.sentences]
    return pieces


def _titled(inside: str, text: str) -> Piece:
    return inside, "", visible(text), "", ""


def _piece(inside: str, one: Sentence, *, shown: bool = True) -> Piece:
    mark = f"{visible(one.mark)}:" if one.mark else ""
    numbers = shown_numbers(one) if shown else ""
    return inside, mark, visible(one.text), " ".join(map(str, one.entries)), f"[{numbers}]" if numbers else ""


def _pictured(one: Picture) -> Piece:
    return _piece("p", one.told)


@dataclass
class _Open:
    inside: str
    entries: str
    mark: str = ""
    text: str = ""
    numbers: str = ""

    def piece(self) -> Piece:
        text = self.text[1:] if self.mark else self.text
        return self.inside, self.mark, text.removesuffix(" ") if self.numbers else text, self.entries, self.numbers


@dataclass
class _Page(HTMLParser):
    pieces: list[Piece] = field(default_factory=list)
    stack: list[str] = field(default_factory=list)
    svgs: int = 0
    title: str = ""
    style: str = ""
    policy: str = ""
    scripts: int = 0
    strict: bool = True
    _now: _Open | None = None

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        known = dict(attrs)
        in_svg = tag == "svg" or "svg" in self.stack
        if self.strict:
            assert tag in (OF_SVG if in_svg else ALLOWED), tag
            assert set(known) <= (OF_SVG_ATTRIBUTES if in_svg else ATTRIBUTES), known
        self.scripts += tag == "script"
        self.svgs += tag == "svg"
        if known.get("http-equiv") == "Content-Security-Policy":
            self.policy = known["content"] or ""
        if tag in ("h1", "h2", "li", "th", "td", "p") and not in_svg:
            assert self._now is None, f"{tag} inside {self.stack}"
            scope = f" {known['scope']}" if "scope" in known else ""
            self._now = _Open(tag + scope, known.get("data-entries") or "")
        if tag not in VOID:
            self.stack.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.stack.pop() == tag
        if self._now is not None and self._now.inside.split()[0] == tag and "svg" not in self.stack:
            self.pieces.append(self._now.piece())
            self._now = None

    def handle_data(self, data: str) -> None:
        inner = self.stack[-1] if self.stack else ""
        if "svg" in self.stack:
            return
        if inner == "title":
            self.title += data
        elif inner == "style":
            self.style += data
        elif self._now is not None and inner == "strong":
            self._now.mark += data
        elif self._now is not None and inner == "span":
            self._now.numbers += data
        elif self._now is not None:
            self._now.text += data
        else:
            assert not data.strip() or (inner, data) == ("summary", IN_WORDS), (inner, data)

    def handle_comment(self, data: str) -> None:
        raise AssertionError(f"a comment: {data}")

    def handle_pi(self, data: str) -> None:
        raise AssertionError(f"an instruction: {data}")

    def unknown_decl(self, data: str) -> None:
        raise AssertionError(f"a declaration: {data}")


def parsed(text: str, *, strict: bool = True) -> _Page:
    """Read a page; fails on any element or attribute that a note has no need of, and on words that stand nowhere."""
    page = _Page(strict=strict)
    page.feed(text)
    page.close()
    assert page.stack == []
    return page
