"""The whole page: header, steps, the column of the moment, what was said, the line being typed, the legend.

Everything is cut to the size at hand before it is painted, so no text can push another off the screen. The line being
typed and the legend always stand in the last two rows.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from rich.cells import cell_len
from textual.strip import Strip

from stepper.screens.canals import canal_block
from stepper.screens.choices import choice_block
from stepper.screens.page_size import LEAST_HEIGHT, LEAST_WIDTH
from stepper.screens.palette import Look
from stepper.screens.rows import Block, clean, column, cut, cut_front, strip
from stepper.screens.sentences import (
    band_rows,
    cover_block,
    log_block,
    offer_block,
    question_block,
    readback_block,
    remark_block,
    saying_rows,
)
from stepper.screens.steps import step_rows
from stepper.screens.text_page import text_rows
from stepper.session.view import ChairView, Clocks, Tone

_LONG_LIST: Final = 8
"""From so many choices on, remarks and log give up their rows to them."""

_THREE_COLUMNS: Final = 150
"""Cells of width from which on remarks and log have a column of their own."""


@dataclass(frozen=True)
class Said:
    """A sentence of the keyboard itself, such as that Num Lock is off; it goes before what the session says."""

    text: str
    tone: Tone = Tone.WARN


@dataclass(frozen=True)
class EntryRow:
    """The line being typed, and the cell where the next character goes."""

    row: Strip
    cursor: int


def page_rows(
    view: ChairView, clocks: Clocks, line: str, said: Said | None, size: tuple[int, int], look: Look
) -> list[Strip]:
    """Return the rows of the whole screen, exactly as many and as wide as `size` (width, height) says."""
    width, height = size
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        return _too_small(view, line, size, look)
    top = [header_row(view, clocks, width, look), *_banner(view.banner, width, look)]
    if height >= 30 and view.subtitle and not view.covered and view.page is None:
        top.insert(1, strip(width, look.panel(), (f" {view.subtitle}", look.panel(Tone.QUIET))))
    band = band_rows(view.band, width, look, most=3) if view.band else []
    saying = said or Said(view.saying, view.saying_tone)
    foot = [
        *band,
        *saying_rows(saying.text, saying.tone, width, look, most=1 if view.page else 2 if band else 3),
        entry_row(view.armed, line, width, look).row,
        _legend(view.prompt.legend, width, look),
    ]
    return [*top, *_body(view, width, height - len(top) - len(foot), look), *foot]


def header_row(view: ChairView, clocks: Clocks, width: int, look: Look) -> Strip:
    """Return whose tooth this is, and the clocks; while a blind question stands only where to read its answer."""
    title = f" Read this {clean(view.prompt.blind)}" if view.covered else f" {clean(view.title)}"
    shown = _clocks(clocks, width - cell_len(title) - 2)
    room = width - cell_len(shown) - 2
    title = cut(title, room)
    gap = " " * (room - cell_len(title) + 1)
    return strip(width, look.panel(), (title, look.panel(bold=True)), (f"{gap}{shown} ", look.panel()))


def _clocks(clocks: Clocks, room: int) -> str:
    """Return as many clocks as fit beside the title, at least the time of day and that of the visit."""
    now, visit = clean(clocks.now), f"visit {clean(clocks.visit)}" if clocks.visit else ""
    step = f"step {clean(clocks.step)}" if clocks.step else ""
    solution = f"solution {clean(clocks.solution)}" if clocks.solution else ""
    wishes = [(solution, step, visit, now), (solution, visit, now), (visit, now)]
    texts = ["   ".join(part for part in wish if part) for wish in wishes]
    return next((text for text in texts if cell_len(text) <= room), texts[-1])


def entry_row(armed: str, line: str, width: int, look: Look) -> EntryRow:
    """Return the line being typed; of a long one the end is shown, where the next character goes."""
    before = f" {cut(armed, width // 3)} " if armed else " "
    mark = "scan > " if line.startswith("]") else "> "
    typed = cut_front(line, width - cell_len(before) - len(mark) - 2)
    pieces = (
        (before, look.panel(Tone.WARN, bold=True)),
        (mark, look.panel_accent()),
        (typed, look.panel(bold=True)),
        ("_", look.panel_accent()),
    )
    return EntryRow(strip(width, look.panel(), *pieces), cell_len(before) + len(mark) + cell_len(typed))


def _banner(banner: str, width: int, look: Look) -> list[Strip]:
    if not banner:
        return []
    text = cut(banner, width - 2)
    left = " " * ((width - cell_len(text)) // 2)
    return [strip(width, look.bar(Tone.WARN), (f"{left}{text}", look.bar(Tone.WARN)))]


def _legend(legend: str, width: int, look: Look) -> Strip:
    return strip(width, look.plain, (f" {clean(legend)}", look.quiet))


def _body(view: ChairView, width: int, height: int, look: Look) -> list[Strip]:
    if view.page is not None:
        return text_rows(view.page, width, height, look)
    left = _steps_width(width) if view.steps else 0
    right = width * 3 // 10 if width >= _THREE_COLUMNS else 0
    main = width - left - 3 - (right + 2 if right else 0)
    moment, history = _moment_blocks(view, main, look), _history_blocks(view, right or main, look)
    columns = [
        step_rows(view.steps, left, height, look),
        [Strip.blank(2, look.plain)] * height,
        column(main, height, look.plain, moment if right else [*moment, *history]),
        [Strip.blank(1, look.plain)] * height,
    ]
    if right:
        columns += [column(right, height, look.plain, history), [Strip.blank(2, look.plain)] * height]
    return [Strip.join(parts) for parts in zip(*columns, strict=True)]


def _steps_width(width: int) -> int:
    return 22 if width < 100 else 26 if width < 120 else 30 if width < 160 else 34


def _moment_blocks(view: ChairView, width: int, look: Look) -> list[Block]:
    prompt = view.prompt
    blocks: list[Block] = []
    if view.covered:
        blocks.append(cover_block(prompt.blind, min(len(view.canals), 5) + 1, width, look, rank=5))
    elif view.canals:
        blocks.append(canal_block(view.canals, width, look, rank=5))
    blocks.append(question_block(prompt, width, look, rank=1))
    if prompt.choices:
        blocks.append(choice_block(prompt.choices, width, look, rank=2))
    if prompt.offer:
        blocks.append(offer_block(prompt.offer, width, look, rank=3))
    if view.readback and not view.covered:
        blocks.append(readback_block(view.readback, width, look, rank=4))
    return blocks


def _history_blocks(view: ChairView, width: int, look: Look) -> list[Block]:
    """Return remarks and log; while a blind question stands neither, since both may name the answer."""
    if view.covered:
        return []
    blocks: list[Block] = []
    if view.remarks or view.more_remarks:
        blocks.append(remark_block(view.remarks, view.more_remarks, width, look, rank=6))
    if view.log:
        blocks.append(log_block(view.log, width, look, rank=7))
    if view.prompt.sums or len(view.prompt.choices) > _LONG_LIST:
        return [replace(block, least=0) for block in blocks]  # sums and a list to choose from come before what has been
    return blocks


def _too_small(view: ChairView, line: str, size: tuple[int, int], look: Look) -> list[Strip]:
    width, height = size
    sentence = (
        f"This window is {width} x {height}; {LEAST_WIDTH} x {LEAST_HEIGHT} are needed. "
        "Make it larger: nothing is lost, and typing goes on."
    )
    rows = saying_rows(sentence, Tone.WARN, width, look, most=max(height - 1, 1))
    blank = Strip.blank(width, look.plain)
    rows += [blank] * (height - 1 - len(rows))
    return [*rows[: max(height - 1, 0)], entry_row(view.armed, line, width, look).row][:height]
