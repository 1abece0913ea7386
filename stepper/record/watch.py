"""Being told by the system what befell a file, or a folder above it, instead of looking each time."""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Iterator
from pathlib import Path

_MOVED, _REMOVED, _CHANGED = 0x800, 0x400, 0x4
"""IN_MOVE_SELF, IN_DELETE_SELF and IN_ATTRIB of inotify(7); the last also tells of names given and taken."""

_MOUNTS = "/proc/self/mountinfo"
"""It is told of as urgent data when something was mounted or unmounted: proc_pid_mountinfo(5), poll(2)."""


class Watch:
    """A file and the folders above it, watched by inotify: whether any was moved, removed or given another name.

    Also whether anything was mounted, which could cover them. The system tells of it before the call that caused it
    returns, so that nothing which is over is missed; it does not tell of bytes written into the file. Raises OSError
    where it cannot be had, ImportError or AttributeError where Python or its C library cannot ask for it.

    `told(0)` gives something from the first such event on.
    """

    def __init__(self, path: Path) -> None:
        import ctypes

        library = ctypes.CDLL(None, use_errno=True)
        begin, add = library.inotify_init1, library.inotify_add_watch
        self._mounts = os.open(_MOUNTS, os.O_RDONLY | os.O_CLOEXEC)
        self._queue = begin(os.O_NONBLOCK | os.O_CLOEXEC)
        if self._queue < 0:
            self.close()
            raise OSError(ctypes.get_errno(), "nothing can be watched")
        for place, events in _places(path):
            if add(self._queue, os.fsencode(place), events) < 0:
                self.close()
                raise OSError(ctypes.get_errno(), f"{place} cannot be watched")
        poll = select.poll()
        poll.register(self._queue, select.POLLIN)
        poll.register(self._mounts, select.POLLPRI)
        self.told = poll.poll

    def close(self) -> None:
        """Watch no longer."""
        for handle in (self._queue, self._mounts):
            if handle >= 0:
                os.close(handle)


def watch(handle: int, path: Path) -> Watch | None:
    """Watch the open file of a name, where the system can be trusted to tell of everything; nothing otherwise.

    It cannot where another machine may do the moving (no disk of this one stands behind the file system) or where a
    link is on the way, which can be led elsewhere while nothing is moved.
    """
    if not sys.platform.startswith("linux") or not os.major(os.fstat(handle).st_dev):
        return None
    try:
        return Watch(path) if os.path.realpath(path) == str(path) else None
    except (OSError, ImportError, AttributeError):
        return None


def _places(path: Path) -> Iterator[tuple[Path, int]]:
    yield path, _MOVED | _REMOVED | _CHANGED
    for folder in path.parents:
        yield folder, _MOVED | _REMOVED
