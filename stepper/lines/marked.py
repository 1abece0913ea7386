"""Sentences in which the lines to key stand in backquotes: "key `20.5` or `Enter`"."""

from __future__ import annotations

from collections.abc import Iterator

ENTER = "Enter"
"""How an empty line is marked: nothing is keyed before Enter."""

MARK = "`"
_KEYPAD = frozenset("0123456789.+-*/")


def pieces(text: str) -> Iterator[tuple[str, bool]]:
    """Give the text piece by piece, without the marks, and of each piece whether it is to be keyed."""
    yield from ((piece, place % 2 == 1) for place, piece in enumerate(text.split(MARK)) if piece)


def lines_to_key(text: str) -> list[str]:
    """Give the lines to key, in order, as they are entered."""
    return ["" if piece == ENTER else piece for piece, keyed in pieces(text) if keyed]


def wrong_marks(text: str) -> str:
    """Say what is wrong with the marks of a sentence, or nothing."""
    if text.count(MARK) % 2:
        return "has a mark ` that is not closed"
    marked = text.split(MARK)[1::2]
    if not all(marked):
        return "marks nothing between two `"
    odd = next((one for one in marked if one != ENTER and not set(one) <= _KEYPAD), "")
    return f"marks {odd!r}, which a number pad has no keys for" if odd else ""
