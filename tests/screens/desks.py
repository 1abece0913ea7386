"""A desk without a session: it keeps what was asked of it, and shows what it is told to show."""

from __future__ import annotations

from dataclasses import replace

from stepper.lines.keys import Direction
from stepper.session.view import ChairView, Clocks
from tests.screens.views import CLOCKS, SHAPING


class FakeDesk:
    """Says back the line entered; `over` ends it, `boom` is a fault, `ring` and `ring2` ring."""

    def __init__(self, view: ChairView = SHAPING, pending: str = "") -> None:
        self.shown = view
        self.pending = pending
        self.time = CLOCKS
        self.entered: list[str] = []
        self.half_typed: list[str] = []
        self.wishes: list[str] = []
        self.left = 0
        self._bells = 0

    def view(self) -> ChairView:
        return self.shown

    def answer(self, before: ChairView) -> ChairView | None:  # noqa: ARG002 - the whole comes at once
        return None

    def clocks(self) -> Clocks:
        return self.time

    def enter(self, line: str) -> None:
        patient_name = "Invented Person"
        self.entered.append(line)
        if line == "boom":
            raise RuntimeError(f"a fault, {len(patient_name)}")
        self._bells = {"ring": 1, "ring2": 2}.get(line, 0)
        self.shown = replace(self.shown, saying=f"Logged: {line}", over=line == "over")

    def fit(self, rows: int) -> None:
        self.rows = rows

    def typing(self, line: str) -> None:
        self.half_typed.append(line)

    def move(self, direction: Direction) -> None:
        self.wishes.append(direction)

    def take_offer(self) -> None:
        self.wishes.append("offer")

    def menu(self) -> None:
        self.wishes.append("menu")

    def bells(self) -> int:
        rings, self._bells = self._bells, 0
        return rings

    def leave(self) -> None:
        self.left += 1
