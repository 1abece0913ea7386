"""One entry as bytes and back: strict JSON in UTF-8, and the members that every entry has.

    {"v":1,"seq":n,"kind":"..","t":"..Z","off":"+01:00","tz":"..","mono_us":..,"boot":"..","by":3, .. ,"hash":".."}

`by` is the number of the person who keyed the entry, or null. Entry 0 is of kind `open` and goes on with `sid`, the
session id (which is the name of the file), and `nonce`; then come the members of the entry's own kind. `t` is in UTC,
`off` what the wall clock was ahead of it, `mono_us` the microseconds since the machine's start `boot`.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import re
import secrets
from collections.abc import Callable, Mapping, Set
from typing import NoReturn

import msgspec

from stepper.record.chain import FORMAT
from stepper.record.clock import Moment, utc_text

read_json = msgspec.json.Decoder().decode
write_json = msgspec.json.Encoder().encode
"""The quick reader and writer. They take more than strict JSON: what they made is compared with what was meant."""

Entry = dict[str, object]
"""An entry as it is in the file: member names and JSON values."""

LINE_CAP = 64 * 1024
"""Most bytes of one line, its newline included."""

OPEN_CAP = 1024 * 1024
"""Most bytes of line 0, which carries the whole protocol."""

OPEN = "open"
"""The kind of entry 0."""

_DEPTH_CAP = 32
_MOST_US = 10**18
"""Microseconds since a machine was started: more than thirty thousand years."""
_LONE = "holds half of a character pair (a lone surrogate), which is no text"
_COMMON = frozenset(("v", "seq", "kind", "t", "off", "tz", "mono_us", "boot", "by", "hash"))
_OPENING = frozenset(("sid", "nonce"))
_ESCAPED_SURROGATE = re.compile(rb"\\u[dD][89a-fA-F]")
_KIND = re.compile(r"[a-z][a-z0-9_]{0,39}")
_TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{6}Z")
_OFFSET = re.compile(r"[+-][0-9]{2}:[0-9]{2}")
_BEGINNING = re.compile(
    rb'\{"v":%d,"seq":[0-9]{1,9},"kind":"[a-z][a-z0-9_]{0,39}","t":"[0-9]{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|1[0-9]|2[0-8])T(?:[01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]\.[0-9]{6}Z","off":"[+-][0-9]{2}:[0-9]{2}",'
    rb'"tz":"[^"\\]*","mono_us":-?[0-9]{1,18},"boot":"[^"\\]*","by":(?:null|-?[0-9]+),' % FORMAT
)


class UnfitError(ValueError):
    """Why an entry cannot stand in a session file, as the rest of a sentence that begins with "The entry"."""


def common_names() -> Set[str]:
    """Name the members that the record writes around the body of an entry, also of the first."""
    return _COMMON | _OPENING


def names_common(body: Mapping[str, object]) -> bool:
    """Tell whether a body names a member that every entry has; it may not."""
    return not _COMMON.isdisjoint(body)


def cap(seq: int) -> int:
    """Return the most bytes that the line of entry `seq` may have, its newline included."""
    return OPEN_CAP if seq == 0 else LINE_CAP


def enveloped(seq: int, kind: str, moment: Moment, by: int | None, body: Mapping[str, object]) -> Entry:
    """Return the members of an entry in their order, but for the hash; `body` may not name a common one."""
    if names_common(body):
        _refuse(body.keys() & _COMMON)
    return {**common(seq, kind, moment, by), **body}


def common(seq: int, kind: str, moment: Moment, by: int | None) -> Entry:
    """Return the members that every entry has, in their order, but for the hash."""
    return {
        "v": FORMAT,
        "seq": seq,
        "kind": kind,
        "t": utc_text(moment.wall),
        "off": moment.offset,
        "tz": moment.tz,
        "mono_us": moment.mono_us,
        "boot": moment.boot,
        "by": by,
    }


def opening(sid: str, body: Mapping[str, object]) -> Entry:
    """Return the body of entry 0: the session id, a random number that no other session has, and `body`."""
    _refuse(body.keys() & _OPENING)
    return {"sid": sid, "nonce": secrets.token_hex(16), **body}


def encode(members: Mapping[str, object]) -> tuple[bytes, Entry]:
    """Write members as one line of JSON in UTF-8, without newline; also gives them as a reader will find them there.

    Texts stay as they are, numbers must be finite. Raises UnfitError.
    """
    try:
        line = write_json(members)
        read = read_json(line)
        if read == members and is_shallow(line):  # what is no JSON, it would write as something else
            return line, read
    except (msgspec.MsgspecError, TypeError, ValueError, RecursionError):
        pass
    line = _encode_strictly(members)
    return line, decode(line)


def _encode_strictly(members: Mapping[str, object]) -> bytes:
    """Write what the quick writer does not write alike, or say why it cannot be written."""
    try:
        return _ENCODER.encode(members).encode()
    except UnicodeEncodeError:
        raise UnfitError(_LONE) from None
    except RecursionError:
        raise UnfitError(f"is nested more than {_DEPTH_CAP} deep") from None
    except (TypeError, ValueError) as error:
        raise UnfitError(f"holds what JSON cannot ({error})") from None


def decode(line: bytes) -> Entry:
    """Read one line of strict JSON: an object, no name twice, finite numbers, whole characters, not too deep.

    What the quick reader reads, and the quick writer would write just so, is all of that; only the depth is left.
    """
    try:
        value = read_json(line)
        if isinstance(value, dict) and write_json(value) == line and line.count(b"{") + line.count(b"[") <= _DEPTH_CAP:
            return value
    except (msgspec.MsgspecError, ValueError, RecursionError):
        pass
    return _decode_strictly(line)


def decode_again(line: bytes) -> Entry:
    """Read a line that `decode` has taken before."""
    entry: Entry = read_json(line)
    return entry


def _decode_strictly(line: bytes) -> Entry:
    """Read what was written in another way, or say what is wrong with it."""
    try:
        value = _DECODER.decode(line.decode())
    except UnfitError:
        raise
    except (ValueError, RecursionError):
        raise UnfitError("is not JSON in UTF-8") from None
    if not isinstance(value, dict):
        raise UnfitError("is not a JSON object")
    # both are rare, and a look at the bytes costs less than a walk through the members
    if not is_shallow(line) or _ESCAPED_SURROGATE.search(line):
        _walk(value, 1)
    return value


def is_shallow(line: bytes) -> bool:
    """Tell whether a line cannot be nested too deep; one that holds many brackets has to be looked at."""
    return line.count(b"{") + line.count(b"[") <= _DEPTH_CAP


def in_shape(line: bytes, entry: Entry, seq: int) -> bool:
    """Tell whether an entry begins in its line as this program writes it on most days, number `seq` of a file.

    Where it does not, `shape_fault` says whether it is in order all the same.
    """
    return _BEGINNING.match(line) is not None and entry["seq"] == seq and seq != 0 and entry["kind"] != OPEN


def shape_fault(entry: Entry, seq: int) -> str | None:
    """Say what is wrong with the common members of entry number `seq`: the rest of a sentence, or nothing."""
    missing = (_COMMON if seq else _COMMON | _OPENING) - entry.keys()
    if missing:
        return f"has no member {min(missing)!r}"
    if not _is_int(entry["v"]) or entry["v"] != FORMAT:
        return f"is of format version {entry['v']!r:.20}, and this file is of version {FORMAT}"
    if not _is_int(entry["seq"]) or entry["seq"] != seq:
        return f"has the number {entry['seq']!r:.20} where {seq} comes next"
    if (entry["kind"] == OPEN) != (seq == 0):
        return f"is of kind {entry['kind']!r:.40}, but the first entry, and no other, is of kind {OPEN!r}"
    checks = _CHECKS if seq else _CHECKS | _OPENING_CHECKS
    for name, holds in checks.items():
        if not holds(entry[name]):
            return f"has a member {name!r} that is not as it must be"
    return None


def _refuse(names: Set[str]) -> None:
    if names:
        raise UnfitError(f"names the member {min(names)!r}, which is the record's own")


def _is_int(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _is_time(value: object) -> bool:
    if not isinstance(value, str) or not _TIME.fullmatch(value):
        return False
    try:
        dt.datetime.fromisoformat(value)
    except ValueError:
        return False
    return True


def _is_text(value: object) -> bool:
    return isinstance(value, str)


_CHECKS: dict[str, Callable[[object], bool]] = {
    "kind": lambda value: isinstance(value, str) and bool(_KIND.fullmatch(value)),
    "t": _is_time,
    "off": lambda value: isinstance(value, str) and bool(_OFFSET.fullmatch(value)),
    "tz": _is_text,
    "mono_us": lambda value: isinstance(value, int) and _is_int(value) and abs(value) < _MOST_US,
    "boot": _is_text,
    "by": lambda value: value is None or _is_int(value),
}
_OPENING_CHECKS: dict[str, Callable[[object], bool]] = {"sid": _is_text, "nonce": _is_text}


def _unique(pairs: list[tuple[str, object]]) -> Entry:
    members = dict(pairs)
    if len(members) != len(pairs):
        raise UnfitError("names a member twice")
    return members


def _no_constant(name: str) -> NoReturn:
    raise UnfitError(f"holds {name}, which is no number")


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise UnfitError(f"holds {text:.20}, which is too large a number")
    return number


# made once: making them anew for each line costs more than the line
_ENCODER = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":"))
_DECODER = json.JSONDecoder(object_pairs_hook=_unique, parse_constant=_no_constant, parse_float=_finite)


def _walk(value: object, depth: int) -> None:
    if depth > _DEPTH_CAP:
        raise UnfitError(f"is nested more than {_DEPTH_CAP} deep")
    if isinstance(value, str):
        _whole(value)
    elif isinstance(value, dict):
        for name, inner in value.items():
            _walk(name, depth)
            _walk(inner, depth + 1)
    elif isinstance(value, list):
        for inner in value:
            _walk(inner, depth + 1)


def _whole(text: str) -> None:
    try:
        text.encode()
    except UnicodeEncodeError:
        raise UnfitError(_LONE) from None
