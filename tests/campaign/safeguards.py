"""Each safeguard of the record taken out in turn, and which proof notices.

What the operating system does for the record is taken out below it, by an `Os` that does not do it; the rest by putting
something else in its place. Kills of real processes are not among the proofs here: whether they meet the moment at
which a safeguard matters is chance, and most of what is lost without one only a power cut shows.
"""

from __future__ import annotations

import fcntl
import json
import os
import re
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from unittest.mock import patch

from stepper.record import chain, journal, members, verify
from stepper.record.journal import Journal
from stepper.record.members import Entry, UnfitError
from stepper.record.problems import Retired
from stepper.record.register import Register
from stepper.record.system import Os
from stepper.record.verify import Verified
from stepper.record.watch import Watch
from tests.campaign import changes, children, machine, power, registers, rivals
from tests.campaign.tally import Tally, Trial, as_it_is

Proof = Callable[[Trial], Tally]

QUICK: Mapping[str, tuple[Proof, int]] = {
    "power cuts": (power.power_cuts, 5),
    "faults": (power.faults, 1),
    "short writes": (children.starved, 1),
    "cuts": (changes.cuts, 1),
    "bit flips": (changes.flips, 0),
    "lines moved": (changes.lines, 1),
    "files swapped": (changes.files, 1),
    "forged lines": (changes.forgeries, 1),
    "register": (registers.removals, 1),
    "second writer": (rivals.second_writers, 1),
    "meddling": (rivals.meddlers, 2),
    "state machine": (machine.plays, 40),
}
"""The proofs in their quick form, and how many rounds that is."""


class Without(Os):
    """Everything as it is; what is left out is left out by those that go on from here."""

    def __init__(self, system: Os) -> None:
        self.system = system

    def write(self, handle: int, data: bytes) -> int:
        return self.system.write(handle, data)

    def fdatasync(self, handle: int) -> None:
        self.system.fdatasync(handle)

    def fsync(self, handle: int) -> None:
        self.system.fsync(handle)

    def ftruncate(self, handle: int, size: int) -> None:
        self.system.ftruncate(handle, size)

    def pwrite(self, handle: int, data: bytes, offset: int) -> int:
        return self.system.pwrite(handle, data, offset)

    def lstat(self, path: str) -> os.stat_result:
        return self.system.lstat(path)

    def size(self, handle: int) -> int:
        return self.system.size(handle)

    def watch(self, handle: int, path: Path) -> Watch | None:
        return self.system.watch(handle, path)


class NoSync(Without):
    def fdatasync(self, handle: int) -> None:
        pass


class NoFolderSync(Without):
    def fsync(self, handle: int) -> None:
        pass


class SyncAgain(Without):
    def fdatasync(self, handle: int) -> None:
        try:
            self.system.fdatasync(handle)
        except OSError:
            self.system.fdatasync(handle)


class ShortUnseen(Without):
    def write(self, handle: int, data: bytes) -> int:
        self.system.write(handle, data)
        return len(data)


class _Cuts(Without):
    """Tells a cut that takes a failed write back from one that puts an unfinished end out of the way."""

    failed = False

    def write(self, handle: int, data: bytes) -> int:
        self.failed = False
        try:
            taken = self.system.write(handle, data)
        except OSError:
            self.failed = True
            raise
        self.failed = taken < len(data)
        return taken


class NoTakingBack(_Cuts):
    def ftruncate(self, handle: int, size: int) -> None:
        if not self.failed:
            self.system.ftruncate(handle, size)
        self.failed = False


class NoCuttingOff(_Cuts):
    def ftruncate(self, handle: int, size: int) -> None:
        if self.failed:
            self.system.ftruncate(handle, size)
        self.failed = False


class Blind(Watch):
    """Is told of everything, and tells of nothing."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.told = lambda _: []


class BlindWatch(Without):
    def watch(self, handle: int, path: Path) -> Watch | None:  # noqa: ARG002
        return Blind(path)


class NoLook(Without):
    """Tells of the file what one would like to hear: one name, and as many bytes as were written here."""

    def __init__(self, system: Os) -> None:
        super().__init__(system)
        self.sizes: dict[int, int] = {}
        self.handle = -1

    def write(self, handle: int, data: bytes) -> int:
        before = self.sizes.get(handle, os.fstat(handle).st_size)
        taken = self.system.write(handle, data)
        self.sizes[handle], self.handle = before + taken, handle
        return taken

    def ftruncate(self, handle: int, size: int) -> None:
        self.system.ftruncate(handle, size)
        self.sizes[handle] = size

    def watch(self, handle: int, path: Path) -> Watch | None:  # noqa: ARG002
        return None

    def lstat(self, path: str) -> os.stat_result:  # noqa: ARG002 - whatever is there by now
        found = list(os.fstat(self.handle))
        found[3], found[6] = 1, self.sizes.pop(self.handle)
        return os.stat_result(found)


Replacement = tuple[object, str, object]
"""The module or class, the name in it, and what stands there instead."""


@dataclass(frozen=True)
class Safeguard:
    """One safeguard: how the operating system is without it, or what stands in its place."""

    system: Callable[[Os], Os] = as_it_is
    instead: tuple[Replacement, ...] = ()


def _any_hash(line: bytes, _: str) -> str | None:
    return chain.hash_in(line) if re.fullmatch(rb'.*,"hash":"[0-9a-f]{64}"}', line, re.DOTALL) else None


_link, _genesis, _look = chain._link, chain.genesis, verify._look_at_shape
_in_shape, _shape_fault, _append = members.in_shape, members.shape_fault, Journal.append


def _link_alone(content: bytes, _: str) -> str:
    return _link(content, "0" * 64)


def _number_in(line: bytes) -> int:
    told = json.loads(line)["seq"]
    return told if isinstance(told, int) else -1


def _in_shape_anywhere(line: bytes, entry: Entry, _: int) -> bool:
    return _in_shape(line, entry, _number_in(line))


def _shape_fault_anywhere(entry: Entry, seq: int) -> str | None:
    return _shape_fault({**entry, "seq": seq}, seq)


def _genesis_of_any(_: str) -> str:
    return _genesis("any")


def _look_for_any(entry: Entry, number: int, sid: str) -> None:
    _look(entry, number, str(entry.get("sid", sid)))


def _append_after_all(self: Journal, kind: str, body: Mapping[str, object], by: int | None) -> Entry:
    try:
        return _append(self, kind, body, by)
    except Retired:
        self._retired = ""
        raise


def _no_cap(_: int) -> int:
    return 1 << 40


def _decode_anything(line: bytes) -> Entry:
    try:
        entry: Entry = json.loads(line.decode("utf-8", "replace"))
    except ValueError as error:
        raise UnfitError(str(error)) from None
    return entry


def _always_unfinished(data: bytes, good: Verified) -> Verified:
    return replace(good, unfinished=data[good.size :])


SAFEGUARDS: Mapping[str, Safeguard] = {
    "hash of a line": Safeguard(instead=((verify, "check", _any_hash),)),
    "hash covers the line before": Safeguard(instead=((chain, "_link", _link_alone),)),
    "number of an entry": Safeguard(
        instead=((verify, "in_shape", _in_shape_anywhere), (verify, "shape_fault", _shape_fault_anywhere))
    ),
    "session id bound to the file": Safeguard(
        instead=(
            (verify, "genesis", _genesis_of_any),
            (journal, "genesis", _genesis_of_any),
            (verify, "_look_at_shape", _look_for_any),
        )
    ),
    "only one last line is unfinished": Safeguard(instead=((verify, "_broken", _always_unfinished),)),
    "a session is begun by a whole entry": Safeguard(instead=((verify, "_recognise", lambda *_: None),)),
    "unfinished end cut off": Safeguard(NoCuttingOff),
    "lock": Safeguard(instead=((fcntl, "flock", lambda *_: None),)),
    "short write seen": Safeguard(ShortUnseen),
    "failed write taken back": Safeguard(NoTakingBack),
    "handle dead after a failed sync": Safeguard(instead=((Journal, "append", _append_after_all),)),
    "failed sync not tried again": Safeguard(SyncAgain),
    "sync of the file": Safeguard(NoSync),
    "sync of the folder": Safeguard(NoFolderSync),
    "names and size looked at": Safeguard(NoLook),
    "told of a name that changed": Safeguard(BlindWatch),
    "last hash kept in the register": Safeguard(instead=((Register, "complaint", lambda *_: ""),)),
    "longest line": Safeguard(instead=((verify, "cap", _no_cap), (journal, "cap", _no_cap))),
    "strict reading of a line": Safeguard(instead=((verify, "decode", _decode_anything),)),
}
"""What can be taken out."""


NOTICED_BY: Mapping[str, tuple[str, ...]] = {
    "hash of a line": ("power cuts", "faults", "bit flips", "lines moved", "register", "state machine"),
    "hash covers the line before": ("lines moved",),
    "number of an entry": ("forged lines",),
    "session id bound to the file": ("lines moved", "files swapped", "forged lines"),
    "only one last line is unfinished": ("bit flips", "lines moved"),
    "a session is begun by a whole entry": ("power cuts", "cuts"),
    "unfinished end cut off": ("power cuts", "short writes", "state machine"),
    "lock": ("second writer", "state machine"),
    "short write seen": ("short writes",),
    "failed write taken back": ("power cuts", "short writes"),
    "handle dead after a failed sync": ("faults",),
    "failed sync not tried again": ("faults", "state machine"),
    "sync of the file": ("power cuts", "faults", "state machine"),
    "sync of the folder": ("power cuts", "faults"),
    "names and size looked at": ("meddling",),
    "told of a name that changed": ("meddling",),
    "last hash kept in the register": ("register",),
    "longest line": ("forged lines",),
    "strict reading of a line": ("forged lines",),
}
"""Which proofs notice what is taken out; a proof that goes blind is seen by this."""


def noticing(name: str) -> tuple[str, ...]:
    """The proofs that fail, with a violation or an error, while a safeguard is out."""
    safeguard = SAFEGUARDS[name]
    with ExitStack() as stack:
        for where, what, other in safeguard.instead:
            stack.enter_context(patch.object(where, what, other))
        return tuple(one for one, (proof, rounds) in QUICK.items() if _notices(proof, rounds, safeguard.system))


def _notices(proof: Proof, rounds: int, system: Callable[[Os], Os]) -> bool:
    try:
        return proof(Trial(rounds, without=system)).bad > 0
    except Exception:  # an entry that is not there, a file that cannot be read: the proof notices in its own way
        return True


def table(found: Mapping[str, tuple[str, ...]]) -> str:
    """The table in Markdown: a row for each safeguard, a column for each proof."""
    rows = [["taken out", *QUICK], ["---"] * (len(QUICK) + 1)]
    rows += [[name, *("x" if proof in found[name] else "" for proof in QUICK)] for name in found]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)
