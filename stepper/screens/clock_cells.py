"""Where the clocks stand: each in cells of its own, so that a tick repaints no more than the figures that moved.

The header takes as many as its width bears beside the title, the one that is needed most first. What is left stands
in rows that the steps leave free at their foot. Where those are lacking too, the clock that is needed least goes first:
how long the visit has lasted, then the step; the sealer goes last. The time of day always stays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from rich.cells import cell_len
from textual.strip import Strip

from stepper.screens.palette import Look
from stepper.screens.rows import clean, cut, strip
from stepper.session.view import Clocks, RunningClock

_GAP: Final = 2
"""Cells between two clocks of the header."""

_FIGURES: Final = 5
"""Cells kept for the figures, so that no clock moves while it grows from 0:00 to 59:59."""


@dataclass(frozen=True)
class Cells:
    """A piece of one row: `row` from the top, `x` from the left."""

    row: int
    x: int
    piece: Strip

    @property
    def place(self) -> tuple[int, int, int]:
        """Which cells of the screen it takes."""
        return (self.row, self.x, self.piece.cell_length)


@dataclass(frozen=True)
class Foot:
    """The rows that the steps leave free, from `top`, so many cells wide."""

    top: int = 0
    rows: int = 0
    width: int = 0


def clock_cells(clocks: Clocks, title: int, width: int, foot: Foot, look: Look) -> list[Cells]:
    """Return where each clock stands in a header of `width` cells beside a title of `title` cells, and in the foot."""
    now = clean(clocks.now)
    x = width - 1 - cell_len(now)
    placed = [Cells(0, x, strip(cell_len(now), look.panel(), (now, look.panel())))]
    head, rest = _that_fit(clocks.running, x - 2 * _GAP - title, foot.rows)
    for clock in reversed(head):
        x -= _GAP + _wide(clock)
        placed.append(Cells(0, x, _painted(clock, _wide(clock), look)))
    for row, clock in enumerate(rest[: foot.rows], start=foot.top + foot.rows - min(len(rest), foot.rows)):
        placed.append(Cells(row, 1, _painted(clock, foot.width - 1, look, left=True)))
    return placed


def spliced(row: Strip, cells: Cells) -> Strip:
    """Return a row with the piece in the place of what stood in its cells."""
    end = cells.x + cells.piece.cell_length
    return Strip.join([row.crop(0, cells.x), cells.piece, row.crop(end)])


def room_for_title(clocks: Clocks, width: int) -> int:
    """Return how many cells a title may have at most: all but those of the time of day."""
    return width - cell_len(clean(clocks.now)) - 3


def _that_fit(running: Sequence[RunningClock], room: int, rows: int) -> tuple[list[RunningClock], list[RunningClock]]:
    """Return the clocks that the header has room for, from the one that is needed most on, and the others.

    Where these are more than the foot has rows, shorter ones take what room the header has left.
    """
    head, rest = [], list(running)
    for clock in running:
        crowded = len(rest) > rows
        if _wide(clock) <= room and (crowded or rest[0] is clock):
            room -= _wide(clock) + _GAP
            head.append(clock)
            rest.remove(clock)
    return head, rest


def _wide(clock: RunningClock) -> int:
    mark = cell_len(clean(clock.mark))
    return cell_len(clean(clock.word)) + 1 + max(cell_len(clean(clock.time)), _FIGURES) + (1 + mark if mark else 0)


def _painted(clock: RunningClock, width: int, look: Look, *, left: bool = False) -> Strip:
    """Return a clock in exactly `width` cells; what is too long for them loses the end of its word."""
    figures, mark = clean(clock.time), f" {clean(clock.mark)}" if clock.mark else ""
    word = cut(clock.word, max(width - cell_len(figures) - cell_len(mark) - 1, 0))
    text = f"{word} {figures}"
    blank = " " * max(width - cell_len(text) - cell_len(mark), 0)
    pieces = [(text, look.panel()), (mark, look.panel(clock.tone, bold=True))]
    ground = (blank, look.panel())
    return strip(width, look.panel(), *([*pieces, ground] if left else [ground, *pieces]))
