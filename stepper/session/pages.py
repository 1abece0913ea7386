"""A text that is read by pages."""

from __future__ import annotations

from stepper.session.view import Page

LEAST_ROWS = 18
"""Rows of a page on the smallest screen."""


class PagedText:
    """The rows of a text and the page that is open. A page ends at a blank row where one is near its foot."""

    legend = "Enter next page  - page back  * close  / menu"

    def __init__(self, title: str, rows: tuple[str, ...], height: int) -> None:
        self._title = title
        self._rows = rows
        self._starts = _starts(rows, height)
        self._open = 0

    def fit(self, height: int) -> None:
        """Share the rows out anew; what stood at the head of the page stays in sight."""
        top = self._starts[self._open]
        self._starts = _starts(self._rows, height)
        self.open_at(top)

    def open_at(self, row: int) -> None:
        """Open the page on which a row stands."""
        self._open = max(index for index, start in enumerate(self._starts) if start <= row)

    def turn(self, by: int) -> bool:
        """Turn so many pages on or back; tell whether there was such a page."""
        to = self._open + by
        if not 0 <= to < len(self._starts):
            return False
        self._open = to
        return True

    def page(self) -> Page:
        """Give the page that is open."""
        ends = [*self._starts[1:], len(self._rows)]
        rows = self._rows[self._starts[self._open] : ends[self._open]]
        return Page(self._title, rows, self._open + 1, len(self._starts))


def _starts(rows: tuple[str, ...], height: int) -> list[int]:
    """Tell at which rows the pages begin."""
    starts, height = [0], max(height, 1)
    while starts[-1] + height < len(rows):
        begin, end = starts[-1], starts[-1] + height
        blanks = (row for row in range(end - 1, begin + height * 2 // 3 - 1, -1) if not rows[row].strip())
        starts.append(next(blanks, end - 1) + 1)
    return starts
