"""A chair behind its lock: PINs that cost nothing to try, and keys that go through the lock."""

from __future__ import annotations

from pathlib import Path

import tomli_w

from stepper.facts.record import written
from stepper.session.locking import Door, Locking
from stepper.session.pins import hashed
from stepper.session.view import ChairView
from tests.drive import STEP_S, Chair

PIN = "4711"
AFTER_MIN = 5
PEOPLE = frozenset({1, 2})


def pins(path: Path, given: dict[int, str]) -> None:
    """Write a file of PINs as the command does, at the least cost that scrypt has."""
    made = [written(hashed(person, pin, n=2, r=1, p=1)) for person, pin in given.items()]
    path.write_text(tomli_w.dumps({"pin": made}), encoding="ascii")


class Locked:
    """A chair whose lines go through the lock; person 2 has a PIN, unless the file says otherwise."""

    def __init__(
        self,
        chair: Chair,
        file: Path,
        *,
        given: dict[int, str] | None = None,
        initials: dict[int, str] | None = None,
    ) -> None:
        self.chair, self.file = chair, file
        if given is not None:
            pins(file, given)
        door = Door(file, AFTER_MIN, PEOPLE, "The invented practice", initials or {})
        self.desk = Locking(chair.lobby, chair.clock, door, lambda: chair.clock.advance(STEP_S))

    def key(self, *lines: str) -> ChairView:
        """Enter lines as a keypad does, each typed before its Enter."""
        view = self.desk.view()
        for line in lines:
            self.desk.typing(line)
            self.desk.enter(line)
            view = self.desk.view()
        return view

    def wait(self, minutes: float) -> ChairView:
        """Let time pass without a key."""
        self.chair.clock.advance(60 * minutes)
        return self.desk.view()


def locked(chair: Chair, folder: Path) -> Locked:
    """A chair that begins locked, as every start does."""
    return Locked(chair, folder / "pins.toml", given={2: PIN})


def opened(chair: Chair, folder: Path) -> Locked:
    """The same, opened."""
    at = locked(chair, folder)
    at.key(f"2**{PIN}")
    return at
