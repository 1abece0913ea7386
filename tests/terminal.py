"""The real program in a pseudo-terminal, with a terminal emulator to read its screen by."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pyte

DOUBLED_ENTER_S = 0.7
"""An empty Enter this soon after another is ignored by the program, so the harness waits longer."""


NOT_INHERITED = ("COLUMNS", "LINES", "COLORTERM", "NO_COLOR", "LC_CTYPE", "PYTHONIOENCODING", "PYTHONUTF8", "TMUX")
ORDINARY = {"TERM": "xterm-256color", "LC_ALL": "C.UTF-8", "PYTHONDONTWRITEBYTECODE": ""}


class Terminal:
    """A program at a terminal of its own."""

    def __init__(
        self,
        arguments: Sequence[str],
        *,
        columns: int = 80,
        rows: int = 24,
        env: dict[str, str] | None = None,
        program: Sequence[str] = (sys.executable, "-m", "stepper"),
    ) -> None:
        self.screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self.screen)
        self.raw = bytearray()
        self.status: int | None = None
        inherited = {name: value for name, value in os.environ.items() if name not in NOT_INHERITED}
        environment = {**inherited, **ORDINARY, **(env or {})}
        self.pid, self.master = pty.fork()
        if self.pid == 0:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
            os.execvpe(program[0], [*program, *arguments], environment)

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *_: object) -> None:
        self.kill()

    @property
    def text(self) -> str:
        """What the screen shows."""
        return "\n".join(self.screen.display)

    def read(self, seconds: float = 0.0) -> bool:
        """Take in what the program wrote; tell whether there was anything."""
        ready, _, _ = select.select([self.master], [], [], seconds)
        if not ready:
            return False
        try:
            data = os.read(self.master, 65536)
        except OSError:
            return False
        self.raw += data
        self._stream.feed(data)
        return bool(data)

    def quiet(self, seconds: float = 0.15, most: float = 10.0) -> None:
        """Read until nothing came for a while; the ticking clock makes it a short while."""
        end = time.monotonic() + most
        while time.monotonic() < end and self.read(seconds):
            pass

    def wait(self, shown: str | Callable[[str], bool], most: float = 20.0) -> str:
        """Read until the screen shows something."""
        end = time.monotonic() + most
        holds = (lambda text: shown in text) if isinstance(shown, str) else shown
        while not holds(self.text):
            if time.monotonic() > end:
                raise AssertionError(f"never shown: {shown!r}\n{self.text}")
            self.read(0.05)
        while self.read(0.01):
            pass  # a frame can come in pieces
        return self.text

    def send(self, text: str) -> None:
        """Type."""
        os.write(self.master, text.encode())

    def resize(self, columns: int, rows: int) -> None:
        """Make the window larger or smaller."""
        self.screen.resize(rows, columns)
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    @property
    def words(self) -> str:
        """What the screen shows, in one line with single blanks, so that a folded sentence can be found."""
        return " ".join(self.text.split())

    @property
    def line(self) -> str:
        """What is typed in the line, read off the screen."""
        row = next(row for row in reversed(self.text.split("\n")) if "> " in row and row.rstrip().endswith("_"))
        return row.partition("> ")[2].rstrip()[:-1]

    @property
    def modes(self) -> list[object]:
        """The modes of the terminal."""
        return termios.tcgetattr(self.master)

    def key(self, lines: Sequence[str]) -> None:
        """Type lines, each with its Enter; an empty line waits until it cannot be taken for a doubled Enter."""
        for line in lines:
            if not line:
                self.quiet()
                time.sleep(DOUBLED_ENTER_S + 0.1)
            self.send(line + "\r")
            self.quiet(0.03)

    def end(self, most: float = 10.0) -> int:
        """Wait for the program to end and give its exit code; negative for the signal that ended it."""
        end = time.monotonic() + most
        while self.status is None:
            self.read(0.02)
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self.status = os.waitstatus_to_exitcode(status)
            elif time.monotonic() > end:
                raise AssertionError(f"still running\n{self.text}")
        while self.read(0.05):
            pass
        return self.status

    def kill(self, number: int = signal.SIGKILL) -> None:
        """End the program if it still runs."""
        if self.status is None:
            os.kill(self.pid, number)
            _, status = os.waitpid(self.pid, 0)
            self.status = os.waitstatus_to_exitcode(status)
        os.close(self.master) if self.master >= 0 else None
        self.master = -1


def chair(
    folder: Path,
    *,
    columns: int = 80,
    rows: int = 24,
    clock: str = "2026-03-02T09:00:00+01:00/20",
    options: Sequence[str] = (),
) -> Terminal:
    """Start the chair on a folder under a test clock and wait for its start screen."""
    environment = {"STEPPER_TEST_CLOCK": clock} if clock else {}
    terminal = Terminal(["chair", "--dir", str(folder), *options], columns=columns, rows=rows, env=environment)
    terminal.wait("sound test")  # the last that comes: the first screen stands before the rest is loaded
    return terminal
