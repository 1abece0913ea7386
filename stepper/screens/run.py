"""Starting the screens on this terminal, and leaving it as it was found."""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.screens.crash import note_crash
from stepper.screens.terminal import give_back_screen, held_terminal, speak, speaks_utf8, why_not

if TYPE_CHECKING:
    from stepper.screens.app import ChairApp
    from stepper.screens.desk import Desk
    from stepper.screens.palette import ThemeName
    from stepper.screens.terminal import Modes

REFUSED = 2
"""Exit code where this terminal cannot show the screens."""


def run(desk: Desk, crash_folder: Path, theme: ThemeName = "dark") -> int:
    """Show the desk until it is over; returns the exit code.

    0 left in good order, 1 stopped by a fault (its trace in `crash_folder`), 2 this terminal will not do,
    128 and the signal's number where a signal ended it, 129 where the terminal has gone.
    """
    refusal = why_not()
    if refusal:
        desk.leave()
        return _say(refusal, REFUSED)
    utf8 = speaks_utf8(os.environ, utf8_mode=bool(sys.flags.utf8_mode))
    speak(utf8=utf8)
    with held_terminal() as found:
        code, line = _shown(desk, crash_folder, theme, found, utf8=utf8)
    return _say(line, code) if line else code


def _shown(desk: Desk, crash_folder: Path, theme: ThemeName, found: Modes, *, utf8: bool) -> tuple[int, str]:
    """Return the exit code and the line to leave on the screen, empty where all went well."""
    app: ChairApp | None = None
    try:
        from stepper.screens.any_bytes import bear_any_bytes
        from stepper.screens.app import ChairApp  # loading what paints takes a while; what is typed meanwhile is kept

        bear_any_bytes()
        app = ChairApp(desk, crash_folder, theme, found, utf8=utf8)
        app.run(mouse=False)
        app.leave_desk()
    except Exception as error:
        give_back_screen()
        line = note_crash(error, crash_folder)
        with contextlib.suppress(Exception):  # the fault is told; closing may meet it again
            app.leave_desk() if app else desk.leave()
        return 1, line
    except BaseException:  # a signal before the screen listened for signals
        give_back_screen()
        raise
    finally:
        if app:
            app.stop_watching()
    return app.return_code or 0, app.crash_line


def _say(sentence: str, code: int) -> int:
    if sys.__stderr__:
        sys.__stderr__.write(f"{sentence}\n")
    return code
