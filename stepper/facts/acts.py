"""What was in a canal, kept so that a long visit costs no more to look at than a short one.

Acts come in the order of their places nearly always, so the order is kept as they come, and made anew only after one
that did not come last. Nothing here decides anything: whoever asks gets what sorting and searching all would give.
"""

from bisect import bisect_left
from collections.abc import Hashable, Sequence
from decimal import Decimal
from typing import Generic, TypeVar

from msgspec import Struct

Place = tuple[int, int, int]
"""Where an entry stands in the order: (an entry, microseconds after it, its own number).

An entry keyed as it happened stands at its own number; one keyed as having happened earlier stands after the entry that
was the last before that moment.
"""


class FileUse(Struct, frozen=True, gc=False):
    """A file in the canal. `absolute_mm` is its tip from the reference point, None where no length was in force."""

    size: int
    taper: Decimal
    short_mm: Decimal
    absolute_mm: Decimal | None
    purpose: str
    place: Place
    seq: int
    stock: int | None
    outside: bool

    @property
    def what(self) -> Hashable:
        """All but when it was."""
        return (self.size, self.taper, self.short_mm, self.absolute_mm, self.purpose, self.stock, self.outside)


class Rinse(Struct, frozen=True, gc=False):
    """An irrigant in the canal, by its family (such as hypochlorite)."""

    item: str
    family: str
    place: Place
    seq: int
    outside: bool

    @property
    def what(self) -> Hashable:
        """Its family."""
        return self.family


Act = TypeVar("Act", bound=FileUse | Rinse)


class Acts(dict[tuple[str, int], Act], Generic[Act]):
    """Acts by the step and the entry that said them."""

    def __init__(self) -> None:
        super().__init__()
        self._order: list[Act] | None = []
        self._alike: dict[Hashable, list[Act]] = {}

    def __setitem__(self, key: tuple[str, int], act: Act) -> None:
        before = self.get(key)
        super().__setitem__(key, act)
        if self._order is not None and not self._came_last(before, act):
            self._order = None

    @property
    def in_order(self) -> Sequence[Act]:
        """All of them, in their order; not to be changed."""
        if self._order is None:
            order = sorted(self.values(), key=_place_of)
            self._order, self._alike = order, {}
            for act in order:
                self._alike.setdefault(act.what, []).append(act)
        return self._order

    @property
    def firsts(self) -> list[Act]:
        """The first of each that are alike, in their order."""
        return [alike[0] for alike in self._sorted_out().values()]

    @property
    def lasts(self) -> list[Act]:
        """The last of each that are alike, in no promised order."""
        return [alike[-1] for alike in self._sorted_out().values()]

    def last_before(self, what: Hashable, place: Place) -> Act | None:
        """Give the last of a kind before a place."""
        alike = self._sorted_out().get(what, [])
        index = bisect_left(alike, place, key=_place_of)
        return alike[index - 1] if index else None

    def _sorted_out(self) -> dict[Hashable, list[Act]]:
        return self._alike if self.in_order is not None else {}

    def _came_last(self, before: Act | None, act: Act) -> bool:
        """Keep the order with an act that comes last, or that takes the place of the last; tell whether it is so."""
        order = self._order
        if order is None:
            return False
        if before is not None:
            if order[-1] is not before:
                return False
            order.pop()
            alike = self._alike[before.what]
            alike.pop()
            if not alike:
                del self._alike[before.what]
        if order and order[-1].place >= act.place:
            return False
        order.append(act)
        self._alike.setdefault(act.what, []).append(act)
        return True


def _place_of(act: FileUse | Rinse) -> Place:
    return act.place
