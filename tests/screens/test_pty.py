"""The program on a real pseudo-terminal: signals, lost terminals, refusals, type-ahead, a fault; terminal as before."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import random
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pyte
import pytest

ROOT = Path(__file__).parents[2]
PATIENCE_S = 20.0
SCREEN_BEGUN = b"\x1b[?1049h"


class Terminal:
    """A program on a terminal of its own, and the screen that it draws."""

    def __init__(
        self,
        folder: Path,
        *wishes: str,
        size: tuple[int, int] = (80, 24),
        term: str = "xterm-256color",
        stdin: int | None = None,
    ) -> None:
        self.master, self.slave = pty.openpty()
        width, height = size
        fcntl.ioctl(self.slave, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
        self.before = termios.tcgetattr(self.slave)
        self.raw = b""
        self.screen = pyte.Screen(width, height)
        self._stream = pyte.ByteStream(self.screen)
        environment = {
            name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES", "NO_COLOR")
        }
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.screens.program", str(folder), *wishes],
            cwd=ROOT,
            env={**environment, "TERM": term, "LC_ALL": "C", "PYTHONIOENCODING": "ascii"},
            stdin=self.slave if stdin is None else stdin,
            stdout=self.slave,
            stderr=self.slave,
            start_new_session=True,
            preexec_fn=lambda: fcntl.ioctl(1, termios.TIOCSCTTY, 0),
        )

    def read(self) -> None:
        if select.select([self.master], [], [], 0.02)[0]:
            data = os.read(self.master, 65536)
            self.raw += data
            # kitty's keyboard sequences are unknown to this screen and would be drawn as text
            self._stream.feed(data.replace(b"\x1b[>25u", b"").replace(b"\x1b[<u", b""))

    def wait_until(self, met: Callable[[], bool]) -> None:
        end = time.monotonic() + PATIENCE_S
        while not met():
            self.read()
            assert time.monotonic() < end, "\n".join(self.screen.display)

    def wait_for(self, text: str) -> None:
        self.wait_until(lambda: text in "\n".join(self.screen.display))

    def type(self, text: str) -> None:
        os.write(self.master, text.encode())

    def end(self) -> int:
        end = time.monotonic() + PATIENCE_S
        while self.process.poll() is None:
            self.read()
            assert time.monotonic() < end
        while select.select([self.master], [], [], 0)[0]:
            self.read()
        return self.process.returncode

    def given_back(self) -> bool:
        """Whether modes and screen are as they were, the cursor shown."""
        return (
            termios.tcgetattr(self.slave) == self.before
            and self.raw.rfind(b"\x1b[?1049l") > self.raw.rfind(b"\x1b[?1049h")
            and self.raw.rfind(b"\x1b[?25h") > self.raw.rfind(b"\x1b[?25l")
        )

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        for handle in (self.master, self.slave):
            with contextlib.suppress(OSError):
                os.close(handle)


@pytest.fixture
def terminals() -> Iterator[list[Terminal]]:
    opened: list[Terminal] = []
    yield opened
    for terminal in opened:
        terminal.close()


def lines(folder: Path, name: str) -> list[str]:
    path = folder / name
    return path.read_text().splitlines() if path.exists() else []


def test_random_bursts_behind_a_stalling_desk_are_entered_exactly_and_in_order(
    tmp_path: Path, terminals: list[Terminal]
) -> None:
    rng = random.Random(11)
    terminals.append(terminal := Terminal(tmp_path, "stall"))
    terminal.wait_for("Which file")
    wanted: list[str] = []
    for _ in range(30):  # each in one write
        keys = ["".join(rng.choices("0123456789.+-*/\x1d\x7f", k=rng.randint(0, 20))) + "7" for _ in range(2)]
        terminal.type("".join(f"{line}\r" for line in keys))
        wanted += [meant(line) for line in keys]
        terminal.read()
    terminal.type("over\r")
    assert terminal.end() == 0
    assert (tmp_path / "entered").read_text().split("\n")[:-1] == [*wanted, "over"]


def meant(keys: str) -> str:
    """What a person means with such keys: the model to which the program is held."""
    line = ""
    for key in keys:
        line = line[:-1] if key == "\x7f" else line + key
    return line


@pytest.mark.parametrize("number", [signal.SIGHUP, signal.SIGTERM, signal.SIGINT, signal.SIGQUIT])
def test_a_signal_ends_it_in_good_order(number: signal.Signals, tmp_path: Path, terminals: list[Terminal]) -> None:
    terminals.append(terminal := Terminal(tmp_path))
    terminal.wait_for("Which file")
    terminal.type("35/4-0\r2")
    terminal.wait_for("> 2_")
    terminal.process.send_signal(number)
    assert terminal.end() == 128 + number
    assert terminal.given_back()
    assert lines(tmp_path, "entered") == ["35/4-0"]
    assert lines(tmp_path, "left") == ["left"]
    assert not (tmp_path / "crashes").exists()


def test_ctrl_q_gives_the_terminal_back_and_ends_with_0(tmp_path: Path, terminals: list[Terminal]) -> None:
    terminals.append(terminal := Terminal(tmp_path))
    terminal.wait_for("Which file")
    terminal.type("1.5")
    terminal.wait_for("> 1.5_")
    assert b"\x1b[?1000h" not in terminal.raw
    assert terminal.raw.rfind(b"\x1b[?2004l") > terminal.raw.rfind(b"\x1b[?2004h")
    assert terminal.raw.rfind(b"\x1b[?25h") > terminal.raw.rfind(b"\x1b[?25l")
    terminal.wait_until(lambda: (terminal.screen.cursor.x, terminal.screen.cursor.y) == (6, 22))
    terminal.type("\x11")
    assert terminal.end() == 0
    assert terminal.given_back()


def test_what_is_typed_before_the_screen_stands_is_neither_echoed_nor_changed(
    tmp_path: Path, terminals: list[Terminal]
) -> None:
    terminals.append(terminal := Terminal(tmp_path, "slow"))
    terminal.wait_until(lambda: not termios.tcgetattr(terminal.slave)[3] & termios.ECHO)
    assert SCREEN_BEGUN not in terminal.raw
    terminal.type("12\x7f3\r34\r5")
    terminal.wait_for("> 5_")
    assert lines(tmp_path, "entered") == ["13", "34"]
    assert not terminal.raw.startswith(b"12")
    terminal.type("\x7fover\r")
    assert terminal.end() == 0


def test_a_signal_before_the_screen_stands_gives_the_terminal_back(tmp_path: Path, terminals: list[Terminal]) -> None:
    terminals.append(terminal := Terminal(tmp_path, "slow"))
    terminal.wait_until(lambda: not termios.tcgetattr(terminal.slave)[3] & termios.ECHO)
    assert SCREEN_BEGUN not in terminal.raw
    terminal.process.send_signal(signal.SIGTERM)
    assert terminal.end() == 128 + signal.SIGTERM
    assert termios.tcgetattr(terminal.slave) == terminal.before
    assert b"Traceback" not in terminal.raw


def test_a_lost_terminal_ends_it_even_if_the_hang_up_is_ignored(tmp_path: Path, terminals: list[Terminal]) -> None:
    terminals.append(terminal := Terminal(tmp_path, "deaf"))
    terminal.wait_for("Which file")
    terminal.type("7\r")
    terminal.wait_for("Logged: 7")
    os.close(terminal.slave)
    os.close(terminal.master)
    assert terminal.process.wait(PATIENCE_S) == 129
    assert lines(tmp_path, "entered") == ["7"]
    assert lines(tmp_path, "left") == ["left"]


def test_a_fault_leaves_one_line_without_variables_and_exit_code_1(tmp_path: Path, terminals: list[Terminal]) -> None:
    terminals.append(terminal := Terminal(tmp_path))
    terminal.wait_for("Which file")
    terminal.type("boom\r")
    assert terminal.end() == 1
    assert terminal.given_back()
    said = terminal.raw.split(b"\x1b[?1049l")[-1].decode()
    assert "stepper stopped by a fault of its own" in said
    assert said.count("\n") == 1
    assert b"Traceback" not in terminal.raw
    assert b"Invented Person" not in terminal.raw
    (log,) = (tmp_path / "crashes").iterdir()
    assert str(log) in said
    assert log.stat().st_mode & 0o777 == 0o600
    assert lines(tmp_path, "left") == ["left"]


def test_refusals_are_said_in_words_and_touch_nothing(tmp_path: Path, terminals: list[Terminal]) -> None:
    with Path(os.devnull).open() as nothing:
        cases = [
            (Terminal(tmp_path, term="dumb"), "TERM=dumb"),
            (Terminal(tmp_path, size=(79, 24)), "This window is 79 x 24 characters"),
            (Terminal(tmp_path, size=(80, 23)), "This window is 80 x 23 characters"),
            (Terminal(tmp_path, stdin=nothing.fileno()), "standard input is not a terminal"),
        ]
    for terminal, sentence in cases:
        terminals.append(terminal)
        assert terminal.end() == 2
        assert sentence in terminal.raw.decode()
        assert b"\x1b" not in terminal.raw
        assert b"Traceback" not in terminal.raw
        assert termios.tcgetattr(terminal.slave) == terminal.before
    assert lines(tmp_path, "left") == ["left"] * 4


def test_standard_error_must_be_a_terminal(tmp_path: Path) -> None:
    master, slave = pty.openpty()
    try:
        done = subprocess.run(
            [sys.executable, "-m", "tests.screens.program", str(tmp_path)],
            cwd=ROOT,
            stdin=slave,
            stdout=slave,
            stderr=subprocess.PIPE,
            timeout=PATIENCE_S,
            check=False,
        )
    finally:
        os.close(master)
        os.close(slave)
    assert done.returncode == 2
    assert b"drawn on standard error" in done.stderr
