"""Stopped and sent on by somebody outside: the terminal is given back meanwhile, and held again afterwards.

Textual's own answer begins a second reader of the keyboard when the program was stopped without being asked first
(SIGSTOP); two readers would put keys out of order. Here the one reader is ended before another begins.
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

    def __init__(self, app: App[None], found: Modes | None, back: Callable[[], None]) -> None:
        """Stand by for `app`. `found` are the terminal's modes before the program began; `back` is called on return."""
        self._app = app
        self._found = found
        self._back = back
        self._asked = False

    def listen(self, loop: asyncio.AbstractEventLoop) -> None:
        """Answer from now on in the place of Textual."""
        loop.add_signal_handler(signal.SIGTSTP, self._stop)
        loop.add_signal_handler(signal.SIGCONT, self._go_on)

    def _stop(self) -> None:
        self._asked = True
        self._aside(lambda: os.kill(os.getpid(), signal.SIGSTOP))

    def _go_on(self) -> None:
        asked, self._asked = self._asked, False
        if not asked:
            self._aside(lambda: None)  # whoever stopped the program may have changed the terminal

    def _aside(self, meanwhile: Callable[[], None]) -> None:
        with self._app.suspend():
            if self._found is not None and sys.__stdin__:
                with contextlib.suppress(termios.error):
                    termios.tcsetattr(sys.__stdin__.fileno(), termios.TCSANOW, self._found)
            meanwhile()
        self._back()
