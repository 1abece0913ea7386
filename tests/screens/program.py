"""`python -m tests.screens.program FOLDER` shows a desk without a session on this terminal; lines go to FOLDER."""

from __future__ import annotations

import signal
import sys
import time
from pathlib import Path

from stepper.screens import terminal
from stepper.screens.run import run
from tests.screens.desks import FakeDesk


class FilingDesk(FakeDesk):
    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._folder = folder

    def enter(self, line: str) -> None:
        super().enter(line)
        with (self._folder / "entered").open("a") as file:
            file.write(f"{line}\n")

    def leave(self) -> None:
        super().leave()
        with (self._folder / "left").open("a") as file:
            file.write("left\n")


def main(folder: Path, *wishes: str) -> int:
    if "deaf" in wishes:  # as if nothing listened for signals, so that only the watch can notice the loss
        terminal.SIGNALS = ()  # type: ignore[misc]
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
    desk = FilingDesk(folder)
    if "stall" in wishes:
        desk.enter = _stalling(desk.enter)  # type: ignore[method-assign]
    if "slow" in wishes:
        desk.view = _slowly(desk.view)  # type: ignore[method-assign]
    return run(desk, folder / "crashes")


def _slowly(ask):
    def view():
        time.sleep(1.0)
        return ask()

    return view


def _stalling(enter):
    def take(line: str) -> None:
        if len(line) % 3 == 0:  # a third of the lines
            time.sleep(0.3)
        enter(line)

    return take


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), *sys.argv[2:]))
