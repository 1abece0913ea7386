"""The terminal before, around and after the screens: refused in words, held, watched, and given back as it was."""

from __future__ import annotations

import asyncio
import contextlib
import os
import shutil
import signal
import sys
import termios
import threading
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from types import FrameType
from typing import Any, Final, TypeAlias

from stepper.screens.page_size import LEAST_HEIGHT, LEAST_WIDTH

Modes: TypeAlias = list[Any]
"""The modes of a terminal, as `termios` has them."""

SIGNALS: Final = (signal.SIGHUP, signal.SIGTERM, signal.SIGINT, signal.SIGQUIT)
"""Signals that end the program in good order; the exit code is 128 and the signal's number.

SIGQUIT is one of them because the system would answer it with a dump of the memory, patient data included.
"""

LOST: Final = 128 + signal.SIGHUP
"""Exit code where the terminal has gone."""

_GIVE_BACK: Final = "\x1b[<u\x1b[?2004l\x1b[?1004l\x1b[?2048l\x1b[?7h\x1b[?1049l\x1b[?25h"
"""Undoes what full-screen programs switch on: keyboard protocol, paste and focus reports, second screen, cursor."""

_PATIENCE_S: Final = 3.0


def why_not() -> str | None:
    """Return why the screens cannot start on this terminal, in a sentence; None where they can."""
    if not sys.__stdin__ or not sys.__stdin__.isatty():
        return "The chairside screen needs a keyboard: standard input is not a terminal."
    if not sys.__stderr__ or not sys.__stderr__.isatty():
        return "The chairside screen is drawn on standard error, which is not a terminal here; do not redirect it."
    if os.environ.get("TERM") in ("dumb", ""):
        return "This terminal (TERM=dumb) cannot show a full screen; start stepper in another terminal."
    width, height = shutil.get_terminal_size()
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        return (
            f"This window is {width} x {height} characters; the chairside screen needs {LEAST_WIDTH} x {LEAST_HEIGHT}. "
            "Make the window larger or the letters smaller, then start again."
        )
    return None


@contextlib.contextmanager
def held_terminal() -> Iterator[Modes]:
    """Keep what is typed from now on as it is, without echo; on the way out the terminal is as it was before.

    Without this an Enter typed while the program loads would turn into another key, and Ctrl+C, Ctrl+Z or Ctrl+S
    would end, stop or freeze it. A signal on the way ends the program through here. Gives the modes as they were.
    """
    handle = sys.stdin.fileno()
    before = termios.tcgetattr(handle)
    handlers = {number: signal.signal(number, _end) for number in SIGNALS}
    held = termios.tcgetattr(handle)
    held[0] &= ~(termios.ICRNL | termios.INLCR | termios.IGNCR | termios.IXON | termios.IXOFF)
    held[3] &= ~(termios.ICANON | termios.ECHO | termios.ISIG | termios.IEXTEN)
    termios.tcsetattr(handle, termios.TCSANOW, held)
    try:
        yield before
    finally:
        with contextlib.suppress(termios.error):
            termios.tcsetattr(handle, termios.TCSANOW, before)
        for number, handler in handlers.items():
            signal.signal(number, handler)


def _end(number: int, _frame: FrameType | None) -> None:
    raise SystemExit(128 + number)


def speaks_utf8(environment: Mapping[str, str], *, utf8_mode: bool) -> bool:
    """Say whether the terminal was promised UTF-8: by PYTHONIOENCODING, or else by the name of the locale.

    The name decides, not whether the locale is installed here: from a remote shell it is that of the terminal's own
    machine. Where Python goes into its UTF-8 mode unasked it found the locale C, and has set LC_CTYPE itself.
    """
    asked = environment.get("PYTHONIOENCODING", "").partition(":")[0]
    own = utf8_mode and environment.get("PYTHONUTF8") != "1"
    variables = ("LC_ALL", "LANG") if own else ("LC_ALL", "LC_CTYPE", "LANG")
    name = asked or next((environment[one] for one in variables if environment.get(one)), "C")
    return "utf8" in name.lower().replace("-", "")


def speak(*, utf8: bool) -> None:
    """Let the screen be drawn in UTF-8, or in ASCII alone; a sign that cannot be written never ends the visit."""
    reconfigure = getattr(sys.__stderr__, "reconfigure", None)
    if reconfigure:
        reconfigure(encoding="utf-8" if utf8 else "ascii", errors="replace")


def give_back_screen() -> None:
    """Undo what a full-screen program switched on, after one that ended without doing so itself."""
    with contextlib.suppress(OSError, ValueError):
        if sys.__stderr__:
            sys.__stderr__.write(_GIVE_BACK)
            sys.__stderr__.flush()


class TerminalWatch(threading.Thread):
    """Looks once a second whether the terminal is still there, even where the hang-up signal is ignored.

    When it has gone, `lost` is called from this thread. A program that then does not end is stuck writing to the
    terminal that has gone; it is ended here, which loses nothing, since entries are on disk before they are painted.
    """

    def __init__(self, lost: Callable[[], object], *, every_s: float = 1.0) -> None:
        super().__init__(name="terminal-watch", daemon=True)
        self._lost = lost
        self._every_s = every_s
        self._ended = threading.Event()

    def run(self) -> None:
        """Watch until told to stop or the terminal has gone."""
        while not self._ended.wait(self._every_s):
            if not _is_there():
                self._lost()
                if not self._ended.wait(_PATIENCE_S):
                    os._exit(LOST)
                return

    def stop(self) -> None:
        """Watch no longer."""
        self._ended.set()


def _is_there() -> bool:
    try:
        termios.tcgetattr(sys.__stdin__.fileno() if sys.__stdin__ else 0)
    except (termios.error, ValueError):
        return False
    return True


def heed(loop: asyncio.AbstractEventLoop, end: Callable[[int], None]) -> TerminalWatch:
    """End in good order at a signal, and when the terminal has gone; gives the watch that has begun."""
    for number in SIGNALS:
        loop.add_signal_handler(number, end, 128 + number)
    watch = TerminalWatch(partial(loop.call_soon_threadsafe, end, LOST))
    watch.start()
    return watch
