"""A disk with a cache of its own: it keeps apart what programs see and what a power cut would leave.

Files are real ones, so that programs read and lock them as ever; what each call changes is kept beside them. A power
cut leaves of every sector that was not synced what was there before, what was written at any time since, zeros, or
something else; of the size any between the smallest and the largest since. Two things are taken for granted, as most
programs do: of a sector that is being written those bytes that do not change stay as they were, and a sync that is said
to be done is done. A sync that fails leaves the bytes in the cache and calls them clean: they may have reached the disk
or not, and no later sync writes them.
"""

from __future__ import annotations

import os
import random
import stat
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from stepper.record.system import Os
from stepper.record.watch import Watch

SECTOR = 512
_LETTERS = bytes(range(32, 127))


class Killed(BaseException):
    """The program is gone at this point, as after SIGKILL; what it had written stays in the cache."""


Fault = OSError | Killed | int
"""How a call fails: with an error, by the end of the program, or (of a write) after so many bytes."""


@dataclass
class Kept:
    """One file: the bytes that a power cut cannot take, what stood there since, and which sectors wait for a sync."""

    durable: bytes
    since: list[bytes] = field(default_factory=list)
    dirty: set[int] = field(default_factory=set)

    @property
    def cached(self) -> bytes:
        """What programs see."""
        return self.since[-1] if self.since else self.durable

    def change(self, now: bytes) -> None:
        """Take in what programs see now."""
        low = min(len(self.cached), len(now))
        self.dirty |= set(range(low // SECTOR, (max(len(self.cached), len(now)) + SECTOR - 1) // SECTOR))
        self.since.append(now)

    def sync(self) -> None:
        """Bring to the disk what waits for it; a sector that a failed sync called clean does not."""
        now = self.cached
        kept = bytearray(self.durable[: len(now)].ljust(len(now), b"\0"))
        for sector in self.dirty:
            part = slice(sector * SECTOR, (sector + 1) * SECTOR)
            kept[part] = now[part]
        self.durable = bytes(kept)
        self.since = [now] if self.durable != now else []
        self.dirty = set()

    def fail_sync(self, dice: random.Random) -> None:
        """Lose at random what waits for a sync, and call it clean."""
        now = self.cached
        self.durable = self.image(dice, plain=True)
        self.since, self.dirty = [now], set()

    def image(self, dice: random.Random, *, plain: bool = False) -> bytes:
        """What a power cut may leave; if `plain`, sectors are old or new and nothing else."""
        stood = [self.durable, *self.since]
        sizes = [len(one) for one in stood]
        most = max(sizes)
        size = dice.choice(sizes) if plain or dice.random() < 0.5 else dice.randint(min(sizes), most)
        out = bytearray(self.durable.ljust(most, b"\0"))
        harsh = 0.0 if plain else dice.choice((0.0, 0.2, 0.6))
        for sector in self.dirty:
            part = slice(sector * SECTOR, min((sector + 1) * SECTOR, most))
            _fill(out, part, stood, dice, harsh)
        return bytes(out[:size])


def _fill(out: bytearray, part: slice, stood: list[bytes], dice: random.Random, harsh: float) -> None:
    """Put into a sector what stood there at some time, or something else where its bytes ever changed."""
    length = part.stop - part.start
    if dice.random() >= harsh:
        out[part] = dice.choice(stood)[part].ljust(length, b"\0")
        return
    versions = [one[part] for one in stood]
    same = next((n for n in range(length) if len({one[n : n + 1] for one in versions}) > 1), length)
    kind = dice.randrange(3)
    other = dice.randbytes(length) if kind == 0 else bytes(length)
    if kind == 1:
        other = bytes(dice.choices(_LETTERS, k=length))
    out[part.start + same : part.stop] = other[same:]


class Disk(Os):
    """The operating system on such a disk. `at` is called before and after each call, with the call's name.

    `plan` may make a call fail: it is asked with the call's name, once for each call.
    """

    def __init__(self, root: Path, dice: random.Random) -> None:
        self.root = root
        self.dice = dice
        self.files: dict[int, Kept] = {}
        self.named: set[Path] = {root}
        self.at: Callable[[str], None] = lambda _: None
        self.plan: Callable[[str], Fault | None] = lambda _: None

    def adopt(self, path: Path) -> None:
        """Take a file that is there as one that has long been on the disk, name and all."""
        self.files[path.stat().st_ino] = Kept(path.read_bytes())
        self.named |= {path, *path.parents}

    def cut(self, path: Path) -> bytes | None:
        """What a power cut at this moment may leave of a file; nothing if it may leave none of that name."""
        names = [path, *(one for one in path.parents if one.is_relative_to(self.root))]
        if not self.named.issuperset(names) and self.dice.random() < 0.5:
            return None
        kept = self.files.get(path.stat().st_ino)
        return kept.image(self.dice) if kept else b""

    def write(self, handle: int, data: bytes) -> int:
        """Write into the cache; a fault may leave a part of it there."""
        fault = self._before("write")
        kept = self._kept(handle)
        if isinstance(fault, OSError):
            raise fault
        part = data[: self.dice.randint(0, len(data))] if isinstance(fault, Killed) else data[:fault]
        taken = os.write(handle, part) if part else 0
        kept.change(kept.cached + part[:taken])
        if isinstance(fault, Killed):
            raise fault
        self.at("after write")
        return taken

    def fdatasync(self, handle: int) -> None:
        """Bring the file's bytes and its size to the disk, or fail as systems do."""
        fault = self._before("fdatasync")
        if isinstance(fault, OSError):
            self._kept(handle).fail_sync(self.dice)
        if isinstance(fault, BaseException):
            raise fault
        self._kept(handle).sync()
        self.at("after fdatasync")

    def fsync(self, handle: int) -> None:
        """Bring the names in a folder to the disk."""
        fault = self._before("fsync")
        if isinstance(fault, BaseException):
            raise fault
        found = os.fstat(handle)
        if not stat.S_ISDIR(found.st_mode):
            raise AssertionError("the record syncs folders by fsync, and files by fdatasync")
        for folder in (self.root, *(one for one in self.root.rglob("*") if one.is_dir())):
            if os.path.samestat(found, folder.stat()):
                self.named |= set(folder.iterdir())
        self.at("after fsync")

    def ftruncate(self, handle: int, size: int) -> None:
        """Cut the file in the cache."""
        fault = self._before("ftruncate")
        if isinstance(fault, BaseException):
            raise fault
        kept = self._kept(handle)
        os.ftruncate(handle, size)
        kept.change(kept.cached[:size].ljust(size, b"\0"))
        self.at("after ftruncate")

    def lstat(self, path: str) -> os.stat_result:
        """Tell about the file."""
        fault = self._before("lstat")
        if isinstance(fault, BaseException):
            raise fault
        return os.lstat(path)

    def watch(self, handle: int, path: Path) -> Watch | None:  # noqa: ARG002
        """Tell of nothing, so that the file is looked at by its name each time."""
        return None

    def pwrite(self, handle: int, data: bytes, offset: int) -> int:
        """Write in place into the cache: what is written waits for a sync, also where it was there before."""
        fault = self._before("pwrite")
        if isinstance(fault, BaseException):
            raise fault
        taken = os.pwrite(handle, data, offset)
        kept = self._kept(handle)
        kept.dirty |= set(range(offset // SECTOR, (offset + taken + SECTOR - 1) // SECTOR))
        kept.since.append(kept.cached)
        self.at("after pwrite")
        return taken

    def _before(self, call: str) -> Fault | None:
        self.at(call)
        return self.plan(call)

    def _kept(self, handle: int) -> Kept:
        return self.files.setdefault(os.fstat(handle).st_ino, Kept(b""))
