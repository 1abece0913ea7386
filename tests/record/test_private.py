"""What lies in the data folder is for its owner alone, however it came there: mended when the chair is started."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from stepper.cli.locked import locked_lobby
from stepper.record.places import private_dirs
from stepper.record.system import keep_private
from stepper.session.view import Tone
from tests.drive import Chair
from tests.terminal import Terminal

NAMES = (
    *("practice.toml", "keys.toml", "pins.toml", "recipients.txt", "sessions/register", "sessions/sound_test.json"),
    *("sessions/0b9d1c9e-1.jsonl", "sessions/0b9d1c9e-1.typed", "keys/0123456789abcdef.pem", "crash-20260302.log"),
)


def mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


def opened(data: Path, names: tuple[str, ...] = NAMES) -> list[Path]:
    """A data folder as one that was copied from elsewhere may be: everybody can read it."""
    for folder in private_dirs(data):
        folder.mkdir(exist_ok=True)
        folder.chmod(0o755)
    paths = [data / name for name in names]
    for path in paths:
        path.touch()
        path.chmod(0o644)
    return paths


def test_all_is_closed_to_others_and_the_owner_may_do_what_they_could(tmp_path: Path) -> None:
    data = tmp_path / "data"
    paths = opened(data)
    paths[0].chmod(0o444)
    (outside := tmp_path / "outside").touch(0o644)
    outside.chmod(0o644)
    (data / "link.jsonl").symlink_to(outside)
    os.mkfifo(data / "pipe", 0o644)
    assert keep_private(private_dirs(data)) == ""
    assert [mode(folder) for folder in private_dirs(data)] == [0o700] * 3
    assert [mode(path) for path in paths] == [0o400] + [0o600] * (len(paths) - 1)
    assert mode(outside) == 0o644, "what a link leads to is none of ours"


def test_folders_that_are_not_there_are_not_made(tmp_path: Path) -> None:
    assert keep_private(private_dirs(tmp_path / "none")) == ""
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("others", "named"), [(("pins.toml",), "pins.toml"), (NAMES, " and 9 more")])
def test_what_is_anothers_is_said_in_a_sentence_and_the_rest_is_mended(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, others: tuple[str, ...], named: str
) -> None:
    paths = opened(tmp_path)
    theirs = {(tmp_path / name).stat().st_ino for name in others}
    chmod = os.fchmod

    def refuse(handle: int, wanted: int) -> None:
        if os.fstat(handle).st_ino in theirs:
            raise PermissionError(1, "Operation not permitted")
        chmod(handle, wanted)

    monkeypatch.setattr(os, "fchmod", refuse)
    said = keep_private(private_dirs(tmp_path))
    assert said.startswith("Other users may be able to read ") and named in said
    assert said.endswith("and that could not be mended: Operation not permitted.")
    assert sum(mode(path) == 0o644 for path in paths) == len(others)


def test_the_start_screen_says_it_in_colour_and_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened(tmp_path, ("pins.toml",))
    (tmp_path / "pins.toml").write_text("")
    house = Chair(tmp_path / "sessions").lobby.house
    monkeypatch.setattr(os, "fchmod", lambda _handle, _mode: (_ for _ in ()).throw(PermissionError(1, "not yours")))
    desk = locked_lobby(house, tmp_path)
    view = desk.view()
    assert (
        view.saying
        == f"Other users may be able to read {tmp_path.name} and 3 more, and that could not be mended: not yours."
    )
    assert view.saying_tone is Tone.STOP
    desk.enter("1")
    assert desk.view().prompt.question.startswith("Patient")


def test_the_real_program_mends_it_when_it_is_only_started(tmp_path: Path) -> None:
    data = tmp_path / "data"
    with Terminal(["chair", "--dir", str(data)]) as first:
        first.key(["1", "4711", "11", "1", "2", "1"])
        first.wait("session opened")
        first.kill()
    opened(data, tuple(name for name in NAMES if not name.endswith((".toml", "register"))))
    for path in [*data.rglob("*"), data]:
        path.chmod(0o755 if path.is_dir() else 0o644)
    with Terminal(["chair", "--dir", str(data)]) as second:
        second.wait("11  ")
        assert {mode(path) for path in data.rglob("*") if path.is_dir()} | {mode(data)} == {0o700}
        there = {path for path in data.rglob("*") if path.is_file()}
        assert {mode(path) for path in there} == {0o600}
        assert {"practice.toml", "register"} < {path.name for path in there}
        second.kill()
