"""Whether the open session file still stands under its name, alone and as long as it was written here.

A file that was moved away or removed under the writer takes every further line, and none of them is found again.
"""

from __future__ import annotations

import os
from pathlib import Path

from stepper.record.system import Os
from stepper.record.watch import Watch


class Standing:
    """Looks after one open file by its name: once, and where the system can tell, no more until something befell it.

    A look by name takes several times as long as asking whether anything did, and makes the next sync slower.
    """

    def __init__(self, handle: int, path: Path, system: Os) -> None:
        self._handle, self._path, self._name, self._system = handle, path, str(path), system
        self._inode = os.fstat(handle).st_ino
        self._watch: Watch | None = None
        self._looked = False

    def holds(self, size: int) -> bool:
        """Tell whether the file is where it was, has no second name and is `size` bytes long. Raises OSError."""
        watch = self._watch
        if watch is not None and not watch.told(0) and self._system.size(self._handle) == size:
            return True
        return self._look(size)

    def _look(self, size: int) -> bool:
        first, self._looked = not self._looked, True
        if self._watch is not None:  # what is watched may no longer be what the name leads by: from now on each time
            self.close()
        elif first:  # before the look, so that whatever comes after it is told of
            self._watch = self._system.watch(self._handle, self._path)
        try:
            found = self._system.lstat(self._name)
        except FileNotFoundError:
            return False
        return (found.st_nlink, found.st_size, found.st_ino) == (1, size, self._inode)

    def close(self) -> None:
        """Look after it no longer."""
        if self._watch is not None:
            self._watch.close()
        self._watch = None
