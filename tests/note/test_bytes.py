"""The same session gives the same note, byte for byte: whatever the zone, the locale, the hash seed, the directory."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace

from stepper.note.outputs import FORMATS, LogFile, tell
from tests.cases import Log
from tests.note.visits import ended_early, eventful, four_canals

ROOT = Path(__file__).resolve().parents[2]
MACHINES = (
    ("UTC", "C", "0"),
    ("Pacific/Kiritimati", "de_DE.UTF-8", "1"),
    ("XYZ11:30", "tr_TR", "9"),
)
VISITS = (four_canals, ended_early, eventful)
FILE = LogFile("session.jsonl", b"{}\n", "00" * 32)
SAME = ("text", "markdown", "html", "fhir")
"""Of a PDF only the text is."""

CODE = "from tests.note.test_bytes import digests\nprint(*digests())"


def digests() -> list[str]:
    """The hash of each visit's note in each format."""
    return [hashlib.sha256(one).hexdigest() for visit in VISITS for one in written(visit())]


def written(log: Log) -> list[bytes]:
    """A visit's note in each format that has the same bytes everywhere."""
    told = tell(log.case(), [FILE])
    return [FORMATS[form](told) for form in SAME]


@pytest.mark.parametrize(("zone", "place", "seed"), MACHINES)
def test_every_machine_writes_the_same_bytes(zone: str, place: str, seed: str, tmp_path: Path) -> None:
    there = os.environ | {"TZ": zone, "LC_ALL": place, "LANG": place, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)}
    ran = subprocess.run(
        [sys.executable, "-c", CODE], cwd=tmp_path, env=there, capture_output=True, text=True, check=True
    )
    assert ran.stdout.split() == digests()


def test_the_order_in_which_answers_were_put_into_a_line_does_not_matter() -> None:
    """A line's answers are a table without an order: read back from a file, they may come in another one."""
    log = four_canals()
    turned = four_canals()
    for place, entry in enumerate(turned.entries):
        values = getattr(entry, "values", None)
        if isinstance(values, dict):
            turned.entries[place] = replace(entry, values=dict(reversed(values.items())))
    assert written(turned) == written(log)
