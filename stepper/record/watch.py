"""Being told by the system what befell a file, or a folder above it, instead of looking each time."""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Iterator
from pathlib import Path

_MOVED, _REMOVED, _CHANGED = 0x800, 0x400, 0x4
"""IN_MOVE_SELF, IN_DELETE_SELF and IN_ATTRIB of inotify(7); the last also tells of names given and taken."""

_AT_ONCE = 4096
"""Bytes of events that are taken off the queue in one go."""


class Watch:
    """A file and the folders above it, watched by inotify: whether any was moved, removed or given another name.

    The system puts such an event in the queue before the call that caused it returns, so that none which is over is
    missed. It does not tell of bytes written into the file. Raises OSError where it cannot be had.

    `told(0)` gives something as long as there is something in the queue.
    """

    def __init__(self, path: Path) -> None:
        import ctypes

        library = ctypes.CDLL(None, use_errno=True)
        self._queue = library.inotify_init1(os.O_NONBLOCK | os.O_CLOEXEC)
        if self._queue < 0:
            raise OSError(ctypes.get_errno(), "nothing can be watched")
        for place, events in _places(path):
            if library.inotify_add_watch(self._queue, os.fsencode(place), events) < 0:
                self.close()
                raise OSError(ctypes.get_errno(), f"{place} cannot be watched")
        poll = select.poll()
        poll.register(self._queue, select.POLLIN)
        self.told = poll.poll

    def forget(self) -> None:
        """Take off the queue what was told, or as much of it as fits; the rest is told again."""
        try:
            os.read(self._queue, _AT_ONCE)
        except BlockingIOError:  # nothing was
            return

    def close(self) -> None:
        """Watch no longer."""
        os.close(self._queue)


def watch(handle: int, path: Path) -> Watch | None:
    """Watch the open file of a name, where the system can be trusted to tell of everything; nothing otherwise.

    It cannot where another machine may do the moving (no disk of this one stands behind the file system) or where a
    link is on the way, which can be led elsewhere while nothing is moved.
    """
    if not sys.platform.startswith("linux") or not os.major(os.fstat(handle).st_dev):
        return None
    try:
        return Watch(path) if os.path.realpath(path) == str(path) else None
    except OSError:
        return None


def _places(path: Path) -> Iterator[tuple[Path, int]]:
    yield path, _MOVED | _REMOVED | _CHANGED
    for folder in path.parents:
        yield folder, _MOVED | _REMOVED
