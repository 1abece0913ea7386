"""What a screen asks of whoever sits behind it: the session, or the lobby before one is chosen."""

from __future__ import annotations

from typing import Protocol

from stepper.lines.keys import Direction
from stepper.session.view import ChairView, Clocks


class Desk(Protocol):
    """One line in, one view out; everything that was entered is durable when `enter` returns."""

    def view(self) -> ChairView:
        """Return the whole screen as it stands."""

    def answer(self, before: ChairView) -> ChairView | None:
        """Return what answers the last line, at once: what stands at a glance is still that of `before`.

        None where everything has to change together; whoever shows it asks for the whole `view` right after.
        """

    def clocks(self) -> Clocks:
        """Return the clocks; cheap, asked once a second."""

    def enter(self, line: str) -> None:
        """Take one entered line; it is on disk when this returns."""

    def fit(self, rows: int) -> None:
        """Take so many rows for a page of text from now on."""

    def typing(self, line: str) -> None:
        """Keep the half-typed line, so that it can be offered at the next start."""

    def move(self, direction: Direction) -> None:
        """Take an arrow pressed on an empty line."""

    def take_offer(self) -> None:
        """Take what is offered, as Tab wishes."""

    def menu(self) -> None:
        """Open the menu."""

    def bells(self) -> int:
        """Return how many times to ring now, 0 to 3; asking resets it."""

    def leave(self) -> None:
        """Close the files; nothing is entered afterwards."""

    @property
    def pending(self) -> str:
        """The half-typed line that the last run left behind."""
