"""What was painted before and is wanted again. Most of the screen stands as it stood before the last line."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from textual.strip import Strip

A = TypeVar("A")
P = ParamSpec("P")
R = TypeVar("R")

_LAST = 8
_ROWS = 256


def kept(paint: Callable[Concatenate[A, P], R]) -> Callable[Concatenate[A, P], R]:
    """Keep what a function made of its last arguments; the first is looked at first, and is the same object mostly.

    Unlike a cache that hashes, it costs nothing for a long list of records that was handed in before.
    """
    last: list[tuple[A, object, R]] = []

    @wraps(paint)
    def painted(first: A, /, *args: P.args, **more: P.kwargs) -> R:
        rest = (args, more)
        for was, others, made in last:
            if (was is first or was == first) and others == rest:
                return made
        made = paint(first, *args, **more)
        last.insert(0, (first, rest, made))
        del last[_LAST:]
        return made

    return painted


class KeptRows:
    """Rows by the very strips that they were put together from, and by where these stood."""

    def __init__(self) -> None:
        self._rows: dict[tuple[int, ...], tuple[tuple[Strip, ...], Strip]] = {}

    def of(self, strips: tuple[Strip, ...], where: tuple[int, ...], make: Callable[[], Strip]) -> Strip:
        """Give the row made of these strips before, or make it."""
        key = (*map(id, strips), *where)
        found = self._rows.get(key)
        if found is None:
            if len(self._rows) >= _ROWS:
                self._rows.clear()
            found = self._rows[key] = (strips, make())  # it holds the strips, so that their ids stay their own
        return found[1]
