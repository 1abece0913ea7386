"""Driving a session without a screen: the lobby and the session behind it, line by line, under a set clock."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import ClassVar

from stepper.case.state import Case
from stepper.protocol.load import load_file
from stepper.protocol.settings import Settings
from stepper.record.clock import SetClock
from stepper.record.places import bundled
from stepper.session.house import House
from stepper.session.lobby import Lobby
from stepper.session.session import Session
from stepper.session.view import ChairView

START = dt.datetime.fromisoformat("2026-03-02T09:00:00+01:00")
STEP_S = 20.0
"""How far each entered line moves the clock."""


class Chair:
    """A chair with its keyboard: `key` enters lines as the keypad would."""

    made: ClassVar[list[Chair]] = []
    """Those made in this process, to be left when a test is over."""

    def __init__(self, folder: Path, *, protocol: Path | None = None, start: dt.datetime = START) -> None:
        self.clock = SetClock(start)
        loaded, text = load_file(protocol or bundled("protocols") / "one_visit.toml")
        self.trace: list[dict[str, object]] = []
        house = House(
            folder,
            self.clock,
            loaded,
            text,
            Settings(),
            "",
            lambda: self.clock.advance(STEP_S),
            lambda members: self.trace.append(dict(members)),
        )
        Chair.made.append(self)
        self.bells = 0
        self._last: Session | None = None
        self.lobby = Lobby(house)

    def key(self, *lines: str) -> ChairView:
        """Enter lines one after the other and give what is shown then; `AWAY 3` lets three minutes pass."""
        for line in lines:
            if line.startswith("AWAY "):
                self.clock.advance(60 * float(line.split()[1]))
                continue
            self.lobby.enter(line)
            self._last = self.lobby.session or self._last
            self.bells += self.lobby.bells()
        return self.lobby.view()

    def open(self, patient: str = "4711", tooth: str = "11") -> ChairView:
        """Open a new session by the form."""
        return self.key("1", patient, tooth, "1", "2", "1")

    @property
    def session(self) -> Session:
        """The open session, or the last that was."""
        assert self._last is not None
        return self._last

    @property
    def case(self) -> Case:
        """Its case."""
        return self.session.room.case

    @property
    def path(self) -> Path:
        """Its file."""
        return self.session.room.journal.path


def script(path: Path) -> list[str]:
    """Read a keystroke script: one entered line a line; what follows ` #` and lines that open with # are remarks."""
    lines = [line.split(" #")[0].strip() for line in path.read_text(encoding="utf-8").splitlines() if line[:1] != "#"]
    return ["" if line == "ENTER" else line for line in lines if line]
