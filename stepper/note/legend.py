"""The words around a drawing: folded to its width, two to a row where two fit."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator

BETWEEN = 3
"""Cells between two entries of one row."""


def cells(text: str) -> int:
    """Return how many cells a terminal takes for a text."""
    return sum(_cells_of(sign) for sign in text)


def _cells_of(sign: str) -> int:
    if unicodedata.combining(sign):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1


def folded(text: str, width: int, indent: int = 0) -> list[str]:
    """Fold a text between words into rows of so many cells, all but the first indented; long words are cut."""
    rows, row = [], ""
    for word in _short_enough(text.split(), width - indent):
        if row and cells(row) + 1 + cells(word) > width:
            rows.append(row)
            row = " " * indent + word
        else:
            row = f"{row} {word}" if row else word
    return [*rows, row] if row else rows


def _short_enough(words: Iterable[str], width: int) -> Iterator[str]:
    for word in words:
        part = ""
        for sign in word:
            if cells(part) + _cells_of(sign) > width:
                yield part
                part = ""
            part += sign
        yield part


def in_pairs(entries: Iterable[str], width: int) -> list[str]:
    """Lay entries out in their order, two to a row where they fit, the second from the middle on if it can be."""
    rows: list[str] = []
    open_row = False
    for entry in entries:
        if open_row:
            begin = max((width + BETWEEN) // 2, cells(rows[-1]) + BETWEEN)
            if begin + cells(entry) <= width:
                rows[-1] += " " * (begin - cells(rows[-1])) + entry
                open_row = False
                continue
        entry_rows = folded(entry, width, indent=2)
        rows += entry_rows
        open_row = len(entry_rows) == 1
    return rows
