"""The shape of the table: where a slip happens, what was meant, what is struck, and what must follow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True)
class Place:
    """A question: the station of the visit, what is keyed there first, and the line that is meant."""

    at: str
    meant: str
    before: tuple[str, ...] = ()


@dataclass(frozen=True)
class Refused:
    """Refused in a sentence that holds these words. Nothing is logged, and the same is asked again."""

    words: str


@dataclass(frozen=True)
class ReadBack:
    """Logged; the sentence or the read-back holds these words. `.` and `mend` take it back.

    Then everything stands as if the line had been keyed that was meant; or, where it was `undone`, as if no line had
    been. `rings`: the rule that asks about it; `leave` leaves that question. Where no rule does, reading back is all
    there is between the slip and the record. `covered`: blind questions come next, and are answered first.
    """

    words: str
    mend: str
    undone: bool = False
    rings: str = ""
    leave: tuple[str, ...] = ()
    covered: tuple[str, ...] = ()


@dataclass(frozen=True)
class Held:
    """Not logged as done: a rule speaks before the act. `back` leaves the list, and what was meant can be keyed."""

    rule: str
    words: str
    back: str = "1"


@dataclass(frozen=True)
class Opens:
    """A list is opened, or another place gone to, and no fact logged; the screen says which. `back` is one line."""

    title: str
    back: str


Follows: TypeAlias = Refused | ReadBack | Held | Opens


@dataclass(frozen=True)
class Slip:
    """One slip."""

    what: str
    place: Place
    struck: str
    follows: Follows

    @property
    def name(self) -> str:
        """What a test of it is called."""
        return f"{self.place.at} | {self.what} | {self.place.meant or 'Enter'} as {self.struck or 'Enter'}"


def refused(place: Place, *rows: tuple[str, str, str]) -> Iterator[Slip]:
    """Slips at a place that are refused: what, the line struck, words of the sentence."""
    for what, struck, words in rows:
        yield Slip(what, place, struck, Refused(words))


def read_back(place: Place, *rows: tuple[str, str, str, str]) -> Iterator[Slip]:
    """Slips at a place that are only read back: what, the line struck, words of the read-back, the line that mends."""
    for what, struck, words, mend in rows:
        yield Slip(what, place, struck, ReadBack(words, mend))


def opens(place: Place, *rows: tuple[str, str, str, str]) -> Iterator[Slip]:
    """Slips at a place that open a list: what, the line struck, the title of what is opened, the line that leaves."""
    for what, struck, title, back in rows:
        yield Slip(what, place, struck, Opens(title, back))
