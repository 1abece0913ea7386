"""The steps at a glance: number, sign, title, and the word where there is room for it."""

from __future__ import annotations

from rich.cells import cell_len
from rich.style import Style
from textual.strip import Strip

from stepper.screens.kept import kept
from stepper.screens.palette import Look
from stepper.screens.rows import cut, strip
from stepper.session.view import StepCell, Tone

_WITH_WORDS = 26
"""Cells of width from which on the word for the sign stands beside most titles; below that the sign has to do."""


def window(count: int, current: int, height: int) -> range:
    """Return which of `count` rows to show in `height` rows, so that the current one is among them."""
    start = min(max(current - height // 2, 0), max(count - height, 0))
    return range(start, min(start + height, count))


@kept
def step_rows(steps: tuple[StepCell, ...], width: int, height: int, look: Look) -> list[Strip]:
    """Return exactly `height` rows; where not all steps fit, those around the current one."""
    current = next((index for index, step in enumerate(steps) if step.current), 0)
    shown = window(len(steps), current, height)
    rows = [_step_row(steps[index], width, look) for index in shown]
    if shown and shown.start > 0:
        rows[0] = _hidden(f"   ↑ {shown.start + 1} more", width, look)
    if shown and shown.stop < len(steps):
        rows[-1] = _hidden(f"   ↓ {len(steps) - shown.stop + 1} more", width, look)
    return rows + [Strip.blank(width, look.panel())] * (height - len(rows))


def _hidden(text: str, width: int, look: Look) -> Strip:
    return strip(width, look.panel(), (text, look.panel(Tone.QUIET)))


def _step_row(step: StepCell, width: int, look: Look) -> Strip:
    head = f" {step.number:>2} "
    sign = f"{cut(step.sign, 1) or ' '} "
    title = cut(step.title, width - len(head) - cell_len(sign) - 1)
    word = cut(step.word, width) if width >= _WITH_WORDS else ""
    gap = width - len(head) - cell_len(sign) - cell_len(title) - cell_len(word) - 1
    styles = _styles(step, look)
    pieces = [(head, styles[0]), (sign, styles[1]), (title, styles[2])]
    if word and gap >= 2:
        pieces += [(" " * gap, styles[2]), (word, styles[1])]
    return strip(width, styles[2], *pieces)


def _styles(step: StepCell, look: Look) -> tuple[Style, Style, Style]:
    if step.current:
        return (look.current, look.current, look.current)
    return (
        look.panel(Tone.QUIET),
        look.panel(step.tone),
        look.panel(step.tone if step.tone == Tone.QUIET else Tone.PLAIN),
    )
