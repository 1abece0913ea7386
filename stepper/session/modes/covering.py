"""What may still be said of answers while a blind question comes next, and the screen covers the rest."""

from __future__ import annotations

from collections.abc import Mapping

from stepper.case.slots import next_question, slot
from stepper.facts.values import Choice, Day, Expiry, Value
from stepper.kinds.union import AnyQuestion
from stepper.note.words import show_all
from stepper.session.room import Room

_UNCOVERED = (Choice, Day, Expiry)
"""Kinds of answer of which none is a size, a depth, a number or a tooth."""


def blind_next(room: Room) -> AnyQuestion | None:
    """Give the question that is asked next, if it is blind."""
    here = slot(room.case, room.cursor)
    question = next_question(room.case, here, {}) if here is not None else None
    return question if question is not None and question.blind else None


def sayable(room: Room, step: str, values: Mapping[str, Value]) -> str:
    """Say the answers of a row in words; before a blind question only those that cannot answer it, perhaps none."""
    blind = blind_next(room)
    if blind is None:
        return show_all(room.protocol, step, values)
    shown = {name: one for name, one in values.items() if isinstance(one, _UNCOVERED) and type(one) not in blind.HOLDS}
    return show_all(room.protocol, step, shown, named=len(shown) < len(values))
