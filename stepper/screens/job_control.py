"""Stopped and sent on by somebody outside: the terminal is given back meanwhile, and held again afterwards.

Textual's own answer begins a second reader of the keyboard when the program was stopped without being asked first
(SIGSTOP); two readers would put keys out of order. Here the one reader is ended before another begins.

Not every terminal has a second screen that takes what was shown with it: so it is erased before the terminal is given
back, row by row, since some keep what they clear at once where one can scroll back to it.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
import sys
import termios
from collections.abc import Callable

from textual.app import App

from stepper.screens.terminal import Modes


class JobControl:
    """Listens for the signals that stop the program and send it on."""

    def __init__(self, app: App[None], found: Modes | None) -> None:
        """Stand by for `app`. `found` are the terminal's modes before the program began."""
        self._app = app
        self._found = found
        self._asked = False

    def listen(self, loop: asyncio.AbstractEventLoop) -> None:
        """Answer from now on in the place of Textual."""
        loop.add_signal_handler(signal.SIGTSTP, self._stop)
        loop.add_signal_handler(signal.SIGCONT, self._go_on)

    def own_modes(self) -> None:
        """Show the real cursor, for those who hear or feel the screen, and let a paste arrive as typed keys.

        A bracketed paste whose end is lost would swallow every key after it.
        """
        self._send("\x1b[?2004l\x1b[?25h")

    def erase(self) -> None:
        """Leave nothing on the screen."""
        rows = range(1, self._app.size.height + 1)
        self._send("\x1b[m" + "".join(f"\x1b[{row};1H\x1b[2K" for row in rows) + "\x1b[H")

    def _send(self, signs: str) -> None:
        driver = self._app._driver
        if driver and not self._app.is_headless:
            driver.write(signs)
            driver.flush()

    def _stop(self) -> None:
        self._asked = True
        self._aside(lambda: os.kill(os.getpid(), signal.SIGSTOP))

    def _go_on(self) -> None:
        asked, self._asked = self._asked, False
        if not asked:
            self._aside(lambda: None)  # whoever stopped the program may have changed the terminal

    def _aside(self, meanwhile: Callable[[], None]) -> None:
        self.erase()
        with self._app.suspend():
            if self._found is not None and sys.__stdin__:
                with contextlib.suppress(termios.error):
                    termios.tcsetattr(sys.__stdin__.fileno(), termios.TCSANOW, self._found)
            meanwhile()
        self.own_modes()
