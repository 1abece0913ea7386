"""The hash chain over the lines of a session file, byte for byte as they stand there.

    hash of entry n = SHA-256( hash of entry n-1, as 64 hex letters, then the bytes of line n up to its `,"hash"` )

in lower-case hex. Before entry 0 stands the genesis, SHA-256 of the text `stepper session|<version>|<session id>`.
`hash` is always the last member of a line, so that its last 75 bytes are `,"hash":"<64 hex>"}` and no JSON has to be
read to verify a file. The chain shows changes in the middle of a file and lines from another session; it cannot show
that whole entries are missing at the end, nor a file that was written anew throughout.
"""

from __future__ import annotations

import hashlib
import re

FORMAT = 1
"""Version of the file format; it is the first member, `v`, of every line."""

_NAME = b',"hash":"'
_CLOSE = b'"}'
_SUFFIX = len(_NAME) + 64 + len(_CLOSE)
_ENDING = re.compile(_NAME + rb"[0-9a-f]{64}" + _CLOSE)


def genesis(sid: str) -> str:
    """Return what stands for the hash before entry 0 of session `sid`."""
    return hashlib.sha256(f"stepper session|{FORMAT}|{sid}".encode()).hexdigest()


def seal(line_without_hash: bytes, previous: str) -> bytes:
    """Return the line (a JSON object, without newline) with its hash put in as the last member."""
    content = line_without_hash.removesuffix(b"}")
    return content + _NAME + _link(content, previous).encode() + _CLOSE


def hash_in(line: bytes) -> str:
    """Return the hash that a sealed line ends with."""
    return line[-64 - len(_CLOSE) : -len(_CLOSE)].decode()


def check(line: bytes, previous: str) -> str | None:
    """Return the hash of a line (without newline) if it follows on `previous`, else nothing."""
    link = _link(line[:-_SUFFIX], previous)
    return link if line.endswith(_NAME + link.encode() + _CLOSE) else None


def whole_line_length(data: bytes, previous: str) -> int:
    """Return how many bytes at the start of `data` are a whole line that follows on `previous`; 0 if none are."""
    ends = (found.end() for found in _ENDING.finditer(data))
    return next((end for end in ends if check(data[:end], previous)), 0)


def _link(content: bytes, previous: str) -> str:
    return hashlib.sha256(previous.encode() + content).hexdigest()
