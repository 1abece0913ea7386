"""Files that are read whole, and written whole or not at all: packages, keys, sessions that come out of a package."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import stat
from pathlib import Path

from stepper.record.problems import NotSaved, Unreadable
from stepper.record.system import Os, sync_folder

_NO_SECOND_NAME = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS)


def read_whole(path: Path, most: int) -> bytes:
    """Read a file of at most `most` bytes; raises `Unreadable`."""
    return _read(path, most, 0)


def read_private(path: Path, most: int) -> bytes:
    """Do the same with a file that is for its owner alone, and mend its mode to that; raises `Unreadable`."""
    return _read(path, most, os.O_NOFOLLOW, mend=True)


def write_new(path: Path, data: bytes, system: Os) -> None:
    """Write a private file under a name that nothing has yet; raises `NotSaved`, and leaves nothing then.

    Its bytes are on the disk before it has the name.
    """
    part = path.parent / f".{secrets.token_hex(8)}.part"
    try:
        _fill(part, data, system)
        _give_name(part, path, system)
    except FileExistsError:
        raise NotSaved(f"{path} is there already and is not written over: choose another name.") from None
    except OSError as error:
        raise NotSaved(f"{path} was not written: {error.strerror}.") from None
    finally:
        with contextlib.suppress(OSError):
            part.unlink()


def replace_whole(path: Path, data: bytes, system: Os) -> None:
    """Put a private file in the place of the one of that name, if any: there is the old one or the new one.

    Raises OSError, and the old one stands then.
    """
    part = path.with_name(f".{path.name}.new")
    with contextlib.suppress(FileNotFoundError):
        part.unlink()  # left behind by a crash
    try:
        _fill(part, data, system)
        part.replace(path)
        sync_folder(path.parent, system)
    except OSError:
        part.unlink(missing_ok=True)
        raise


def add_line(path: Path, line: str, system: Os) -> None:
    """Add a line to a private file, which is made if need be; raises `NotSaved`, and the file is as before then."""
    flags = os.O_RDWR | os.O_CREAT | os.O_APPEND | os.O_NOFOLLOW | os.O_CLOEXEC | os.O_NONBLOCK
    try:
        handle = os.open(path, flags, 0o600)
        try:
            _add(handle, path, line.encode() + b"\n", system)
        finally:
            os.close(handle)
    except OSError as error:
        raise NotSaved(f"{path} was not written: {error.strerror}.") from None


def _read(path: Path, most: int, more: int, *, mend: bool = False) -> bytes:
    try:
        # without O_NONBLOCK a named pipe would hold the program until someone writes into it
        handle = os.open(path, os.O_RDONLY | os.O_CLOEXEC | os.O_NONBLOCK | os.O_NOCTTY | more)
        try:
            mode = os.fstat(handle).st_mode
            if not stat.S_ISREG(mode):
                raise Unreadable(f"{path} cannot be read: it is not a regular file.")
            if mend and stat.S_IMODE(mode) != 0o600:
                os.fchmod(handle, 0o600)
            with open(handle, "rb", closefd=False) as file:
                data = file.read(most + 1)
        finally:
            os.close(handle)
    except OSError as error:
        raise Unreadable(f"{path} cannot be read: {error.strerror}.") from None
    if len(data) > most:
        size = f"{most // 1024} KB" if most < 1024 * 1024 else f"{most // 1024 // 1024} MB"
        raise Unreadable(f"{path} is too large: the most is {size}.")
    return data


def _fill(part: Path, data: bytes, system: Os) -> None:
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW | os.O_CLOEXEC, 0o600)
    try:
        _write_all(handle, data, system)
        system.fdatasync(handle)
    finally:
        os.close(handle)


def _give_name(part: Path, path: Path, system: Os) -> None:
    try:
        os.link(part, path)  # a rename would take the place of a file that came meanwhile
    except OSError as error:
        if error.errno not in _NO_SECOND_NAME:
            raise
        # a stick's file system has no second names; there the moment between these two is all that is left open
        if os.path.lexists(path):
            raise FileExistsError from None
        part.rename(path)
    try:
        with contextlib.suppress(FileNotFoundError):  # it was renamed
            part.unlink()
        sync_folder(path.parent, system)
    except OSError:
        with contextlib.suppress(OSError):
            path.unlink()
        raise


def _add(handle: int, path: Path, line: bytes, system: Os) -> None:
    found = os.fstat(handle)
    if not stat.S_ISREG(found.st_mode):
        raise NotSaved(f"{path} was not written: it is not a regular file.")
    os.fchmod(handle, 0o600)
    ended = not found.st_size or os.pread(handle, 1, found.st_size - 1) == b"\n"
    try:
        _write_all(handle, line if ended else b"\n" + line, system)
        system.fdatasync(handle)
        sync_folder(path.parent, system)
    except OSError:
        with contextlib.suppress(OSError):
            system.ftruncate(handle, found.st_size)
        raise


def _write_all(handle: int, data: bytes, system: Os) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[system.write(handle, bytes(rest[: 1 << 20])) :]
