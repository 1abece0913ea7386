"""Mistakes in a protocol, as data: where, what is wrong, what is allowed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

Where = tuple[str | int, ...]
"""The way to a key: table names and places, such as ("step", 3, "question", 0, "id")."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake."""

    where: Where
    wrong: str
    allowed: str = ""


class BadProtocol(Exception):  # noqa: N818 - it is a verdict on the file, said in the user's words
    """A protocol that is refused, with all its problems as ready sentences."""

    def __init__(self, sentences: tuple[str, ...]) -> None:
        super().__init__("\n".join(sentences))
        self.sentences = sentences


def quoted(value: object) -> str:
    """Write a value of the file as a sentence repeats it: cut short where it is long."""
    text = repr(value)
    return text if len(text) <= 60 else f"{text[:60]}..."


def nearest(word: str, known: Iterable[str]) -> str:
    """Offer the nearest known spelling, or list what is known."""
    names = sorted(known)
    close = get_close_matches(word, names, n=1, cutoff=0.6)
    if close:
        return f"did you mean {close[0]!r}?"
    return f"allowed: {', '.join(names[:24])}" + (" ..." if len(names) > 24 else "")
