"""The note by pages, each line with the entries that it came from; from an entry one comes to its lines."""

from __future__ import annotations

import textwrap

from stepper.case.state import Case
from stepper.note.compose import compose
from stepper.note.noted import NotedLine, about, noted
from stepper.session.pages import PagedText
from stepper.session.view import NoteLine, Page

ROW = 80
LEGEND = "Enter next page  - page back  40 lines of entry 40  * close  / menu"


def note_lines(case: Case, entry: int) -> tuple[NoteLine, ...]:
    """Give the note of a case for beside it; lines that came from an entry are `here`."""
    return _marked(noted(case, compose(case)), entry)


class NotePage:
    """A page of the note as it stood at an entry; opened where the first line stands that came from it."""

    legend = LEGEND

    def __init__(self, case: Case, height: int) -> None:
        self._lines = noted(case, compose(case))
        self._title = f"The note as it stood at entry {len(case.entries) - 1}"
        self._height = height
        self._text = PagedText(self._title, (), height)
        self.find(len(case.entries) - 1)

    def find(self, entry: int) -> int:
        """Mark the lines that came from an entry and open the page of the first; tell how many there are."""
        rows: list[str] = []
        starts: list[int] = []
        for line in _marked(self._lines, entry):
            starts.append(len(rows))
            rows += _rows(line)
        self._text = PagedText(self._title, tuple(rows), self._height)
        found = about(self._lines, entry)
        if found:
            self._text.open_at(starts[found[0]])
        return len(found)

    def fit(self, height: int) -> None:
        """Share the rows out anew."""
        self._height = height
        self._text.fit(height)

    def turn(self, by: int) -> bool:
        """Turn so many pages; tell whether there was such a page."""
        return self._text.turn(by)

    def page(self) -> Page:
        """Give the page that is open."""
        return self._text.page()


def _marked(lines: tuple[NotedLine, ...], entry: int) -> tuple[NoteLine, ...]:
    here = set(about(lines, entry))
    return tuple(NoteLine(one.traced, one.title, at in here, one.corrected) for at, one in enumerate(lines))


def _rows(line: NoteLine) -> list[str]:
    if line.title:
        return ["", f"  {line.text.upper()}"]
    return textwrap.wrap(
        line.text, ROW, initial_indent=f"{line.sign} ", subsequent_indent="    ", break_on_hyphens=False
    )
