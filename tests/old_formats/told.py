"""What the program tells of a session that an earlier version wrote; kept beside it when that version was released."""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import tempfile
from pathlib import Path
from typing import Any

from stepper.cli.main import main
from stepper.note.compose import compose
from stepper.note.shape import Note
from stepper.note.text import render
from stepper.session.store import read_case

HERE = Path(__file__).parent
SESSIONS = sorted(HERE.glob("v*/**/*.jsonl"))


def expected_path(session: Path) -> Path:
    return session.with_suffix(".expected.json")


def checked(*sessions: Path) -> tuple[int, list[dict[str, Any]]]:
    """What `stepper check --json` says, and its exit code; a practice's own keys and register are not looked at."""
    with tempfile.TemporaryDirectory() as data, contextlib.redirect_stdout(io.StringIO()) as out:
        code = main(["check", "--json", "--dir", data, *map(str, sessions)])
    return code, [json.loads(line) for line in out.getvalue().splitlines()]


def note_of(session: Path) -> Note:
    _, case, fault = read_case(session)
    assert case is not None, fault
    return compose(case)


def told_of(session: Path) -> dict[str, Any]:
    found, _, _ = read_case(session)
    code, (report,) = checked(session)
    note = note_of(session)
    return {
        "head": found.head,
        "entries": len(found.entries),
        "damage": None if found.damage is None else {"entry": found.damage.entry, "offset": found.damage.offset},
        "exit": code,
        "outcomes": {str(canal["number"]): canal["outcome"] for canal in report["canals"]},
        "canals": report["canals"],
        "note_sections": [section.title for section in note.sections],
        "note_sha256": hashlib.sha256(render(note).encode()).hexdigest(),
    }
