"""Rows of exact width out of any text, and the sharing of a column's height among what wants to stand in it.

Text is never read as markup, and a character without a shape of its own is spelt out: what a person typed can
neither colour nor break the screen.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from rich.cells import cell_len, chop_cells, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from stepper.lines.refusal import visible

Piece = tuple[str, Style]
"""Text with its style."""


def clean(text: str) -> str:
    """Return the text on one line, with nothing in it that a terminal would obey."""
    return visible(text.replace("\n", " ").replace("\t", " "))


@lru_cache(maxsize=4096)
def cut(text: str, width: int) -> str:
    """Return the text in at most `width` cells; where it was longer it ends in a mark of omission."""
    text = clean(text)
    if cell_len(text) <= width:
        return text
    return set_cell_size(text, width - 1) + "…" if width > 0 else ""


def cut_front(text: str, width: int) -> str:
    """Return the end of the text in at most `width` cells; where it was longer it begins with a mark of omission."""
    text = clean(text)
    if cell_len(text) <= width:
        return text
    if width <= 0:
        return ""
    end = text[-width:]
    while cell_len(end) > width - 1:
        end = end[1:]
    return f"…{end}"


def cut_middle(text: str, width: int) -> str:
    """Return the text in at most `width` cells; a longer one keeps its last figures too, which often tell it apart."""
    text = clean(text)
    if cell_len(text) <= width:
        return text
    words, tail = text.split(), ""
    while words and cell_len(f"{words[-1]} {tail}".strip()) <= width // 2:
        tail = f"{words.pop()} {tail}".strip()
    figures = any(sign.isdigit() for sign in tail)
    return f"{cut(text, width - cell_len(tail))}{tail}" if figures else cut(text, width)


def fill(text: str, width: int) -> str:
    """Return the text cut or padded to exactly `width` cells."""
    return set_cell_size(cut(text, width), max(width, 0))


def fold(text: str, width: int, most: int | None = None) -> list[str]:
    """Return the text folded between words into rows of at most `width` cells, at most `most` rows of it."""
    rows: list[str] = []
    for paragraph in text.strip().split("\n"):
        rows.extend(_fold_paragraph(clean(paragraph), max(width, 1)))
    if most is not None and len(rows) > most:
        return [*rows[: most - 1], cut(" ".join(rows[most - 1 :]), width)] if most > 0 else []
    return rows


def _fold_paragraph(text: str, width: int) -> list[str]:
    rows: list[str] = []
    row, used = "", 0
    for word in text.split():
        length = cell_len(word)
        if row and used + 1 + length <= width:
            row, used = f"{row} {word}", used + 1 + length
            continue
        if row:
            rows.append(row)
        *full, row = chop_cells(word, width) if length > width else [word]
        rows.extend(full)
        used = cell_len(row)
    return [*rows, row] if row else rows


@lru_cache(maxsize=1024)
def strip(width: int, ground: Style, *pieces: Piece) -> Strip:
    """Return a row of exactly `width` cells: the pieces in order, cut where they do not fit, then the ground.

    Most rows stand as they stood before the last line; those are kept, since making them takes longest of all.
    """
    segments: list[Segment] = []
    left = width
    for text, style in pieces:
        text = cut(text, left)
        segments.append(Segment(text, style))
        left -= cell_len(text)
    if left > 0:
        segments.append(Segment(" " * left, ground))
    return Strip([segment for segment in segments if segment.text], width)


@dataclass(frozen=True)
class Block:
    """Something that stands in a column.

    `least` rows are needed, `fair` is enough, more than `full` is never used; `paint` makes at most as many rows as it
    is given. A lower `rank` is served first. A block `at_foot` stands at the foot of the column, after all others. To
    a block `in_one` a part of what is wanted is of no use: it gets the next of the three as a whole, or not.
    """

    rank: int
    least: int
    fair: int
    full: int
    paint: Callable[[int], list[Strip]]
    at_foot: bool = False
    in_one: bool = False
    _painted: dict[int, list[Strip]] = field(default_factory=dict, compare=False, repr=False)

    def rows(self, given: int) -> list[Strip]:
        """Give what is painted in so many rows, the same list each time."""
        if given not in self._painted:
            self._painted[given] = self.paint(given)
        return self._painted[given]


def share(height: int, blocks: Sequence[Block]) -> list[int]:
    """Return the rows of each block, never more than `height` together: all get the least, then what is fair."""
    given = [0] * len(blocks)
    served = sorted(range(len(blocks)), key=lambda index: blocks[index].rank)
    whole = [block.in_one for block in blocks]
    height = _serve(height, [block.least for block in blocks], served, given)
    height = _serve(height, [block.fair for block in blocks], served, given, whole)
    gaps = max(sum(1 for rows in given if rows) - 1, 0)
    _serve(max(height - gaps, 0), [block.full for block in blocks], served, given, whole)
    return given


def _serve(
    height: int, wanted: Sequence[int], served: Sequence[int], given: list[int], whole: Sequence[bool] = ()
) -> int:
    for index in served:
        wish = max(wanted[index] - given[index], 0)
        more = 0 if wish > height and whole and whole[index] else min(wish, height)
        given[index] += more
        height -= more
    return height


def column(width: int, height: int, ground: Style, blocks: Sequence[Block]) -> list[Strip]:
    """Return exactly `height` rows: the blocks from the top with a blank row between them, if there is room for one."""
    painted = [(block, block.rows(rows)) for block, rows in zip(blocks, share(height, blocks), strict=True) if rows]
    blank = Strip.blank(width, ground)
    spare = height - sum(len(rows) for _, rows in painted)
    out: list[Strip] = []
    for block, rows in painted:
        gap = spare if block.at_foot else min(spare, 1 if out else 0)
        out.extend([blank] * gap)
        spare -= gap
        out.extend(rows)
    return out + [blank] * spare
