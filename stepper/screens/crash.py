"""A crash ends in a private file and one line of words; no variable is shown or kept."""

from __future__ import annotations

import os
import traceback
from datetime import datetime
from pathlib import Path

_SAID = "stepper stopped by a fault of its own. What the screen said was logged is on disk; the last line may not be."


def note_crash(error: BaseException, folder: Path) -> str:
    """Write the trace of `error` to a new file for the owner's eyes only; returns the one line to show."""
    trace = "".join(traceback.format_exception(error))
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        path = folder / f"crash-{datetime.now():%Y%m%d-%H%M%S}-{os.getpid()}.log"
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as file:
            os.fchmod(handle, 0o600)
            file.write(trace)
    except OSError as trouble:
        return f"{_SAID} No details could be written to {folder}: {trouble.strerror}."
    return f"{_SAID} Details: {path}"
