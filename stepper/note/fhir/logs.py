"""The log that the note rests on, byte for byte: whoever has the document can prove the chain and the signatures."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator, Sequence

from stepper.note.fhir import codes
from stepper.note.fhir.piece import Maker, Piece, Tree, kind_of
from stepper.note.outputs import LogFile

JSON_LINES = "application/x-ndjson"
"""What JSON Lines are called; the name is registered nowhere (common practice, no source)."""


def logs(make: Maker, files: Sequence[LogFile], author: Piece, at: str) -> Iterator[Piece]:
    """Give a document for each file, the oldest first; each later one goes on from the one before."""
    before: Piece | None = None
    for place, file in enumerate(files):
        before = make.piece(
            "DocumentReference",
            f"file {place + 1} {file.name}",
            range(len(make.case.entries)),
            identifier=_proofs(file),
            status="current",
            docStatus=make.status,
            type=kind_of("session-log", "Session log"),
            subject=make.subject,
            date=at,
            author=[author.reference],
            relatesTo=[{"code": "appends", "target": before.reference}] if before is not None else None,
            content=[{"attachment": _attached(file)}],
        )
        yield before


def _proofs(file: LogFile) -> list[Tree]:
    """Name a file by its SHA-256, as RFC 6920 writes it (from memory), and by the last hash of its chain."""
    digest = base64.urlsafe_b64encode(hashlib.sha256(file.data).digest()).decode().rstrip("=")
    return [
        {"system": codes.URIS, "value": f"ni:///sha-256;{digest}"},
        {"system": codes.CHAIN_HEADS, "value": file.head},
    ]


def _attached(file: LogFile) -> Tree:
    """Attach a file; FHIR's own `hash` is a SHA-1 (seen), good against mishaps and not against forgers."""
    sha1 = hashlib.sha1(file.data, usedforsecurity=False).digest()
    return {
        "contentType": JSON_LINES,
        "data": base64.b64encode(file.data).decode(),
        "size": len(file.data),
        "hash": base64.b64encode(sha1).decode(),
        "title": file.name,
    }
