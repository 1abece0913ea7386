"""A screen without UTF-8: each row in plain ASCII, cell for cell.

What stands on a row was laid out before; every sign is put in the place of one as wide, so nothing moves.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import Final

from rich.cells import cell_len
from rich.segment import Segment
from textual.strip import Strip

_DRAWN: Final = {
    **{"…": "~", "·": ".", "•": "#", "▌": "|", "░": ":", "█": "#", "↑": "^", "↓": "v"},
    **{"µ": "u", "²": "2", "³": "3", "×": "x", "−": "-", "–": "-", "—": "-", "‘": "'", "’": "'", "“": '"', "”": '"'},
    **{"ß": "s", "æ": "a", "Æ": "A", "ø": "o", "Ø": "O", "ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "ı": "i"},
}
"""Signs that the screen draws or that names hold, and that no canonical form takes apart."""


def in_ascii(row: Strip) -> Strip:
    """Return the row with every sign that is no ASCII written by its base letter, a like one, or as `?`."""
    if all(segment.text.isascii() for segment in row):
        return row
    return Strip([Segment("".join(map(_plain, text)), style, control) for text, style, control in row], row.cell_length)


@lru_cache(maxsize=1024)
def _plain(sign: str) -> str:
    if sign.isascii():
        return sign
    wide = cell_len(sign)
    base = _DRAWN.get(sign) or unicodedata.normalize("NFD", sign)[:1]
    return base if wide == 1 and base.isascii() and base.isprintable() else "?" * wide
