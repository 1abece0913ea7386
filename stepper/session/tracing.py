"""The trace of the questions shown, for tests and for training: what is asked, never a value."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from stepper.case.slots import next_question, slot
from stepper.session.room import Room

Trace = Callable[[Mapping[str, object]], None]


class Tracer:
    """Writes what is shown whenever that is another question than before."""

    def __init__(self, write: Trace | None) -> None:
        self._write = write
        self._last: dict[str, object] = {}

    def shown(self, room: Room, mode: str | None) -> None:
        """Trace the question of the moment, or the name of the mode that stands over it."""
        if self._write is None:
            return
        here = slot(room.case, room.cursor) if mode is None else None
        question = next_question(room.case, here, {}) if here is not None else None
        shown: dict[str, object] = {
            "step": room.cursor.step,
            "canal": here.canal if here is not None else room.cursor.canal,
            "question": question.id if question is not None else None,
            "kind": question.kind if question is not None else mode or "asking",
            "blind": bool(question is not None and question.blind),
        }
        if shown != self._last:
            self._last = shown
            self._write(shown)
