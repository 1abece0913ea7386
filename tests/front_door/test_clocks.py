"""The clocks of the real program in a pseudo-terminal: a tick writes the cells of what moved, and nothing else."""

from __future__ import annotations

import time
from pathlib import Path

import pyte

from tests.terminal import chair


class Drawn(pyte.Screen):
    """A screen that keeps which cells were written."""

    def __init__(self, columns: int, lines: int) -> None:
        self.cells: list[tuple[int, int]] = []
        super().__init__(columns, lines)

    def draw(self, data: str) -> None:
        for sign in data:
            self.cells.append((self.cursor.y, self.cursor.x))
            super().draw(sign)


def test_a_tick_writes_the_rows_of_clocks_that_moved_up_to_their_cells_and_nothing_else(tmp_path: Path) -> None:
    """Textual writes a row from its left edge on; what stands right of the clock that moved, and below, is not."""
    with chair(tmp_path, clock="") as terminal:
        terminal.key(["1", "4711", "36", "1", "2", "1"])
        terminal.wait("step ")
        terminal.quiet(0.3, 2.0)
        header, *below = terminal.screen.display
        terminal.raw.clear()
        end = time.monotonic() + 2.6
        while time.monotonic() < end:
            terminal.read(0.1)
        written = Drawn(80, 24)
        pyte.ByteStream(written).feed(bytes(terminal.raw))
        after = terminal.screen.display
    assert after[0] != header, "the clocks went on"
    assert after[1:] == below
    assert written.cells, "something was written"
    assert {row for row, _ in written.cells} == {0}
    minute = 79 if after[0][-6:] != header[-6:] else 0
    last = max(header.index("visit") + len("visit 0:00"), minute)
    assert max(column for _, column in written.cells) < last
    assert len(written.cells) <= 3 * last, "at most three ticks, a row's part each"
