"""Starting the screens on this terminal, and leaving it as it was found."""

from __future__ import annotations

import contextlib
import gc
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from stepper.screens.crash import note_crash
from stepper.screens.opening import REFUSED, NotOpened, Opener
from stepper.screens.terminal import give_back_screen, held_terminal, speak, speaks_utf8, why_not

if TYPE_CHECKING:
    from stepper.screens.app import ChairApp
    from stepper.screens.desk import Desk
    from stepper.screens.palette import ThemeName
    from stepper.screens.terminal import Modes


def run(desk: Desk, crash_folder: Path, theme: ThemeName = "dark", then: Opener | None = None) -> int:
    """Show the desk until it is over; returns the exit code.

    `then` makes the desk that takes the place of a first one, once that is painted; what is typed meanwhile waits for
    it. Where it cannot be made, the sentences of `NotOpened` are said and the code is 2.

    0 left in good order, 1 stopped by a fault (its trace in `crash_folder`), 2 this terminal will not do,
    128 and the signal's number where a signal ended it, 129 where the terminal has gone.
    """
    refusal = why_not()
    if refusal:
        return _say(_refused(desk, then) or refusal, REFUSED)
    utf8 = speaks_utf8(os.environ, utf8_mode=bool(sys.flags.utf8_mode))
    speak(utf8=utf8)
    with held_terminal() as found:
        code, line = _shown(desk, crash_folder, theme, found, then, utf8=utf8)
    return _say(line, code) if line else code


def _refused(desk: Desk, then: Opener | None) -> str:
    """Leave a desk that cannot be shown; what is wrong with it is said before what is wrong with the terminal."""
    try:
        desk = then() if then else desk
    except NotOpened as error:
        return str(error)
    desk.leave()
    return ""


def _shown(
    desk: Desk, crash_folder: Path, theme: ThemeName, found: Modes, then: Opener | None, *, utf8: bool
) -> tuple[int, str]:
    """Return the exit code and the line to leave on the screen, empty where all went well."""
    app: ChairApp | None = None
    gc.disable()  # until the screen stands: what is loaded stays, and is not worth looking through again and again
    try:
        from stepper.screens.any_bytes import bear_any_bytes
        from stepper.screens.app import ChairApp  # loading what paints takes a while; what is typed meanwhile is kept

        bear_any_bytes()
        app = ChairApp(desk, crash_folder, theme, found, then, utf8=utf8)
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
        gc.enable()
        if app:
            app.stop_watching()
    return app.return_code or 0, app.last_line


def _say(sentence: str, code: int) -> int:
    if sys.__stderr__:
        sys.__stderr__.write(f"{sentence}\n")
    return code
