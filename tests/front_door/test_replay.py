"""`stepper replay` as the user runs it: walked at a real terminal, the file untouched, refusals in one sentence."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.front_door.test_commands import run
from tests.samples import FOLDER
from tests.terminal import Terminal, chair

WRONG = FOLDER / "wrong-cone-caught.jsonl"


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[Path]:
    """A session that nobody may write, in a folder where nobody may write."""
    folder = tmp_path / "archive"
    folder.mkdir()
    path = folder / WRONG.name
    shutil.copyfile(WRONG, path)
    path.chmod(0o444)
    os.utime(path, ns=(10**18, 10**18))
    folder.chmod(0o555)
    yield path
    folder.chmod(0o755)


def state(path: Path) -> tuple[bytes, int, list[Path], int]:
    folder = path.parent
    return path.read_bytes(), path.stat().st_mtime_ns, sorted(folder.iterdir()), folder.stat().st_mtime_ns


def test_a_session_is_walked_the_note_read_and_the_file_untouched(kept: Path) -> None:
    before = state(kept)
    with Terminal(["replay", str(kept)]) as terminal:
        terminal.wait("REPLAY entry 0 of 65")
        terminal.send("\r\r\r")  # as fast as the finger will
        terminal.wait("REPLAY entry 3 of 65")
        terminal.send("-\r")
        terminal.wait("REPLAY entry 2 of 65")
        terminal.send("+\r")
        terminal.wait("REPLAY entry 38 of 65")
        terminal.wait("came up here")
        terminal.wait("In the note")
        terminal.send("*\r")
        terminal.wait("The note as it stood at entry 38")
        terminal.wait("[30, 38]")
        terminal.send("\r")
        terminal.wait("> ")
        terminal.send("*\r")
        terminal.wait("cone 35/.04")
        terminal.send("half a line")
        terminal.wait("> half a line")
        terminal.send("..\r")
        terminal.send("3--\r")
        terminal.wait("Nothing is logged in replay")
        terminal.send("/\r")
        terminal.wait("leave the replay")
        terminal.send("5\r")
        assert terminal.end() == 0
        rings = re.sub(rb"\x1b\][^\x07]*\x07", b"", bytes(terminal.raw)).count(b"\x07")
        assert rings == 0, "no sound in replay"
    assert state(kept) == before


def test_arrows_walk_and_ctrl_q_leaves(kept: Path) -> None:
    before = state(kept)
    with Terminal(["replay", str(kept)], columns=120, rows=40) as terminal:
        terminal.wait("REPLAY entry 0 of 65")
        terminal.send("\x1b[C\x1b[C\x1b[B\x1b[A")
        terminal.wait("REPLAY entry 2 of 65")
        terminal.send("\x11")
        assert terminal.end() == 0
    assert state(kept) == before


def test_from_the_start_screen_and_back(tmp_path: Path) -> None:
    folder = tmp_path / "sessions"
    folder.mkdir()
    shutil.copyfile(WRONG, folder / WRONG.name)
    before = state(folder / WRONG.name)
    with chair(tmp_path) as terminal:
        terminal.wait("3  replay a session")
        terminal.key(["3"])
        terminal.wait("1  patient 60247, tooth 33")
        terminal.key(["1"])
        terminal.wait("REPLAY entry 0 of 65")
        terminal.key(["65", "/"])
        terminal.wait("leave the replay")
        terminal.key(["5"])
        terminal.wait("1  new session")
        terminal.key(["/"])
        assert terminal.end() == 0
    assert state(folder / WRONG.name) == before


def test_a_damaged_session_is_shown_as_far_as_it_stands_and_told_by_the_code(tmp_path: Path) -> None:
    lines = WRONG.read_bytes().split(b"\n")
    lines[30] = lines[30].replace(b'"kind"', b'"kjnd"')
    path = tmp_path / WRONG.name
    path.write_bytes(b"\n".join(lines))
    with Terminal(["replay", str(path)]) as terminal:
        terminal.wait("REPLAY entry 0 of 29")
        terminal.wait("DAMAGED AFTER ENTRY 29")
        terminal.wait("is damaged: entry 30")
        terminal.key(["/", "5"])
        assert terminal.end() == 1


BAD = {
    "a missing session": ("nothing-here.jsonl", "nothing-here.jsonl"),
    "a folder": ("tests", "tests"),
    "a protocol": ("protocols/one_visit.toml", "one_visit"),
}


@pytest.mark.parametrize(("argument", "named"), BAD.values(), ids=BAD)
def test_what_is_no_session_is_refused_in_one_sentence(argument: str, named: str) -> None:
    done = run("replay", argument)
    assert done.returncode == 2
    assert named in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert done.stdout == ""


def test_rubbish_is_refused_and_so_is_no_terminal(tmp_path: Path) -> None:
    path = tmp_path / "rubbish-0001.jsonl"
    path.write_bytes(b"{}\n")
    done = run("replay", str(path))
    assert (done.returncode, len(done.stderr.splitlines())) == (2, 1)
    assert "not a session" in done.stderr
    done = run("replay", str(WRONG))
    assert done.returncode == 2
    assert "terminal" in done.stderr


def test_it_plays_by_itself_and_stops_at_enter(kept: Path) -> None:
    before = state(kept)
    with Terminal(["replay", str(kept)]) as terminal:
        terminal.wait("REPLAY entry 0 of 65")
        terminal.send("/\r")
        terminal.wait("play it, a minute in a second")
        terminal.send("9\r")
        terminal.wait("Playing a minute in a second; Enter stops.")
        terminal.wait(lambda text: int(text.split("REPLAY entry ")[1].split()[0]) >= 5)
        terminal.send("\r")
        terminal.wait("Stopped at entry")
        stopped = terminal.text.split("REPLAY entry ")[1].split()[0]
        terminal.quiet(2.5)
        assert terminal.text.split("REPLAY entry ")[1].split()[0] == stopped
        terminal.send("/\r")
        terminal.wait("leave the replay")
        terminal.send("5\r")
        assert terminal.end() == 0
    assert state(kept) == before
