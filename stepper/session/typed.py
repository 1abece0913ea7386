"""The half-typed line, kept beside the session so that a crash does not lose it.

It is written on every key and not synced: it survives the program's death, not a power cut, and costs almost nothing.
"""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from stepper.lines.grammar import SEPARATORS


class TypedLine:
    """One private file next to the session; `kept` is what it held when it was opened."""

    def __init__(self, path: Path) -> None:
        flags = os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC
        self._handle = -1
        self._path = path
        self.kept = ""
        self._size = 0
        with contextlib.suppress(OSError):
            self._handle = os.open(path, flags, 0o600)
            self._size = os.fstat(self._handle).st_size
            held = os.pread(self._handle, 4096, 0).decode("utf-8", "replace")
            self.kept = held if all(sign.isprintable() or sign in SEPARATORS for sign in held) else ""

    def keep(self, line: str) -> None:
        """Keep a line in the place of the one before. Losing it is a nuisance, not a loss: errors are let pass."""
        if self._handle < 0:
            return
        content = line.encode("utf-8", "replace")[:4096]
        with contextlib.suppress(OSError):
            if len(content) < self._size:  # one call to the system a key, where one is enough
                os.ftruncate(self._handle, len(content))
            self._size = os.pwrite(self._handle, content, 0)

    def close(self) -> None:
        """Close the file, and take it away where it holds nothing."""
        if self._handle < 0:
            return
        with contextlib.suppress(OSError):
            if os.fstat(self._handle).st_size == 0:
                self._path.unlink()
        os.close(self._handle)
        self._handle = -1
