"""Cells of a drawing: which one a place and a width fall into, and what is seen where several things fall into one.

A canal stands upright, its tip below: a row is the canal cut across so many mm short of length, and columns count its
width from the left. A canal is a mm wide and sixteen long, and its width is what is asked about: lying on its side it
would have ten rows for its width, standing it has sixty columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Final, TypeAlias

Cell: TypeAlias = tuple[int, int]
"""Row, counted from length upward, and column, counted from no width to the right."""

MM_PER_ROW: Final = tuple(map(Decimal, ("0.1", "0.2", "0.25", "0.5", "1", "1.5", "2", "2.5", "3", "4", "5", "10")))
"""Scales of length, closest first."""

MM_PER_COLUMN: Final = tuple(map(Decimal, ("0.01", "0.02", "0.025", "0.03", "0.04", "0.05", "0.1", "0.2", "0.3")))
"""Scales of width, closest first; the last takes the widest width there is into the narrowest drawing."""

_LEFT, _CROWN, _TIP = "mm short", "crown", "tip"

TEN: Final = 10
"""Columns between two figures of the axis."""

ROOM_TO_THE_RIGHT: Final = 3
"""Columns right of the widest thing, so that what is open to the right is seen to be."""


@dataclass(frozen=True, slots=True)
class Scale:
    """A frame of so many rows and columns, and how much of the canal one of each stands for, in mm."""

    rows: int
    columns: int
    mm_per_row: Decimal
    mm_per_column: Decimal

    def place_mm(self, row: int) -> Decimal:
        """Return the place, in mm short of length, at which a row cuts the canal."""
        return row * self.mm_per_row

    def row(self, short_mm: Decimal) -> int | None:
        """Return the row nearest to a place, of two the one further from length; None beyond it and above the frame."""
        row = int((short_mm / self.mm_per_row).to_integral_value(ROUND_HALF_UP))
        return row if short_mm >= 0 and row < self.rows else None

    def column(self, width_mm: Decimal) -> int:
        """Return the column nearest to a width, of two the wider one."""
        return int((width_mm / self.mm_per_column).to_integral_value(ROUND_HALF_UP))


@dataclass(frozen=True, slots=True)
class Mark:
    """Something drawn with one sign, and its cells."""

    sign: str
    cells: frozenset[Cell]


def places_mm(span_mm: Decimal, mm_per_row: Decimal) -> list[Decimal]:
    """Return the places that rows of this scale cut the canal at, none further up than the span."""
    return [row * mm_per_row for row in range(int((span_mm / mm_per_row).to_integral_value(ROUND_FLOOR)) + 1)]


def fitted(rows: int, columns: int, mm_per_row: Decimal, widest_mm: Decimal) -> Scale:
    """Make the frame with the closest scale of width that has room for the widest thing."""
    for mm_per_column in MM_PER_COLUMN:
        scale = Scale(rows, columns, mm_per_row, mm_per_column)
        if scale.column(widest_mm) < columns - ROOM_TO_THE_RIGHT:
            break
    return scale


def band(least_mm: Decimal | None, most_mm: Decimal | None, scale: Scale, texture: str) -> Mapping[int, str]:
    """Return what a row shows of bounds, by column.

    Between two bounds it is filled with texture, `[` at least and `]` at most, or `=` where both are in one column.
    With no bound above, dashes go to the right edge and end in `>`. With nothing at least, either begins at no width.
    """
    least = scale.column(least_mm) if least_mm is not None else None
    most = scale.column(most_mm) if most_mm is not None else None
    if least is not None and most is not None and least >= most:
        return {most: "="}
    end = most if most is not None else scale.columns - 1
    inside = range(1 if least is None else least + 1, end)
    shown = {column: texture if most is not None else _ray(column) for column in inside}
    if least is not None:
        shown[least] = "["
    return {**shown, end: ">" if most is None else "]"}


def _ray(column: int) -> str:
    return "-" if column % 2 else " "


def laid_over(bands: Mapping[Cell, str], marks: Iterable[Mark]) -> dict[Cell, str]:
    """Lay marks over the bounds; where several fall into one cell, the first of them is seen."""
    seen: dict[Cell, str] = {}
    for mark in marks:
        for cell in mark.cells:
            seen.setdefault(cell, mark.sign)
    return {**bands, **seen}


def axis_row(scale: Scale) -> str:
    """Return the axis of width: at every tenth column an upright and its figure, at the end what the figures are."""
    unit = " mm wide"
    row = ""
    for column in range(0, scale.columns, TEN):
        figure = f"|{plain(column * scale.mm_per_column)}"
        if column + len(figure) > scale.columns - len(unit):
            break
        row = row.ljust(column) + figure
    return row.ljust(scale.columns - len(unit)) + unit


def plain(figure: Decimal) -> str:
    """Write a figure without zeros at its end that say nothing."""
    return f"{figure.normalize():f}" if figure else "0"


def margin(places: Iterable[Decimal]) -> int:
    """Return how many cells the figures of these places take at the left, with the words before them."""
    return max(len(_LEFT), len(_CROWN) + 1 + max(len(plain(place)) for place in places))


def painted(scale: Scale, cells: Mapping[Cell, str]) -> list[str]:
    """Return the axis and the rows, crown side first, each with its place and an upright where there is no width."""
    places = [scale.place_mm(row) for row in range(scale.rows)]
    left = margin(places)
    words = {scale.rows - 1: _CROWN, 0: _TIP}
    out = [f"{_LEFT.ljust(left)} {axis_row(scale)}"]
    for row in reversed(range(scale.rows)):
        word, figure = words.get(row, ""), plain(places[row])
        across = "".join(cells.get((row, column), " " if column else "|") for column in range(scale.columns))
        out.append(f"{word}{figure.rjust(left - len(word))} {across}".rstrip())
    return out
