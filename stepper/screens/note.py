"""The note beside a replay, as many lines of it as there is room for, around those of the entry that one is at."""

from __future__ import annotations

from textual.strip import Strip

from stepper.screens.kept import kept
from stepper.screens.palette import Look
from stepper.screens.rows import Block, clean, fold, strip
from stepper.session.view import NoteLine

_SIGN = 2
_HEADING = "In the note"


@kept
def note_block(lines: tuple[NoteLine, ...], width: int, look: Look, *, rank: int) -> Block:
    """Return the note's lines; in little room those of the entry, or where it has none, the last ones."""
    rows: list[Strip] = []
    here: list[int] = []
    for line in lines:
        painted = _rows(line, width, look)
        here += range(len(rows), len(rows) + len(painted)) if line.here else ()
        rows += painted
    first, last = (here[0], here[-1]) if here else (len(rows) - 1, len(rows) - 1)

    def paint(given: int) -> list[Strip]:
        room = max(given - 1, 0)
        before = max(room - (last - first + 1), 0) // 2
        begin = max(min(first - before, len(rows) - room), 0)
        words = _HEADING if here else f"{_HEADING} nothing comes from this entry"
        return [strip(width, look.panel(), (f" {words}", look.quiet)), *rows[begin : begin + room]][:given]

    fair = min(last - first + 2, 6)
    return Block(rank, least=min(fair, 2), fair=fair, full=len(rows) + 1, paint=paint)


def _rows(line: NoteLine, width: int, look: Look) -> list[Strip]:
    text = clean(line.text).upper() if line.title else clean(line.text)
    style = look.quiet if line.title else look.current if line.here else look.plain
    return [
        strip(width, look.plain, (f"{line.sign if number == 0 else ' '} ", look.plain), (words, style))
        for number, words in enumerate(fold(text, width - _SIGN))
    ]
