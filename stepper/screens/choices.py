"""The numbered choices of a question, in as few columns as show every word, in as many as show every choice."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from rich.cells import cell_len
from textual.strip import Strip

from stepper.screens.kept import kept
from stepper.screens.palette import Look
from stepper.screens.rows import Block, Piece, clean, cut_middle, fill, fold, strip
from stepper.session.view import Choice

_MOST_COLUMNS = 4
_NARROWEST = 16
_TALL = (2, 4, 6)
"""Rows that a list may have before another column is tried; the lowest that needs no word cut is taken."""

_LEGIBLE = 2
"""Columns of a list that does not fit in any case: words that can be read are worth more than a few numbers more."""

_INDENT = "  "
_BETWEEN = "   "


@dataclass(frozen=True)
class _List:
    """The choices, their numbers aligned at the right."""

    choices: tuple[Choice, ...]
    width: int
    look: Look

    @property
    def numbers(self) -> int:
        """Cells of the longest number."""
        return max(cell_len(clean(choice.number)) for choice in self.choices)

    @property
    def widest(self) -> int:
        """Cells of the longest choice, its number included."""
        return self.numbers + 2 + max(cell_len(clean(choice.text)) for choice in self.choices)

    @property
    def columns(self) -> int:
        """As many columns as the width allows at all."""
        return max(min(_MOST_COLUMNS, self.width // _NARROWEST, len(self.choices)), 1)

    def column_width(self, columns: int) -> int:
        """Cells of one of so many columns."""
        return (self.width - len(_BETWEEN) * (columns - 1)) // columns

    def deep(self, columns: int) -> int:
        """Rows in so many columns."""
        return ceil(len(self.choices) / columns)

    def number(self, choice: Choice) -> Piece:
        """Return the number to type, in its place."""
        return (f"{_INDENT}{clean(choice.number):>{self.numbers}}  ", self.look.accent)


@kept
def choice_block(choices: tuple[Choice, ...], width: int, look: Look, *, rank: int) -> Block:
    """Return the choices; the rows given decide into how many columns they go."""
    listed = _List(choices, width - len(_INDENT), look)
    one_row = _one_row(choices, width, look)
    if one_row:
        return Block(rank, least=1, fair=1, full=1, paint=lambda _: [one_row])
    whole = [count for count in range(1, listed.columns + 1) if listed.widest <= listed.column_width(count)]
    columns = _fewest_columns(listed, whole)
    folded = _folded(listed)
    fair = listed.deep(columns) if columns else len(folded)

    def paint(rows: int) -> list[Strip]:
        if not columns and rows >= len(folded):
            return folded
        fitting = [count for count in range(columns or 1, listed.columns + 1) if listed.deep(count) <= rows]
        return _table(listed, rows, fitting[0] if fitting else min(listed.columns, _LEGIBLE))

    least = listed.deep(max(whole) if whole else listed.columns)
    if least > _TALL[-1]:  # its words are cut in any case: it takes no more rows than it then fills
        least = min(len(paint(_TALL[-1])), _TALL[-1])
    return Block(rank, least=least, fair=fair, full=fair, paint=paint)


def _fewest_columns(listed: _List, whole: list[int]) -> int:
    """Return the fewest columns that cut no word in a list that is not tall; 0 where no column is wide enough."""
    for tall in _TALL:
        short = [columns for columns in whole if listed.deep(columns) <= tall]
        if short:
            return short[0]
    return whole[-1] if whole else 0


def _one_row(choices: tuple[Choice, ...], width: int, look: Look) -> Strip | None:
    pieces: list[Piece] = []
    for choice in choices:
        lead = _BETWEEN if pieces else _INDENT
        pieces += [(f"{lead}{clean(choice.number)}  ", look.accent), (clean(choice.text), look.plain)]
    fits = sum(cell_len(text) for text, _ in pieces) <= width
    return strip(width, look.plain, *pieces) if fits else None


def _folded(listed: _List) -> list[Strip]:
    rows: list[Strip] = []
    blank = " " * (listed.numbers + 2 + len(_INDENT))
    for choice in listed.choices:
        for index, text in enumerate(fold(choice.text, listed.width - listed.numbers - 2) or [""]):
            lead = (blank, listed.look.plain) if index else listed.number(choice)
            rows.append(strip(listed.width + len(_INDENT), listed.look.plain, lead, (text, listed.look.plain)))
    return rows


def _table(listed: _List, rows: int, columns: int) -> list[Strip]:
    """Return the choices down the first column, then down the next; what does not fit is counted in the last cell."""
    choices = listed.choices
    deep = min(listed.deep(columns), rows)
    room = deep * columns
    if len(choices) > room:
        choices = (*choices[: room - 1], Choice("", f"and {len(choices) - room + 1} more"))
    wide = listed.column_width(columns) - listed.numbers - 2
    table: list[Strip] = []
    for row in range(deep):
        pieces: list[Piece] = []
        for choice in choices[row::deep]:
            between = (len(_BETWEEN) - len(_INDENT)) * " " if pieces else ""
            pieces += [
                (between, listed.look.plain),
                listed.number(choice),
                (fill(cut_middle(choice.text, wide), wide), listed.look.plain),
            ]
        table.append(strip(listed.width + len(_INDENT), listed.look.plain, *pieces))
    return table
