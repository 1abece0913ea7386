"""The PINs that open a locked screen: `pins.toml` beside the settings, for each person a scrypt hash, never the PIN.

A PIN keeps out who passes by. Of four to eight digits every one can be tried by whoever has the file: what keeps the
file is that it belongs to its owner alone, and the disk's encryption.
"""

from __future__ import annotations

import contextlib
import fcntl
import hashlib
import os
import re
import secrets
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated

import tomli
import tomli_w
from msgspec import Meta

from stepper.facts.record import Record, read_as, written
from stepper.protocol.reading import read_at_most
from stepper.record.system import Os, sync_folder
from stepper.record.whole import replace_whole

FILE = "pins.toml"
MAX_BYTES = 256 * 1024
ALLOWED = "a PIN is 4 to 8 digits"

_PIN = re.compile(r"[0-9]{4,8}")
_N, _R, _P = 2**14, 8, 5
"""What scrypt costs: 16 MB, and about a fifth of a second on a small machine."""
_MOST_MEMORY = 64 * 2**20
_MOST_WORK = 2**21
"""Of n * r * p in a file: nobody waits for longer than a few seconds, whatever is written there."""
_HEAD = "# The PINs that open a locked screen, as scrypt hashes. Written by stepper pin.\n\n"


class BadPins(Exception):  # noqa: N818 - it is a verdict on the file, said in the user's words
    """A file of PINs that cannot be used; the sentence says why."""


class Pin(Record, frozen=True):
    """A person's PIN as a scrypt hash, with what it was made by; `salt` and `scrypt` in hexadecimal digits."""

    person: Annotated[int, Meta(ge=1, le=999)]
    n: Annotated[int, Meta(ge=2, le=2**15)]
    r: Annotated[int, Meta(ge=1)]
    p: Annotated[int, Meta(ge=1)]
    salt: Annotated[str, Meta(pattern=r"\A[0-9a-f]{32}\Z")]
    scrypt: Annotated[str, Meta(pattern=r"\A[0-9a-f]{64}\Z")]

    def __post_init__(self) -> None:
        """Refuse costs that scrypt has not, or that would hold the screen for long."""
        memory, work = 128 * self.r * (self.n + self.p), self.n * self.r * self.p
        if self.n & (self.n - 1) or memory > _MOST_MEMORY // 2 or work > _MOST_WORK:
            raise ValueError("n, r and p are none that stepper pin writes")


class _Pins(Record, frozen=True):
    pin: Annotated[tuple[Pin, ...], Meta(min_length=1, max_length=999)]


def is_pin(typed: str) -> bool:
    """Tell whether it is four to eight digits, as a keypad has them."""
    return _PIN.fullmatch(typed) is not None


def hashed(person: int, pin: str, *, n: int = _N, r: int = _R, p: int = _P) -> Pin:
    """Make what is kept of a person's PIN, under a salt of its own."""
    salt = secrets.token_bytes(16)
    return Pin(person, n, r, p, salt.hex(), _scrypt(pin, salt, n, r, p).hex())


def fits(pins: Mapping[int, Pin], person: int, typed: str) -> bool:
    """Tell whether it is the PIN of that person; where there is none it takes as long, to give nothing away."""
    if not pins:
        return False
    kept = pins.get(person, next(iter(pins.values())))
    made = _scrypt(typed, bytes.fromhex(kept.salt), kept.n, kept.r, kept.p)
    return secrets.compare_digest(made, bytes.fromhex(kept.scrypt)) and person in pins


def _scrypt(pin: str, salt: bytes, n: int, r: int, p: int) -> bytes:
    content = pin.encode("utf-8", "replace")
    return hashlib.scrypt(content, salt=salt, n=n, r=r, p=p, maxmem=_MOST_MEMORY, dklen=32)


def read_pins(path: Path) -> dict[int, Pin]:
    """Read the PINs by person; where there is no file nobody has one.

    Raises:
        BadPins: the file is damaged or cannot be read. An empty one is damaged: the last PIN goes with its file.

    """
    try:
        content = read_at_most(path, MAX_BYTES)
        _make_private(path)
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise BadPins(f"{path.name} cannot be read: {error.strerror}.") from None
    try:
        if len(content) > MAX_BYTES:
            raise ValueError("longer than 256 KB")
        read = read_as(_Pins, tomli.loads(content.decode("utf-8"))).pin
    except (RecursionError, ValueError):
        raise BadPins(f"{path.name} is damaged.") from None
    pins = {one.person: one for one in read}
    if len(pins) < len(read):
        raise BadPins(f"{path.name} is damaged: a person has two PINs in it.")
    return pins


def _make_private(path: Path) -> None:
    """Leave a file that others could read, as one that was copied there may be, to its owner alone."""
    if stat.S_IMODE(path.stat().st_mode) & 0o077:
        with contextlib.suppress(PermissionError):  # it belongs to another: then it is his to mend
            path.chmod(0o600)


def keep(path: Path, person: int, pin: str | None) -> None:
    """Keep a person's PIN, or take it away; the whole file is the new one or the one before.

    Raises:
        BadPins: the file that is there is damaged, or it cannot be written. Nothing was changed.

    """
    try:
        with _alone(path.parent):
            pins = read_pins(path)
            pins.pop(person, None)
            if pin is not None:
                pins[person] = hashed(person, pin)
            _write(path, [pins[number] for number in sorted(pins)])
    except OSError as error:
        raise BadPins(f"{path.name} cannot be written: {error.strerror}.") from None


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Have the folder to oneself, so that of two PINs set at once none is lost."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _write(path: Path, pins: list[Pin]) -> None:
    if not pins:
        path.unlink(missing_ok=True)
        sync_folder(path.parent, Os())
        return
    text = _HEAD + tomli_w.dumps({"pin": [written(one) for one in pins]})
    replace_whole(path, text.encode("ascii"), Os())
