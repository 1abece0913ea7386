"""One sheet of rows. Showing new rows repaints only those that differ and never asks for a layout."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from stepper.screens.ascii_signs import in_ascii
from stepper.screens.clock_cells import Cells, spliced


class Paper(Widget, can_focus=False):
    """The rows of the screen, painted as they are."""

    DEFAULT_CSS = """
    Paper { width: 100%; height: 100%; }
    """

    def __init__(self, *, utf8: bool = True) -> None:
        super().__init__()
        self._utf8 = utf8
        self._rows: list[Strip] = []

    @property
    def text(self) -> str:
        """All rows as plain text, as they stand on the screen."""
        return "\n".join(row.text for row in self._rows)

    def show(self, rows: Sequence[Strip]) -> None:
        """Show these rows in the place of the ones before."""
        before, self._rows = self._rows, list(rows if self._utf8 else map(in_ascii, rows))
        if len(before) != len(self._rows):
            self.refresh()
            return
        changed = [index for index, row in enumerate(self._rows) if row != before[index]]
        if changed:
            self.refresh(*(Region(0, index, self._rows[index].cell_length, 1) for index in changed))

    def show_row(self, index: int, row: Strip) -> None:
        """Show one row anew; an index from the end counts from the foot. Nothing happens before the first `show`."""
        if self._rows:
            rows = list(self._rows)
            rows[index] = row
            self.show(rows)

    def show_cells(self, changed: Iterable[Cells]) -> None:
        """Show pieces of rows anew, and repaint none but the cells of those that differ."""
        for one in changed if self._rows else ():
            row, end = self._rows[one.row], one.x + one.piece.cell_length
            new = one.piece if self._utf8 else in_ascii(one.piece)
            if row.crop(one.x, end).simplify() != new.simplify():
                self._rows[one.row] = spliced(row, replace(one, piece=new))
                self.refresh(Region(one.x, one.row, end - one.x, 1))

    def render_line(self, y: int) -> Strip:
        """Return row `y` from the top."""
        return self._rows[y] if y < len(self._rows) else Strip.blank(self.size.width)
