"""Large type for values: numbers three rows high, the words around them as they are.

It is read at arm's length, past a mask. What is drawn says nothing to a screen reader, so the sentence always stands
beside it as text.
"""

from __future__ import annotations

import re
from typing import Final

from rich.cells import cell_len

from stepper.screens.rows import clean

HEIGHT: Final = 3

_NUMBER: Final = re.compile(r"(?<![\w.])([0-9](?:[0-9./]*[0-9])?)(?!\w)")
"""A number or a size such as 40/.04; a digit that belongs to a name, as in MB2, is none."""

_BLOCKS: Final = {
    "0": "### #.# #.# #.# ###",
    "1": ".#. ##. .#. .#. ###",
    "2": "### ..# ### #.. ###",
    "3": "### ..# ### ..# ###",
    "4": "#.# #.# ### ..# ..#",
    "5": "### #.. ### ..# ###",
    "6": "### #.. ### #.# ###",
    "7": "### ..# ..# ..# ..#",
    "8": "### #.# ### #.# ###",
    "9": "### #.# ### ..# ###",
    "/": "..# ..# .#. #.. #..",
    ".": ". . . . #",
}
"""Five rows of points each; two rows of them make one row of the screen."""

_HALVES: Final = {"##": "█", "#.": "▀", ".#": "▄", "..": " "}

_STROKES: Final = {
    "0": (" _ ", "| |", "|_|"),
    "1": ("   ", "  |", "  |"),
    "2": (" _ ", " _|", "|_ "),
    "3": (" _ ", " _|", " _|"),
    "4": ("   ", "|_|", "  |"),
    "5": (" _ ", "|_ ", " _|"),
    "6": (" _ ", "|_ ", "|_|"),
    "7": (" _ ", "  |", "  |"),
    "8": (" _ ", "|_|", "|_|"),
    "9": (" _ ", "|_|", " _|"),
    "/": ("  /", " / ", "/  "),
    ".": (" ", " ", "."),
}
"""The same in plain ASCII."""


def large(sentence: str, width: int, *, utf8: bool) -> list[str]:
    """Return three rows with the numbers of the sentence in large type; none if it has no number or does not fit."""
    words = _NUMBER.split(clean(sentence).strip())
    if len(words) == 1:
        return []
    rows = [""] * HEIGHT
    for index, part in enumerate(words):
        drawn = _drawn(part, utf8=utf8) if index % 2 else (" " * cell_len(part), part, " " * cell_len(part))
        rows = [row + piece for row, piece in zip(rows, drawn, strict=True)]
    return [row.rstrip() for row in rows] if cell_len(rows[1]) <= width else []


def _drawn(number: str, *, utf8: bool) -> tuple[str, ...]:
    signs = [_half_blocks(_BLOCKS[sign]) if utf8 else _STROKES[sign] for sign in number]
    return tuple(" ".join(rows) for rows in zip(*signs, strict=True))


def _half_blocks(points: str) -> tuple[str, ...]:
    rows = points.split()
    rows.append("." * len(rows[0]))
    return tuple(
        "".join(_HALVES[upper + lower] for upper, lower in zip(*rows[top : top + 2], strict=True))
        for top in range(0, 2 * HEIGHT, 2)
    )
