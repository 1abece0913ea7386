"""Computed values: what the record comes to, by names that a rule of a protocol can use."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, TypeAlias, TypeVar

from stepper.kinds.judging import Seen

T = TypeVar("T")


@dataclass(frozen=True)
class Result:
    """A value, and the entries that it was computed from."""

    value: Decimal | str
    entries: tuple[int, ...]


@dataclass(frozen=True)
class Computed:
    """A value that can be computed of the tooth (`T`, then canal is 0) or of each canal (`C`).

    `words` lists what it may be where it is no number. `of` gives None where the record does not tell.
    """

    name: str
    scope: Literal["T", "C"]
    unit: str
    what: str
    of: Callable[[Seen, int], Result | None]
    words: tuple[str, ...] = ()


Found: TypeAlias = tuple[T, tuple[int, ...]]
"""What several values are picked from, and the entries that it was reckoned from."""


def picked(
    find: Callable[[Seen, int], Found[T] | None], pick: Callable[[T], Decimal | int | str | None]
) -> Callable[[Seen, int], Result | None]:
    """Make the function of a value that is picked from something found once for several values."""

    def of(seen: Seen, canal: int) -> Result | None:
        found = find(seen, canal)
        return result(pick(found[0]), found[1]) if found is not None else None

    return of


def result(value: Decimal | int | str | None, entries: tuple[int, ...]) -> Result | None:
    """Make a result, or None where there is no value."""
    if value is None:
        return None
    return Result(Decimal(value) if isinstance(value, int) else value, tuple(sorted(set(entries))))
