"""The clinician's two minutes with the real program: replay, correct, write, read through, sign; and pull the plug."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from stepper.record.keys import new_key
from stepper.record.verify import read
from tests.front_door.test_commands import run
from tests.samples import FOLDER
from tests.terminal import Terminal

PASSPHRASE = "a passphrase of mine"
NAME = "wrong-cone-caught.jsonl"


@pytest.fixture
def data(tmp_path: Path) -> Path:
    (tmp_path / "sessions").mkdir(mode=0o700)
    shutil.copyfile(FOLDER / NAME, tmp_path / "sessions" / NAME)
    (tmp_path / "sessions" / NAME).chmod(0o600)
    new_key(tmp_path, 1, "Clinician 1", "C1", PASSPHRASE, "2026-11-20")
    return tmp_path


def replaying(data: Path) -> Terminal:
    return Terminal(["replay", "--dir", str(data), str(data / "sessions" / NAME)])


def corrected(terminal: Terminal) -> None:
    """Say of the gauging file that was held that it was not, as person 1, with the spoken yes."""
    for line, then in (
        ("25", "REPLAY entry 25 of 65"),
        (".", "Who is at the keys?"),
        ("1", "keyed wrong: the fact was otherwise"),
        ("1", "Which fact?"),
        ("2", "Held there"),
        ("2", "the clinician says yes"),
    ):
        terminal.send(f"{line}\r")
        terminal.wait(then)


def test_a_note_is_corrected_written_into_read_and_signed(data: Path) -> None:
    path = data / "sessions" / NAME
    with replaying(data) as terminal:
        terminal.wait("REPLAY entry 0 of 65")
        corrected(terminal)
        terminal.send("1\r")
        terminal.wait("Confirmed.")
        terminal.wait("was yes, is no")
        for line, then in (
            ("/", "write into a section of the note"),
            ("15", "Into which section of the note?"),
            ("6", "Which words?"),
            ("The pulp chamber floor was read with 2.5x; no crack.", "Whose words are they?"),
            ("1", "Added to Access, as the words of Clinician 1."),
            ("/", "read it through and sign"),
            ("18", "page 1 of"),
        ):
            terminal.send(f"{line}\r")
            terminal.wait(then)
        terminal.send("1\r")
        terminal.wait("Read to the last page first")
        for _ in range(30):
            if "1 and Enter signs" in terminal.text:
                break
            terminal.send("\r")
            terminal.quiet()
        terminal.send("1\r")
        terminal.wait("Who signs?")
        terminal.send("1\r")
        terminal.wait("Passphrase of Clinician 1 (C1)?")
        terminal.send(PASSPHRASE)
        terminal.wait("•" * len(PASSPHRASE))
        assert PASSPHRASE not in terminal.text
        terminal.send("\r")
        terminal.wait("Signed by Clinician 1 (C1).")
        terminal.send("/\r")
        terminal.wait("leave the replay")
        terminal.send("5\r")
        assert terminal.end() == 0
        assert PASSPHRASE.encode() not in bytes(terminal.raw)
    assert [one["kind"] for one in read(path).entries[66:]] == [
        "relief", "resume", "correction", "confirm", "free_text", "signature",
    ]  # fmt: skip
    checked = run("check", "--dir", str(data), str(path))
    assert "Signed by Clinician 1 (C1)" in checked.stdout
    note = run("note", str(path)).stdout
    assert "The pulp chamber floor was read with 2.5x; no crack. (Clinician 1 in writing," in " ".join(note.split())


def test_a_killed_review_has_lost_nothing_that_was_said_to_be_logged(data: Path) -> None:
    path = data / "sessions" / NAME
    with replaying(data) as terminal:
        terminal.wait("REPLAY entry 0 of 65")
        corrected(terminal)
        terminal.wait("Correction logged.")
        terminal.kill()
    assert read(path).entries[-1]["kind"] == "correction"
    with replaying(data) as terminal:
        terminal.wait("REPLAY entry 0 of 68")
        for line, then in (
            ("/", "what waits for a yes"),
            ("16", "Who is at the keys?"),
            ("1", "the clinician says yes"),
            ("1", "Confirmed."),
        ):
            terminal.send(f"{line}\r")
            terminal.wait(then)
        terminal.send("/\r")
        terminal.wait("leave the replay")
        terminal.send("5\r")
        assert terminal.end() == 0
    assert read(path).entries[-1]["kind"] == "confirm"
