"""Pulling the plug on the real program: what was shown as logged is on the disk, and one goes on where one was."""

from __future__ import annotations

import json
import os
import signal
from pathlib import Path

import pytest

from tests.drive import script
from tests.samples import SCRIPTS
from tests.terminal import Terminal, chair

WRONG = script(SCRIPTS / "wrong_cone.keys")


def logged(folder: Path) -> list[dict[str, object]]:
    (path,) = (folder / "sessions").glob("*.jsonl")
    return [json.loads(line) for line in path.read_bytes().splitlines()]


def test_killed_in_the_middle_resumed_and_filled(tmp_path: Path) -> None:
    at = WRONG.index("35/4")  # the wrong cone is in hand
    with chair(tmp_path) as terminal:
        terminal.key(WRONG[:at])
        terminal.key(["35/4"])
        terminal.wait("not handed over")
        terminal.send("13/")  # half a line
        terminal.wait("> 13/")
        terminal.kill(signal.SIGKILL)
    before = logged(tmp_path)
    assert any(entry["kind"] == "answer" and "35" in json.dumps(entry["values"]) for entry in before[-3:])
    with chair(tmp_path) as terminal:
        terminal.key(["11"])
        terminal.wait("not handed over")
        terminal.wait("> 13/")  # the half-typed line is offered again
        terminal.send("..\r")
        terminal.key(WRONG[at + 1 :])
        assert terminal.end() == 0
    after = logged(tmp_path)
    assert after[: len(before)] == before
    assert after[-1]["kind"] == "close"
    assert [entry["kind"] for entry in after].count("resume") == 1


@pytest.mark.parametrize(("number", "code"), [(signal.SIGHUP, 129), (signal.SIGTERM, 143)])
def test_a_signal_ends_it_in_good_order(tmp_path: Path, number: signal.Signals, code: int) -> None:
    with chair(tmp_path) as terminal:
        terminal.key(WRONG[:12])
        terminal.wait("Stock number of what is set up")
        os.kill(terminal.pid, number)
        assert terminal.end() == code
    assert len(logged(tmp_path)) > 4


def test_a_second_program_is_told_who_has_the_session(tmp_path: Path) -> None:
    with chair(tmp_path) as first:
        first.key(WRONG[:10])
        with chair(tmp_path) as second:
            second.key(["11"])
            shown = " ".join(second.wait("process").split())
            assert "open" in shown or "in use" in shown


def test_keys_struck_before_the_screen_is_there_are_kept(tmp_path: Path) -> None:
    with Terminal(
        ["chair", "--dir", str(tmp_path)], env={"STEPPER_TEST_CLOCK": "2026-03-02T09:00:00+01:00/20"}
    ) as early:
        early.send("1\r4711\r36\r1\r2\r1\r")
        early.wait("lower left first molar", most=30)
    assert logged(tmp_path)[0]["patient"] == "4711"


@pytest.mark.parametrize("term", ["dumb", ""])
def test_a_terminal_that_cannot_show_it_is_refused_in_words(tmp_path: Path, term: str) -> None:
    with Terminal(["chair", "--dir", str(tmp_path)], env={"TERM": term}) as terminal:
        assert terminal.end() == 2
        assert "TERM" in terminal.text
        assert "Traceback" not in terminal.text


def test_a_window_that_is_too_small_is_refused_in_words(tmp_path: Path) -> None:
    with Terminal(["chair", "--dir", str(tmp_path)], columns=70, rows=20) as terminal:
        assert terminal.end() == 2
        assert "80" in terminal.text


def test_random_bytes_as_keystrokes_lose_nothing(tmp_path: Path) -> None:
    noise = bytes(byte for byte in range(256) if byte not in (3, 17, 19, 26, 28)) * 2
    with chair(tmp_path) as terminal:
        terminal.key(WRONG[:14])
        before = logged(tmp_path)
        os.write(terminal.master, noise)
        terminal.quiet(0.3)
        terminal.send("..\r")
        terminal.quiet(0.3)
        assert "Traceback" not in terminal.text
        os.kill(terminal.pid, signal.SIGTERM)
        assert terminal.end() == 143
    assert logged(tmp_path)[: len(before)] == before
