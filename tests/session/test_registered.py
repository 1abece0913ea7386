"""Sessions are registered when they are opened and left; what the register misses is said wherever it matters."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.cli.main import main
from stepper.record.register import NAME, read_register
from stepper.session.store import list_sessions
from tests.drive import Chair, script

SCRIPT = script(Path(__file__).parents[1] / "scripts" / "plain_single.keys")


def left(folder: Path, lines: int = 20) -> Path:
    chair = Chair(folder)
    chair.key(*SCRIPT[:lines])
    path = chair.path
    chair.lobby.leave()
    return path


def shorten(path: Path, entries: int) -> None:
    path.write_bytes(b"\n".join(path.read_bytes().split(b"\n")[:-1][:-entries]) + b"\n")


def test_a_session_is_registered_when_it_is_opened_and_left(tmp_path: Path) -> None:
    chair = Chair(tmp_path)
    chair.open()
    sid = chair.path.stem
    assert read_register(tmp_path).sessions[sid].entries == 1
    chair.key("5**1**1**2")
    chair.lobby.leave()
    assert read_register(tmp_path).sessions[sid].head == chair.session.room.journal.head


def test_one_that_lost_entries_is_listed_so_not_resumed_and_gone_on_from_in_a_new_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = left(tmp_path)
    shorten(path, 3)
    whole = path.read_bytes()
    assert "was shortened" in list_sessions(tmp_path)[0].fault
    assert main(["check", str(path)]) == 1
    assert "was shortened" in capsys.readouterr().out
    chair = Chair(tmp_path)
    assert "was shortened" in " ".join(chair.key("11").prompt.card)
    assert chair.key("1").saying.startswith(f"Goes on in {path.stem}.2.jsonl")
    assert path.read_bytes() == whole


def test_one_that_is_gone_is_named_by_list(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = tmp_path / "data"
    path = left(data / "sessions")
    entries = read_register(path.parent).sessions[path.stem].entries
    path.unlink()
    assert main(["list", "--dir", str(data)]) == 0
    said = capsys.readouterr().out
    assert f"missing     {path.name}  {entries} entries of it were registered" in said


def test_a_damaged_register_is_said_and_hinders_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = tmp_path / "data"
    path = left(data / "sessions")
    (path.parent / NAME).write_bytes(b"rubbish\nrubbish\n")
    assert Chair(path.parent).key("11").saying.startswith("Resumed")
    assert main(["list", "--dir", str(data)]) == 0
    assert "The register of files is damaged from line 1 on." in capsys.readouterr().out
