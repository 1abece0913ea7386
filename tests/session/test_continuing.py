"""A session goes on in a new file where its own is damaged or can no longer be written; the old one is left alone."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path

import pytest

from stepper.cli.main import main
from stepper.record import system
from stepper.record.journal import Journal
from stepper.session.store import list_sessions, read_case
from stepper.session.view import Tone
from tests.drive import Chair, script

SCRIPT = script(Path(__file__).parents[1] / "scripts" / "wrong_cone.keys")
HALF = 36


def begun(folder: Path) -> Path:
    """A visit keyed half way and left."""
    chair = Chair(folder)
    chair.key(*SCRIPT[:HALF])
    path = chair.path
    chair.lobby.leave()
    return path


def damaged(path: Path, entry: int = 30) -> bytes:
    """Change one letter of an entry; give the file as it is then."""
    rows = path.read_bytes().split(b"\n")
    changed = rows[entry].replace(b'"off":"+01', b'"off":"+02')
    assert changed != rows[entry]
    rows[entry] = changed
    path.write_bytes(b"\n".join(rows))
    return path.read_bytes()


def test_a_damaged_session_is_not_written_but_asked_about(tmp_path: Path) -> None:
    path = begun(tmp_path)
    whole = damaged(path)
    chair = Chair(tmp_path)
    view = chair.key("11")
    assert "is damaged: entry 30" in " ".join(view.prompt.card)
    assert chair.lobby.session is None
    assert chair.key("7").saying == "Type 1 or 2."
    assert chair.key("2").prompt.title == "Start", "left as it is"
    assert path.read_bytes() == whole
    assert [one.name for one in tmp_path.glob("*.jsonl")] == [path.name]


def test_it_goes_on_after_the_last_entry_that_holds(tmp_path: Path) -> None:
    path = begun(tmp_path)
    before = [entry.seq for entry in read_case(path)[1].entries]  # type: ignore[union-attr]
    whole = damaged(path)
    chair = Chair(tmp_path)
    view = chair.key("11", "1")
    new = path.with_name(f"{path.stem}.2.jsonl")
    assert f"Goes on in {new.name} after entry 29" in view.saying
    assert path.read_bytes() == whole, "never touched again"
    assert chair.path == new
    assert len(chair.case.entries) > 30 and len(before) > 30
    assert [one.seq for one in chair.case.entries] == list(range(len(chair.case.entries)))
    told = json.loads(new.read_bytes().split(b"\n")[0])["continues"]
    assert (told["sid"], told["entries"]) == (path.stem, 30)
    number = len(chair.case.entries)
    chair.key("//", "9", "", "")
    assert chair.case.entries[number].kind == "incident"
    chair.lobby.leave()
    found, case, fault = read_case(new)
    assert case is not None and found.damage is None, fault
    assert case.entries == chair.case.entries, "read again it is the same"
    assert Chair(tmp_path).key("11").saying.startswith("Resumed")


def test_what_is_corrected_is_the_entry_of_the_whole_session(tmp_path: Path) -> None:
    path = begun(tmp_path)
    damaged(path)
    chair = Chair(tmp_path)
    chair.key("11", "1", "2/11/")
    rinse = next(one for one in reversed(chair.case.entries) if one.kind == "answer")
    chair.key(".", "1", "1")
    corrections = [one for one in chair.case.entries if one.kind == "correction"]
    assert not corrections or corrections[-1].of <= rinse.seq  # type: ignore[union-attr]
    chair.lobby.leave()
    again = read_case(chair.path)[1]
    assert again is not None and again.told == chair.case.told


def test_only_the_last_of_its_files_is_listed_and_the_choice_leads_there(tmp_path: Path) -> None:
    path = begun(tmp_path)
    damaged(path)
    first = Chair(tmp_path)
    first.key("11", "1")
    first.lobby.leave()
    assert [one.path.name for one in list_sessions(tmp_path)] == [f"{path.stem}.2.jsonl"]


def test_a_file_that_goes_on_from_another_one_than_is_there_is_refused(tmp_path: Path) -> None:
    path = begun(tmp_path)
    damaged(path)
    chair = Chair(tmp_path)
    chair.key("11", "1")
    chair.lobby.leave()
    damaged(path, entry=12)
    found, case, fault = read_case(chair.path)
    assert case is None and found.damage is None
    assert fault == f"{chair.path.name} goes on from entry 29 of {path.name}, which does not hold it."
    path.unlink()
    assert "cannot be read" in read_case(chair.path)[2]


def test_a_continuation_is_damaged_and_gone_on_from_in_its_turn(tmp_path: Path) -> None:
    path = begun(tmp_path)
    damaged(path)
    chair = Chair(tmp_path)
    chair.key("11", "1", *SCRIPT[HALF : HALF + 6])
    chair.lobby.leave()
    assert len(read_case(chair.path)[1].entries) > 32  # type: ignore[union-attr]
    damaged(chair.path, entry=3)
    again = Chair(tmp_path)
    view = again.key("11", "1")
    assert f"Goes on in {path.stem}.3.jsonl after entry 2" in view.saying
    assert len(again.case.entries) == 30 + 2 + 2, "what holds of both, and that it was resumed"
    again.lobby.leave()
    assert read_case(again.path)[1] is not None


def test_check_tells_each_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = begun(tmp_path)
    damaged(path)
    chair = Chair(tmp_path)
    chair.key("11", "1")
    chair.lobby.leave()
    assert main(["check", str(path)]) == 1
    assert "is damaged: entry 30" in capsys.readouterr().out
    assert main(["check", str(chair.path)]) == 0
    assert path.name in capsys.readouterr().out, "which file it goes on from"


# ---- Where the disk gives up in the middle -------------------------------------------------------


def test_after_a_failed_sync_the_line_stands_again_and_goes_into_a_new_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chair = Chair(tmp_path)
    chair.key(*SCRIPT[:HALF])
    path, entries, line = chair.path, len(chair.case.entries), SCRIPT[HALF]
    real, failing = os.fdatasync, [1]

    def sync(handle: int) -> None:
        if failing and failing.pop():
            raise OSError(errno.EIO, "Input/output error")
        real(handle)

    monkeypatch.setattr(system.os, "fdatasync", sync)
    view = chair.key(line)
    assert view.saying_tone is Tone.STOP
    assert "the disk reported an error" in view.saying and "Enter logs the line again" in view.saying
    assert "Logged" not in view.saying
    assert chair.lobby.pending == line
    assert chair.path.name == f"{path.stem}.2.jsonl"
    told = [one.kind for one in chair.case.entries[entries:]]
    assert told == ["resume"], "what was not saved did not happen"
    chair.key(line)
    chair.lobby.leave()
    found, case, fault = read_case(chair.path)
    assert case is not None, fault
    assert case.entries == chair.case.entries
    assert found.damage is None


def test_where_a_new_file_cannot_be_made_either_both_are_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    chair = Chair(tmp_path)
    chair.key(*SCRIPT[:HALF])

    def sync(_: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(system.os, "fdatasync", sync)
    view = chair.key(SCRIPT[HALF])
    assert view.saying.count("disk reported an error") == 2
    assert chair.lobby.pending == SCRIPT[HALF]
    assert [one.name for one in tmp_path.glob("*.jsonl")] == [chair.path.name], "no half file is left behind"


def test_a_file_that_was_taken_away_is_not_gone_on_from(tmp_path: Path) -> None:
    chair = Chair(tmp_path)
    chair.key(*SCRIPT[:HALF])
    chair.path.unlink()
    view = chair.key(SCRIPT[HALF])
    assert "another program removed" in view.saying and "no longer in its folder" in view.saying
    assert chair.lobby.pending == SCRIPT[HALF]
    assert list(tmp_path.glob("*.jsonl")) == []


# ---- Two programs --------------------------------------------------------------------------------


def test_the_second_program_reads_only_and_says_who_has_it(tmp_path: Path) -> None:
    path = begun(tmp_path)
    held = Journal.resume(path, Chair(tmp_path).clock)
    try:
        before = path.read_bytes()
        chair = Chair(tmp_path)
        view = chair.key("11")
        assert view.saying == (
            f"Session {path.stem} is open in another program (process {os.getpid()}): close it there first. "
            "Only to be read here."
        )
        assert chair.lobby.session is None and chair.lobby.replay is not None
        assert view.read_only
        chair.key("+", "1**1**1", "/")
        assert path.read_bytes() == before
    finally:
        held.journal.close()
