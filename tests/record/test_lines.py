"""Entries read again from their lines are the entries that were read."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.record.lines import Lines
from stepper.record.verify import read
from tests.record.sessions import logged


def test_they_are_the_entries_as_acknowledged(tmp_path: Path):
    path, entries = logged(tmp_path)
    found = read(path).entries
    assert isinstance(found, Lines)
    assert list(found) == entries and found == entries
    assert (len(found), found[-1], found[1:3]) == (len(entries), entries[-1], entries[1:3])
    assert found != entries[:-1]
    assert found.kinds == {entry["kind"] for entry in entries}
    with pytest.raises(IndexError):
        found[len(entries)]
