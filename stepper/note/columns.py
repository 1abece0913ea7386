"""A table laid out in columns of plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import zip_longest

BETWEEN = "  "


def laid_out(titles: Sequence[str], rows: Sequence[Sequence[str]], page: int) -> Iterator[str]:
    """Give the lines of a table, `page` signs wide at most.

    A long cell goes on below itself, and where one does, rules part the rows.
    """
    wide = widths(titles, rows, page - len(BETWEEN) * (len(titles) - 1))
    rule = BETWEEN.join("-" * width for width in wide)
    yield from _row(titles, wide)
    written = [list(_row(row, wide)) for row in rows]
    apart = any(len(lines) > 1 for lines in written)
    for place, lines in enumerate(written):
        yield from [rule] if apart or place == 0 else []
        yield from lines


def widths(titles: Sequence[str], rows: Sequence[Sequence[str]], room: int) -> list[int]:
    """Give each column the width of its longest cell, then take from them, where it costs fewest lines, till they fit.

    A column keeps the room for its longest word as long as the others leave it that.
    """
    columns = list(zip(titles, *rows, strict=True))
    words = [max(_longest_word(cell) for cell in column) for column in columns]
    wide = [max(len(cell) for cell in column) or 1 for column in columns]
    known: dict[tuple[int, int], list[int]] = {}

    def height(narrower: int) -> int:
        """Count the lines of all rows, were one column narrower by one sign."""
        heights = []
        for place, column in enumerate(columns):
            key = (place, wide[place] - (place == narrower))
            if key not in known:
                known[key] = [len(_wrapped(cell, key[1])) for cell in column]
            heights.append(known[key])
        return sum(max(row) for row in zip(*heights, strict=True))

    while sum(wide) > room:
        spare = [place for place, width in enumerate(wide) if width > words[place]]
        spare = spare or [place for place, width in enumerate(wide) if width == max(wide)]
        wide[min(spare, key=lambda place: (height(place), -wide[place], place))] -= 1
    return wide


def _longest_word(cell: str) -> int:
    return max((len(word) for word in cell.split()), default=1)


def _row(cells: Sequence[str], wide: Sequence[int]) -> Iterator[str]:
    for line in zip_longest(*(_wrapped(cell, width) for cell, width in zip(cells, wide, strict=True)), fillvalue=""):
        padded = (words.ljust(width) for words, width in zip(line, wide, strict=True))
        yield BETWEEN.join(padded).rstrip()


@lru_cache(4096)
def _wrapped(cell: str, width: int) -> Sequence[str]:
    """Wrap a cell; many of a table are alike, and are tried at many widths."""
    if len(cell) <= width and cell.isprintable():  # most of them: no sign in it is white but the space
        return [cell.rstrip()] if cell.strip() else []
    return textwrap.wrap(cell, width, break_on_hyphens=False)
