"""A program at a pseudo-terminal of its own, whose output is stamped before it is drawn.

How long something takes to show is the time from the write of a key to the arrival of the chunk with which the screen
holds what is waited for. The emulator's own time is not in it: chunks are stamped as they are read.
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import select
import signal
import struct
import termios
import time
from collections import deque
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pyte

from tests.bench.outcome import CannotMeasureError

COLUMNS, ROWS = 80, 24
MOST_S = 30.0
"""Nothing that is measured takes longer, or something is wrong."""

_ONE_GO_S = 0.002
"""Chunks that follow one another this soon are one frame, which a terminal hands over in pieces."""

Shown = Callable[[Sequence[str]], bool]
"""Tells of the screen's rows whether what is waited for stands there."""


class Program:
    """A program that was started, its terminal, and what stands on it."""

    def __init__(self, command: Sequence[str], env: Mapping[str, str] | None = None) -> None:
        self._emulator = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self._emulator)
        self._waiting: deque[tuple[int, bytes]] = deque()
        self.raw = bytearray()
        self.status: int | None = None
        self.master, self._slave = pty.openpty()
        fcntl.ioctl(self._slave, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self.modes = termios.tcgetattr(self._slave)
        # a terminal's own size and no debugging switch of this shell; byte code is written, as it is for a user
        kept = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES")}
        own = {"TERM": "xterm-256color", "LANG": "C.UTF-8", "PYTHONDONTWRITEBYTECODE": ""}
        environment = {**kept, **own, **(env or {})}
        self.begun_ns = time.perf_counter_ns()
        self.pid = os.fork()
        if self.pid == 0:
            os.close(self.master)
            os.login_tty(self._slave)
            os.execvpe(command[0], list(command), environment)

    def __enter__(self) -> Program:
        return self

    def __exit__(self, *_: object) -> None:
        self.kill()

    @property
    def rows(self) -> Sequence[str]:
        """What the screen shows."""
        rows: list[str] = self._emulator.display
        return rows

    def type(self, text: str | bytes) -> int:
        """Write keys in one go; give the ns of the clock just before."""
        begun = time.perf_counter_ns()
        os.write(self.master, text.encode() if isinstance(text, str) else text)
        return begun

    def until(self, shown: Shown, most_s: float = MOST_S) -> int:
        """Read until the screen shows something; give the ns of the clock at which the chunk came that showed it."""
        arrived, end = time.perf_counter_ns(), time.monotonic() + most_s
        while not shown(self.rows):
            if self._waiting or self._fetch(0.05):
                arrived = self._draw()
            elif time.monotonic() > end:
                screen = "\n".join(self.rows)
                raise CannotMeasureError(f"What was waited for never came to the screen, which shows:\n{screen}")
        return arrived

    def took(self, text: str | bytes, shown: Shown) -> int:
        """Type something and give the ns until it is shown. Nothing that came before is counted for it."""
        self.drain()
        return self.until_after(self.type(text), shown)

    def until_after(self, begun: int, shown: Shown) -> int:
        """Give the ns from a moment until something is shown."""
        return self.until(shown) - begun

    def drain(self, quiet_s: float = 0.0) -> None:
        """Take in what has come, and go on until nothing came for a while."""
        while self._fetch(quiet_s):
            while self._waiting:
                self._draw()

    def rest(self, seconds: float) -> None:
        """Let time pass, and take in what comes."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            self._fetch(left)
            while self._waiting:
                self._draw()

    def signal(self, number: int) -> None:
        """Send a signal."""
        os.kill(self.pid, number)

    def hang_up(self) -> None:
        """Close the terminal, as a window that is shut does."""
        os.close(self._slave)
        os.close(self.master)
        self.master = self._slave = -1

    def ended(self, most_s: float) -> float | None:
        """Wait until the program is gone and give the seconds that took; None where it is not gone by then."""
        begun = time.monotonic()
        while self.status is None:
            gone, status = os.waitpid(self.pid, os.WNOHANG)
            if gone:
                self.status = os.waitstatus_to_exitcode(status)
            elif time.monotonic() - begun > most_s:
                return None
            else:
                self.drain() if self.master >= 0 else None
                time.sleep(0.002)
        took = time.monotonic() - begun
        if self.master >= 0:
            self.drain(0.01)
        return took

    def modes_now(self) -> list[object]:
        """Give the terminal's modes as they are."""
        modes: list[object] = termios.tcgetattr(self._slave)
        return modes

    def kill(self) -> None:
        """End the program if it still runs, and close the terminal."""
        if self.status is None:
            os.kill(self.pid, signal.SIGKILL)
            self.status = os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])
        for handle in (self.master, self._slave):
            with contextlib.suppress(OSError):
                os.close(handle)

    def rss_mb(self) -> float:
        """Give the memory that the program holds, in MB (1,000,000 bytes), shared libraries included."""
        pages = int(Path(f"/proc/{self.pid}/statm").read_text(encoding="ascii").split()[1])
        return pages * os.sysconf("SC_PAGE_SIZE") / 1e6

    def processor_s(self) -> float:
        """Give the seconds of processor time that all threads of the program took so far."""
        stat = Path(f"/proc/{self.pid}/task")
        return sum(int((one / "schedstat").read_text(encoding="ascii").split()[0]) for one in stat.iterdir()) / 1e9

    def _fetch(self, seconds: float) -> bool:
        """Stamp all chunks that come in one go, before any of them is drawn; tell whether there was one."""
        while select.select([self.master], [], [], seconds)[0]:
            try:
                data = os.read(self.master, 65536)
            except OSError:
                break
            self._waiting.append((time.perf_counter_ns(), data))
            seconds = _ONE_GO_S
        return bool(self._waiting)

    def _draw(self) -> int:
        """Draw the oldest chunk that waits; give the ns of the clock at which it came."""
        arrived, data = self._waiting.popleft()
        self.raw += data
        self._stream.feed(data)
        return arrived


def holds(text: str) -> Shown:
    """Wait for a text anywhere on the screen."""
    return lambda rows: any(text in row for row in rows)


def lacks(text: str) -> Shown:
    """Wait until a text is nowhere on the screen."""
    return lambda rows: not any(text in row for row in rows)
