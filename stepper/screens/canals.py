"""The canals at a glance, one row each."""

from __future__ import annotations

from rich.cells import cell_len
from textual.strip import Strip

from stepper.screens.kept import kept
from stepper.screens.palette import Look
from stepper.screens.rows import Block, Piece, clean, fill, strip
from stepper.screens.steps import window
from stepper.session.view import CanalCell, Tone

_HEADINGS = ("", "canal", "length", "gauge", "file", "cone", "gate", "outcome")
_LEAST_WIDTH = 4
_NO_VALUE = "·"


@kept
def canal_block(canals: tuple[CanalCell, ...], width: int, look: Look, *, rank: int) -> Block:
    """Return the table of the canals; where they do not all fit, those around the current one."""
    cells = [_cells(canal) for canal in canals]
    widths = _widths([_HEADINGS, *cells], width)
    current = next((index for index, canal in enumerate(canals) if canal.current), 0)

    def paint(rows: int) -> list[Strip]:
        shown = window(len(canals), current, rows - 1)
        head = _row(_HEADINGS, widths, width, look, None)
        return [head, *(_row(cells[index], widths, width, look, canals[index]) for index in shown)]

    rows = len(canals) + 1
    return Block(rank, least=min(rows, 5), fair=min(rows, 6), full=rows, paint=paint)


def _cells(canal: CanalCell) -> tuple[str, ...]:
    values = (canal.length, canal.gauge, canal.file, canal.cone, canal.gate, canal.outcome)
    return (str(canal.number), clean(canal.name), *(clean(value) or _NO_VALUE for value in values))


def _widths(table: list[tuple[str, ...]], width: int) -> list[int]:
    """Return the width of each column, the widest ones narrowed until the row fits; one blank stands between two."""
    widths = [max(cell_len(cells[index]) for cells in table) for index in range(len(_HEADINGS))]
    blanks = len(widths) - 1
    while sum(widths) + blanks > width and max(widths) > _LEAST_WIDTH:
        widths[widths.index(max(widths))] -= 1
    spare = width - sum(widths) - blanks
    if spare >= blanks:
        widths = [wide + min(spare // blanks, 2) for wide in widths[:-1]] + widths[-1:]
    return widths


def _row(cells: tuple[str, ...], widths: list[int], width: int, look: Look, canal: CanalCell | None) -> Strip:
    if canal is not None and canal.current:
        text = " ".join(fill(cell, wide) for cell, wide in zip(cells, widths, strict=True))
        return strip(width, look.current, (text, look.current))
    pieces: list[Piece] = []
    for index, (cell, wide) in enumerate(zip(cells, widths, strict=True)):
        if canal is None or cell == _NO_VALUE or index == 0:
            style = look.quiet
        elif index < 2:
            style = look.strong
        else:
            style = look.tone(canal.tone if index >= len(cells) - 2 else Tone.PLAIN)
        pieces.append((fill(cell, wide) + " ", style))
    return strip(width, look.plain, *pieces)
