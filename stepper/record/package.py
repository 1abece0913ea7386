"""What is inside a package of sessions: a plain tar of a manifest and the session files, byte for byte.

Bytes in, bytes out. The tar names no machine, no user and no time. Of what is read back nothing is trusted: a member is
taken only where the manifest names it, at its place, with its size and its sum.
"""

from __future__ import annotations

import hashlib
import io
import re
import tarfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NoReturn

import msgspec

from stepper.record.problems import Unreadable
from stepper.record.verify import FILE_CAP, SUFFIX, Verified, judge

FORMAT = 1
"""Version of the package's format; it is the first member, `v`, of the manifest."""

MANIFEST = "package.json"
MOST_BYTES = 128 * 1024 * 1024
"""Most bytes of all sessions of a package together."""

MOST_SESSIONS = 10_000
PACKAGE_CAP = MOST_BYTES + 32 * 1024 * 1024
"""Most bytes of a package file: the sessions, the manifest, what tar and age put around them."""

_MANIFEST_CAP = 4 * 1024 * 1024
_BLOCK = tarfile.BLOCKSIZE
# what the program gives as a session's id, and what can be a file's name anywhere
_SID = re.compile(r"[a-z0-9][a-z0-9_-]{7,63}(\.[1-9][0-9]{0,3})?")
_SUM = re.compile(r"[0-9a-f]{64}")


class Told(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a manifest tells of a session: its file's `bytes` and sum, its good `entries` and the hash of the last."""

    id: str
    bytes: int
    sha256: str
    head: str
    entries: int
    intact: bool


class _Manifest(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    v: int
    sessions: tuple[Told, ...]


class _Version(msgspec.Struct, frozen=True):
    v: int


@dataclass(frozen=True)
class Packed:
    """A session in a package: what the manifest tells, and the bytes of its file."""

    told: Told
    data: bytes

    @property
    def name(self) -> str:
        """The name of its file."""
        return self.told.id + SUFFIX


def gathered(files: Iterable[tuple[str, bytes]]) -> list[tuple[Packed, Verified]]:
    """Take session files, ids and bytes, to be packed, damaged or not.

    Raises `Unreadable` where one is no session or is there twice, and as soon as they are too many or too large.
    """
    found: dict[str, tuple[Packed, Verified]] = {}
    room = MOST_BYTES
    for sid, data in files:
        if not _SID.fullmatch(sid):
            raise Unreadable(f"{sid!a:.100} names no session of this program: it has 8 to 64 of a-z, 0-9, - and _.")
        if sid in found:
            raise Unreadable(f"Session {sid} is given twice: once is allowed.")
        room -= len(data)
        if room < 0 or len(found) == MOST_SESSIONS:
            most = f"{MOST_SESSIONS} sessions, {MOST_BYTES // 1024 // 1024} MB together"
            raise Unreadable(f"That is too much for one package: the most is {most}; make several.")
        judged = judge(data, sid)
        found[sid] = Packed(_told(sid, data, judged), data), judged
    return list(found.values())


def tar_of(sessions: Sequence[Packed]) -> bytes:
    """Put sessions into one tar, behind their manifest."""
    manifest = msgspec.json.encode(_Manifest(FORMAT, tuple(one.told for one in sessions)))
    into = io.BytesIO()
    with tarfile.open(fileobj=into, mode="w", format=tarfile.USTAR_FORMAT) as tar:
        for name, data in ((MANIFEST, manifest), *((one.name, one.data) for one in sessions)):
            member = tarfile.TarInfo(name)  # without an owner, and of the year 1970
            member.mode, member.size = 0o600, len(data)
            tar.addfile(member, io.BytesIO(data))
    return into.getvalue()


def sessions_in(tar: bytes) -> list[Packed]:
    """Read the sessions of a tar; raises `Unreadable` unless it holds exactly what its manifest tells."""
    data, at = _member(tar, 0, MANIFEST, _MANIFEST_CAP)
    found = []
    for told in _manifest(data).sessions:
        data, at = _member(tar, at, told.id + SUFFIX, FILE_CAP)
        if len(data) != told.bytes or hashlib.sha256(data).hexdigest() != told.sha256:
            _refuse(f"session {told.id} is not the one that its manifest tells of")
        found.append(Packed(told, data))
    if tar[at:].strip(b"\0"):
        _refuse("it holds more than its manifest tells")
    return found


def verified(one: Packed) -> tuple[Verified, bool]:
    """Verify a session that was packed, and say if it is as its manifest tells; raises `Unreadable`."""
    found = judge(one.data, one.told.id)
    return found, _told(one.told.id, one.data, found) == one.told


def _told(sid: str, data: bytes, found: Verified) -> Told:
    whole = hashlib.sha256(data).hexdigest()
    return Told(sid, len(data), whole, found.head, len(found.entries), found.damage is None)


def _manifest(data: bytes) -> _Manifest:
    try:
        version = msgspec.json.decode(data, type=_Version).v
        if version > FORMAT:
            raise Unreadable(
                f"The package is of version {version}, and this program reads up to {FORMAT}: use a newer program."
            )
        manifest = msgspec.json.decode(data, type=_Manifest)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
        _refuse("its manifest is not as the format has it")
    ids = [one.id for one in manifest.sessions]
    sums = [value for one in manifest.sessions for value in (one.sha256, one.head)]
    named = all(map(_SID.fullmatch, ids)) and len(set(ids)) == len(ids) and 0 < len(ids) <= MOST_SESSIONS
    if manifest.v != FORMAT or not named or not all(map(_SUM.fullmatch, sums)):
        _refuse("its manifest is not as the format has it")
    return manifest


def _member(tar: bytes, at: int, name: str, most: int) -> tuple[bytes, int]:
    """Read the plain file that stands at a place under that name; also gives where the next one begins.

    Each header is read by itself, so that none can stand for another's name or size, or point elsewhere.
    """
    try:
        header = tarfile.TarInfo.frombuf(tar[at : at + _BLOCK], "ascii", "strict")
    except (tarfile.TarError, ValueError):
        _refuse(f"{name} is missing")
    begin = at + _BLOCK
    end = begin + header.size
    if header.name != name or header.type != tarfile.REGTYPE or not 0 <= header.size <= most or end > len(tar):
        _refuse(f"where {name} should be is something else")
    following = begin + -(-header.size // _BLOCK) * _BLOCK
    if tar[end:following].strip(b"\0"):
        _refuse(f"something follows on {name}")
    return tar[begin:end], following


def _refuse(why: str) -> NoReturn:
    raise Unreadable(f"The package was opened, but {why}: it was not made by this program. Nothing of it was taken.")
