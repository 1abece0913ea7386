"""Reading a small file whole, whatever stands in its place: a folder, a pipe or a device never hangs or breaks it."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path


class NotAFile(OSError):  # noqa: N818 - it is told apart from a file that cannot be read
    """What stands there is a folder, a pipe or a device."""


def read_at_most(path: Path, most: int) -> bytes:
    """Read a file of at most `most` bytes, and one byte more if it is longer.

    Raises:
        NotAFile: it is no regular file.
        OSError: it cannot be read; `strerror` says why.

    """
    try:
        handle = os.open(path, os.O_RDONLY | os.O_CLOEXEC | os.O_NONBLOCK)
    except ValueError:
        raise OSError(errno.EINVAL, "not a lawful file name") from None
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise NotAFile(errno.EINVAL, "is not a file")
        with open(handle, "rb", closefd=False) as file:
            return file.read(most + 1)
    finally:
        os.close(handle)
