"""The calls to the operating system on which an entry's safety hangs, and the opening of session files.

Tests put faults in by handing in another `Os`. Sessions belong on a local disk: over a network a lock may bind nobody.
"""

from __future__ import annotations

import contextlib
import errno
import fcntl
import os
import stat
from collections.abc import Iterator, Sequence
from pathlib import Path

from stepper.record.problems import Busy, NotSaved, Unreadable
from stepper.record.watch import Watch, watch

_THOROUGH = getattr(fcntl, "F_FULLFSYNC", None)
"""macOS: it has no fdatasync, and its fsync leaves the drive's cache."""


class Os:
    """The operating system, as far as a session file needs it."""

    def write(self, handle: int, data: bytes) -> int:
        """Write once; returns how many bytes were taken."""
        return os.write(handle, data)

    def fdatasync(self, handle: int) -> None:
        """Return when the file's bytes and its size have reached the disk, as far as the disk tells the truth."""
        if _THOROUGH is None:
            os.fdatasync(handle)
        else:
            fcntl.fcntl(handle, _THOROUGH)

    def fsync(self, handle: int) -> None:
        """Do the same for a folder, so that the names in it are kept."""
        os.fsync(handle)

    def ftruncate(self, handle: int, size: int) -> None:
        """Cut the file to so many bytes."""
        os.ftruncate(handle, size)

    def pwrite(self, handle: int, data: bytes, offset: int) -> int:
        """Write in place; returns how many bytes were taken."""
        return os.pwrite(handle, data, offset)

    def lstat(self, path: str) -> os.stat_result:
        """Tell about the file of a name, not about what a link in its place leads to."""
        return os.lstat(path)

    def size(self, handle: int) -> int:
        """Tell how many bytes an open file has; where in it one reads is moved to its end."""
        return os.lseek(handle, 0, os.SEEK_END)

    def watch(self, handle: int, path: Path) -> Watch | None:
        """Watch the open file of a name, if everything that could befall it can be told of."""
        return watch(handle, path)


def make_folder(folder: Path, system: Os) -> None:
    """Make a folder, with those above it, for the owner's eyes only; one that is there is mended to that.

    Raises `NotSaved`.
    """
    try:
        missing = [place for place in (folder, *folder.parents) if not place.exists()]
        for place in reversed(missing):
            with contextlib.suppress(FileExistsError):  # another program may have been quicker
                place.mkdir(mode=0o700)
            sync_folder(place.parent, system)
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
        try:
            _set_mode(handle, 0o700)
        finally:
            os.close(handle)
    except OSError as error:
        raise NotSaved(f"The folder {folder} cannot be made private and used: {error.strerror}.") from None


def keep_private(folders: Sequence[Path]) -> str:
    """Leave these folders, as far as they are there, and the files in them to their owner alone.

    What was copied or restored here may have come open to others. Gives a sentence on what could not be mended, or
    nothing; what the owner may do with a file stays.
    """
    trouble = [one for folder in folders if folder.is_dir() for one in _left_open(folder)]
    if not trouble:
        return ""
    path, why = trouble[0]
    more = f" and {len(trouble) - 1} more" if len(trouble) > 1 else ""
    return f"Other users may be able to read {path.name}{more}, and that could not be mended: {why}."


def _left_open(folder: Path) -> Iterator[tuple[Path, str]]:
    """Close a folder and its files to others; gives those that could not be, and why."""
    try:
        inside = [Path(one.path) for one in os.scandir(folder) if one.is_file(follow_symlinks=False)]
    except OSError as error:
        yield folder, str(error.strerror)
        return
    for path in (folder, *inside):
        try:
            _close_to_others(path)
        except FileNotFoundError:  # another program took it away meanwhile
            continue
        except OSError as error:
            yield path, str(error.strerror)


def _close_to_others(path: Path) -> None:
    if not path.lstat().st_mode & 0o077:
        return
    # not by name: a link that came into its place meanwhile would lead elsewhere
    handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_CLOEXEC | os.O_NONBLOCK | os.O_NOCTTY)
    try:
        _set_mode(handle, stat.S_IMODE(os.fstat(handle).st_mode) & 0o700)
    finally:
        os.close(handle)


def sync_folder(folder: Path, system: Os) -> None:
    """Bring the names in a folder to the disk; raises OSError."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        system.fsync(handle)
    finally:
        os.close(handle)


def open_new(path: Path) -> int:
    """Make a session file that was not there; raises `NotSaved`."""
    flags = os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_APPEND | os.O_NOFOLLOW | os.O_CLOEXEC
    try:
        return os.open(path, flags, 0o600)
    except OSError as error:
        raise NotSaved(f"The session file {path} cannot be made: {error.strerror}.") from None


def open_there(path: Path) -> int:
    """Open a session file to go on with it; raises `Unreadable`."""
    # without O_NONBLOCK a device could hold the program
    flags = os.O_RDWR | os.O_APPEND | os.O_NOFOLLOW | os.O_CLOEXEC | os.O_NONBLOCK | os.O_NOCTTY
    try:
        return os.open(path, flags)
    except OSError as error:
        raise Unreadable(f"{path} cannot be opened for writing: {error.strerror}.") from None


def write_again(handle: int, path: Path, data: bytes, system: Os) -> None:
    """Write an open file's own bytes over themselves, so that the next sync brings all of them to the disk.

    A program before may have seen a sync fail: the system can call such pages clean, though they never reached the
    disk, and show them until the power goes. Raises OSError.
    """
    again = os.open(path, os.O_WRONLY | os.O_NOFOLLOW | os.O_CLOEXEC)  # in a file opened to append nothing is in place
    try:
        if not os.path.samestat(os.fstat(handle), os.fstat(again)):
            raise OSError(errno.ESTALE, "it was replaced meanwhile")
        done = 0
        while done < len(data):
            done += system.pwrite(again, data[done:], done)
    finally:
        os.close(again)


def take(handle: int, path: Path) -> None:
    """Lock an open session file for as long as it is open; raises `Busy` or `Unreadable`.

    Only a plain file with one name is taken: through a link, what is written could go elsewhere than it seems.
    """
    found = os.fstat(handle)
    if not stat.S_ISREG(found.st_mode) or found.st_nlink != 1:
        raise Unreadable(f"{path} cannot be opened for writing: it is not a plain file with one name.")
    try:
        # unlike lockf, flock is kept when this process opens and closes the same file a second time to read it
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        still_there = os.path.samestat(found, path.lstat())
    except BlockingIOError:
        raise Busy(f"Session {path.stem} is open in another program{_holder(handle)}: close it there first.") from None
    except OSError as error:
        raise Unreadable(f"{path} cannot be locked: {error.strerror}.") from None
    if not still_there:
        raise Unreadable(f"{path} was replaced while it was being opened: try again.")


def look_free(path: Path) -> None:
    """Raise `Busy` where another program holds a session file, `Unreadable` where it cannot be written to at all."""
    handle = open_there(path)
    try:
        take(handle, path)
    finally:
        os.close(handle)


def make_private(handle: int, path: Path) -> None:
    """Leave an open session file to its owner alone; raises `NotSaved`."""
    try:
        _set_mode(handle, 0o600)
    except OSError as error:
        raise NotSaved(f"The session file {path} cannot be made private: {error.strerror}.") from None


def _set_mode(handle: int, mode: int) -> None:
    if stat.S_IMODE(os.fstat(handle).st_mode) != mode:
        os.fchmod(handle, mode)


def _holder(handle: int) -> str:
    """Tell which process holds the lock, where the system publishes it (Linux, most file systems)."""
    inode = str(os.fstat(handle).st_ino)
    with contextlib.suppress(OSError, UnicodeDecodeError):
        for row in Path("/proc/locks").read_text(encoding="ascii").splitlines():
            # "1: FLOCK  ADVISORY  WRITE 1234 fe:00:5678 0 EOF"
            words = row.split()
            if len(words) == 8 and words[1] == "FLOCK" and words[5].split(":")[-1] == inode and int(words[4]) > 0:
                return f" (process {words[4]})"
    return ""
