"""The whole page: header, steps, the column of the moment, what was said, the line being typed, the legend.

Everything is cut to the size at hand before it is painted, so no text can push another off the screen. The line being
typed and the legend always stand in the last two rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial, reduce
from typing import Final

from rich.cells import cell_len
from textual.strip import Strip

from stepper.screens.canals import canal_block
from stepper.screens.choices import choice_block
from stepper.screens.clock_cells import Cells, Foot, clock_cells, room_for_title, spliced
from stepper.screens.coach import coach_rows
from stepper.screens.kept import KeptRows
from stepper.screens.note import note_block
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


_ROWS = KeptRows()


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
    top, foot = _frame(view, clocks, line, said, size, look)
    rows = [*top, *_body(view, width, height - len(top) - len(foot), look), *foot]
    placed: dict[int, list[Cells]] = {}
    for one in _cells(view, clocks, (len(top), len(foot)), size, look):
        placed.setdefault(one.row, []).append(one)
    for number, cells in placed.items():
        strips = (rows[number], *(one.piece for one in cells))
        rows[number] = _ROWS.of(strips, tuple(one.x for one in cells), partial(_spliced, rows[number], cells))
    return rows


def _spliced(row: Strip, cells: Sequence[Cells]) -> Strip:
    return reduce(spliced, cells, row)


def page_clocks(view: ChairView, clocks: Clocks, said: Said | None, size: tuple[int, int], look: Look) -> list[Cells]:
    """Return where each clock stands on the whole screen; while a blind question stands only the time of day."""
    top, foot = _frame(view, clocks, "", said, size, look)
    return _cells(view, clocks, (len(top), len(foot)), size, look)


def _cells(view: ChairView, clocks: Clocks, around: tuple[int, int], size: tuple[int, int], look: Look) -> list[Cells]:
    """Return the clocks' cells; `around` are the rows above and below the body."""
    shown = Clocks(clocks.now) if view.covered else clocks
    first = around[0] + len(view.steps)
    beside = view.steps and view.page is None and not view.prompt.wide
    free = max(size[1] - first - around[1], 0) if beside else 0
    title = cell_len(_title(view, clocks, size[0]))
    return clock_cells(shown, title, size[0], Foot(first, free, _steps_width(size[0])), look)


def _header_row(view: ChairView, clocks: Clocks, width: int, look: Look) -> Strip:
    """Return whose tooth this is; while a blind question stands only where to read its answer."""
    return strip(width, look.panel(), (_title(view, clocks, width), look.panel(bold=True)))


def _title(view: ChairView, clocks: Clocks, width: int) -> str:
    blind = clean(view.prompt.blind) or clean(view.subtitle).removeprefix("read it ")  # a list may lie over it
    title = f" Covered: {blind}" if view.covered else f" {clean(view.title)}"
    return cut(title, room_for_title(clocks, width))


def _frame(
    view: ChairView, clocks: Clocks, line: str, said: Said | None, size: tuple[int, int], look: Look
) -> tuple[list[Strip], list[Strip]]:
    """Return the rows above and below the body."""
    width, height = size
    top = [_header_row(view, clocks, width, look), *_banner(view.banner, width, look)]
    if height >= 30 and view.subtitle and not view.covered and view.page is None:
        top.insert(1, strip(width, look.panel(), (f" {view.subtitle}", look.panel(Tone.QUIET))))
    top += coach_rows(view.coach, width, look) if view.page is None else []
    band = band_rows(view.band, width, look, most=3) if view.band else []
    saying = said or Said(view.saying, view.saying_tone)
    foot = [
        *band,
        *saying_rows(saying.text, saying.tone, width, look, most=1 if view.page else 2 if band else 3),
        entry_row(view.armed, line, width, look).row,
        _legend(view.prompt.legend, width, look),
    ]
    return top, foot


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
    left = _steps_width(width) if view.steps and not _is_wide(view) else 0
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
    return [_ROWS.of(parts, (), partial(Strip.join, parts)) for parts in zip(*columns, strict=True)]


def _is_wide(view: ChairView) -> bool:
    """Tell whether a list takes the whole width; what a blind question covers stays covered in its place."""
    return view.prompt.wide and not view.covered


def _steps_width(width: int) -> int:
    return 22 if width < 100 else 26 if width < 120 else 30 if width < 160 else 34


def _moment_blocks(view: ChairView, width: int, look: Look) -> list[Block]:
    prompt = view.prompt
    blocks: list[Block] = []
    if view.covered:
        blocks.append(cover_block(prompt.blind, min(len(view.canals), 5) + 1, width, look, rank=5))
    elif view.canals and not prompt.wide:
        blocks.append(canal_block(view.canals, width, look, rank=5))
    blocks.append(question_block(prompt, width, look, rank=1))
    if prompt.choices:
        blocks.append(choice_block(prompt.choices, width, look, rank=2))
    if prompt.offer:
        blocks.append(offer_block(prompt.offer, width, look, rank=3))
    if view.readback and not view.covered:
        # beside a band nothing is large: the band is what is to be read
        blocks.append(readback_block(view.readback, width, look, rank=4, enlarge=view.band is None))
    return blocks


def _history_blocks(view: ChairView, width: int, look: Look) -> list[Block]:
    """Return remarks and log; while a blind question stands neither, since both may name the answer."""
    if view.covered or view.prompt.wide:
        return []
    blocks: list[Block] = []
    if view.remarks or view.more_remarks:
        blocks.append(remark_block(view.remarks, view.more_remarks, width, look, rank=6))
    if view.note:
        blocks.append(note_block(view.note, width, look, rank=7))
    if view.log:
        blocks.append(log_block(view.log, width, look, rank=8))
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
