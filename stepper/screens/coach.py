"""The lesson of a practice tooth, over the whole width: what to key stands out in reverse, set off by blanks."""

from __future__ import annotations

from rich.cells import cell_len
from rich.style import Style
from textual.strip import Strip

from stepper.lines.marked import pieces
from stepper.screens.palette import Look
from stepper.screens.rows import Piece, clean, strip
from stepper.session.view import Tone

_MOST = 3
"""Rows of one sentence."""


def coach_rows(coach: tuple[str, ...], width: int, look: Look) -> list[Strip]:
    """Return the rows of the lesson, folded between words, and of what is said besides, in a quieter tone."""
    texts = (look.panel(bold=True), look.panel(Tone.QUIET))
    return [row for at, one in enumerate(coach) for row in _sentence(one, width, look, texts[min(at, 1)])[:_MOST]]


def _sentence(sentence: str, width: int, look: Look, text: Style) -> list[Strip]:
    rows: list[list[Piece]] = []
    used = width
    for word in _words(sentence, text, look.bar(Tone.WARN)):
        length = sum(cell_len(text) for text, _ in word)
        if used + 1 + length > width - 1:
            rows.append([])
            used = 0
        rows[-1] += [(" ", look.panel()), *word]
        used += 1 + length
    return [strip(width, look.panel(), *row) for row in rows]


def _words(sentence: str, plain: Style, key: Style) -> list[list[Piece]]:
    """Return the words, each as what of it is to be keyed and what is not."""
    words: list[list[Piece]] = [[]]
    for text, keyed in pieces(clean(sentence)):
        if keyed:
            words[-1].append((f" {text} ", key))
            continue
        first, *rest = text.split(" ")
        for place, part in enumerate((first, *rest)):
            words += [[]] if place else []
            words[-1] += [(part, plain)] if part else []
    return [word for word in words if word]
