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
        stands = zip(self._rows, before, strict=True)
        changed = [index for index, (row, old) in enumerate(stands) if row is not old and row != old]
        if changed:
            self.refresh(*(Region(0, index, self._rows[index].cell_length, 1) for index in changed))

    def show_row(self, index: int, row: Strip) -> None:
        """Show one row anew; an index from the end counts from the foot. Nothing happens before the first `show`."""
        shown = row if self._utf8 else in_ascii(row)
        if self._rows and self._rows[index] != shown:
            self._rows[index] = shown
            self.refresh(Region(0, index % len(self._rows), shown.cell_length, 1))

    def show_cells(self, pieces: Iterable[Cells]) -> None:
        """Show pieces of rows anew; of each row no more is painted than from the first that differs to the last.

        Textual writes a row again from its left edge up to the end of every region: one region a row costs least.
        """
        changed: dict[int, list[Cells]] = {}
        for one in pieces if self._rows else ():
            row, new = self._rows[one.row], one.piece if self._utf8 else in_ascii(one.piece)
            if row.crop(one.x, one.x + new.cell_length).simplify() != new.simplify():
                self._rows[one.row] = spliced(row, replace(one, piece=new))
                changed.setdefault(one.row, []).append(one)
        for row_number, cells in changed.items():
            first, end = min(one.x for one in cells), max(one.x + one.piece.cell_length for one in cells)
            self.refresh(Region(first, row_number, end - first, 1))

    def render_line(self, y: int) -> Strip:
        """Return row `y` from the top."""
        return self._rows[y] if y < len(self._rows) else Strip.blank(self.size.width)
