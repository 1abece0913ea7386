"""`python -m tests.bench.filing FOLDER`: the real screens before a desk that files every line entered.

On SIGUSR1 the desk stalls for 300 ms, in whatever it does then, as a slow disk would make it; keys go on coming.
"""

from __future__ import annotations

import json
import signal
import sys
import time
from pathlib import Path

from stepper.screens.run import run
from tests.screens.desks import FakeDesk

STALL_S = 0.3


class Filing(FakeDesk):
    """Files what is entered, one JSON text a line, before it says so on the screen."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._file = folder / "entered"

    def enter(self, line: str) -> None:
        """File a line."""
        super().enter(line)
        with self._file.open("a", encoding="utf-8") as file:
            file.write(json.dumps(line) + "\n")


def _stall(_number: int, _frame: object) -> None:
    time.sleep(STALL_S)


if __name__ == "__main__":
    signal.signal(signal.SIGUSR1, _stall)
    sys.exit(run(Filing(Path(sys.argv[1])), Path(sys.argv[1]) / "crashes"))
