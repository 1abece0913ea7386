"""Files of the record are written by the record alone."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from stepper.cli.refused import Refused
from stepper.cli.writing import open_log
from tests.record.sessions import logged


def test_lines_are_added_to_a_file_that_is_made_or_was_there(tmp_path: Path) -> None:
    for _ in range(2):
        handle = open_log(tmp_path / "trace.jsonl")
        os.write(handle, b'{"shown":1}\n')
        os.close(handle)
    assert (tmp_path / "trace.jsonl").read_bytes() == b'{"shown":1}\n' * 2


def test_no_line_is_added_to_a_session_also_not_by_a_link(tmp_path: Path) -> None:
    path, _ = logged(tmp_path)
    before = path.read_bytes()
    (tmp_path / "trace").symlink_to(path)
    for one in (path, tmp_path / "trace"):
        with pytest.raises(Refused, match="the record is kept in files like this"):
            open_log(one)
    assert path.read_bytes() == before
