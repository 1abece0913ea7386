"""Where commands write what was asked of them: to standard output, or to a file that is none of the record's."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

from stepper.cli.refused import Refused

_RECORDS = (".jsonl", ".cut-off", ".toml", ".pem", ".age")
_NAMES = ("register", "recipients.txt")
"""How the files of a practice's data folder are named, which nothing but the record itself may write to."""

_BEGUN = b'{"v":'
"""How sessions and the register begin."""


def write_out(data: bytes, path: Path | None) -> None:
    """Write to a file for its owner alone, or to standard output; never over a file of the record."""
    from stepper.record.system import Os
    from stepper.record.whole import replace_whole

    if path is None:
        _to_standard_output(data)
        return
    target = Path(os.path.realpath(path))
    if target.suffix in _RECORDS or target.name in _NAMES:
        raise _of_the_record(path)
    try:
        if target.is_file() or not target.exists():
            replace_whole(target, data, Os())  # a full disk leaves what was there
            return
        handle = os.open(target, os.O_WRONLY | os.O_CLOEXEC)  # a device or a pipe
        with os.fdopen(handle, "wb") as file:
            file.write(data)
    except OSError as error:
        raise Refused(f"{path.name}: cannot be written: {error.strerror}.") from None


def open_log(path: Path) -> int:
    """Open a file to add lines to, which is made if need be; raises OSError, and Refused where it is a session."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND | os.O_CLOEXEC, 0o600)
    if stat.S_ISREG(os.fstat(handle).st_mode) and os.pread(handle, len(_BEGUN), 0) == _BEGUN:
        os.close(handle)
        raise _of_the_record(path)
    return handle


def _of_the_record(path: Path) -> Refused:
    return Refused(
        f"{path.name}: the record is kept in files like this, and nothing else is written to them; name another."
    )


def _to_standard_output(data: bytes) -> None:
    try:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # else what is still held fails again at the end
        raise Refused(f"standard output: cannot be written: {error.strerror}.") from None
