"""What the desk has to show, as it was last asked for it."""

from __future__ import annotations

from textual.geometry import Size

from stepper.screens.clock_cells import Cells
from stepper.screens.desk import Desk
from stepper.screens.page import Said, page_clocks
from stepper.screens.palette import Look
from stepper.session.view import Clocks

WHOLE_S = 0.02
"""After so many seconds the whole screen follows the answer to a line: the terminal has had the answer by then."""


class Shown:
    """A view and the clocks beside it. `whole`: nothing of the view is older than the last line."""

    def __init__(self, desk: Desk) -> None:
        self.ask(desk)

    def ask(self, desk: Desk) -> None:
        """Take the whole anew."""
        self.clocks = desk.clocks()  # before the view: a lock that falls between them is then noticed at the next tick
        self.view, self.whole = desk.view(), True

    def answered(self, desk: Desk) -> bool:
        """Take what answers the last line, where no more changes with it; the whole is to follow."""
        answer = desk.answer(self.view)
        if answer is not None:
            self.view, self.whole = answer, False
        return answer is not None

    def ticked(self, clocks: Clocks, said: Said | None, size: Size, look: Look) -> list[Cells] | None:
        """Take newer clocks, and give their cells; None where more of the screen changes with them."""
        before, self.clocks = self.clocks, clocks
        if (clocks.away, clocks.locked, clocks.entry) != (before.away, before.locked, before.entry):
            return None
        stood = page_clocks(self.view, before, said, size, look)
        stand = page_clocks(self.view, clocks, said, size, look)
        return stand if [one.place for one in stood] == [one.place for one in stand] else None
