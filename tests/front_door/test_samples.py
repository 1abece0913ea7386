"""The samples, keyed once more through the real program: the same entries and note; a changed key changes both."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.counting import Count, count
from tests.drive import script
from tests.samples import FOLDER, SAMPLES, SCRIPTS, Sample, note_of, record

UNLIKE = ("t", "off", "tz", "mono_us", "boot", "hash", "nonce", "app", "sid")
"""Members that another run may give otherwise: times and ids."""


def entries(path: Path) -> list[dict[str, object]]:
    found = [json.loads(line) for line in path.read_bytes().splitlines()]
    return [{name: value for name, value in entry.items() if name not in UNLIKE} for entry in found]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.name)
def test_the_script_gives_the_sample_again(tmp_path: Path, sample: Sample) -> None:
    made = record(sample, tmp_path)
    kept = FOLDER / f"{sample.name}.jsonl"
    assert entries(made) == entries(kept)
    assert note_of(made) == note_of(kept)
    assert note_of(kept) == (FOLDER / f"{sample.name}.txt").read_text(encoding="utf-8")
    assert count(sample, made).faults == []


def test_a_changed_key_changes_entries_and_note(tmp_path: Path) -> None:
    sample = SAMPLES[0]
    lines = script(SCRIPTS / sample.keys)
    at = lines.index("-0.5**1")
    lines[at] = "-1**1"
    made, kept = record(sample, tmp_path, lines), FOLDER / f"{sample.name}.jsonl"
    assert entries(made) != entries(kept)
    assert note_of(made) != note_of(kept)
    assert len(entries(made)) == len(entries(kept))


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.name)
def test_no_sample_was_keyed_by_hand(sample: Sample) -> None:
    header = json.loads((FOLDER / f"{sample.name}.jsonl").read_bytes().split(b"\n")[0])
    assert header["practice"] is True
    assert "PRACTICE" in (FOLDER / f"{sample.name}.txt").read_text(encoding="utf-8").upper()
    assert not re.search(r"[a-z]", header["patient"])


def test_the_count_finds_a_visit_that_takes_too_long_or_rings_for_nothing() -> None:
    assert Count("four-canals-interleaved", 4, 120, 1, 6.0, 0).faults == []
    assert len(Count("four-canals-interleaved", 4, 121, 1, 1.0, 0).faults) == 1
    assert len(Count("four-canals-interleaved", 4, 120, 1, 6.1, 0).faults) == 1
    assert len(Count("interrupted-and-corrected", 2, 71, 1, 1.0, 3).faults) == 1
    assert len(Count("plain-single-canal", 1, 71, 1, 1.0, 1).faults) == 2
