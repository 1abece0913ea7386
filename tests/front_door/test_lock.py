"""The screen lock through the real program: a PIN set on a terminal, locked at the start and after a sleep, opened."""

from __future__ import annotations

import json
import os
import re
import signal
import sys
from pathlib import Path

from tests.samples import FOLDER
from tests.terminal import Terminal

SLEEPER = """
import signal, sys
from stepper.record import clock
awake, slept_us = clock._since_start_us, [0]
clock._since_start_us = lambda: awake() + slept_us[0]
def sleep(*_):
    slept_us[0] += 15 * 60 * 1_000_000
signal.signal(signal.SIGUSR1, sleep)
from stepper.cli.main import main
sys.exit(main())
"""
"""The program on a machine that, at a signal, has slept for a quarter of an hour."""

OPEN = "2**4711\r"


def at(folder: Path, *, columns: int = 80, rows: int = 24, **env: str) -> Terminal:
    program = (sys.executable, "-c", SLEEPER)
    return Terminal(["chair", "--dir", str(folder)], columns=columns, rows=rows, program=program, env=env)


def with_pin(folder: Path) -> None:
    """Set the PIN of person 2 as a user does."""
    with Terminal(["pin", "--person", "2", "--dir", str(folder)]) as terminal:
        terminal.wait("New PIN of person 2:")
        terminal.send("4711\r")
        terminal.wait("The same again:")
        terminal.send("4711\r")
        terminal.wait("The PIN of person 2 is set.")
        assert terminal.end() == 0
        assert b"4711" not in terminal.raw


def logged(folder: Path) -> list[dict[str, object]]:
    (path,) = (folder / "sessions").glob("*.jsonl")
    return [json.loads(line) for line in path.read_bytes().splitlines()]


def test_locked_at_the_start_and_after_a_sleep_with_an_incident_in_between(tmp_path: Path) -> None:
    with_pin(tmp_path)
    with at(tmp_path) as terminal:
        terminal.wait("Locked since")
        assert "new session" not in terminal.text
        terminal.send(OPEN)
        terminal.wait("new session")
        terminal.key(["1", "4711**36**1**2", "1"])
        terminal.wait("What brings the patient")
        terminal.send("46")
        terminal.wait("> 46_")
        os.kill(terminal.pid, signal.SIGUSR1)
        terminal.wait("> _")
        shown = re.sub(r"[0-9]{2}:[0-9]{2}", "", terminal.wait("Locked since"))
        assert not [word for word in ("36", "molar", "4711", "46", "Diagnosis", "patient") if word in shown]
        terminal.send("//\r")
        terminal.wait("Incident stamped at")
        assert logged(tmp_path)[-1]["kind"] == "incident"
        terminal.send("2**47")
        terminal.wait("•••••_")
        terminal.send("12\r")
        terminal.wait("Number or PIN is wrong.")
        terminal.send(OPEN)
        terminal.wait("What happened?")
        terminal.send("0\r")
        terminal.wait("What brings the patient")
        typed = bytes(terminal.raw)
        assert b"2**47" not in typed
        terminal.send("\x11")
        assert terminal.end() == 0
    assert [entry["kind"] for entry in logged(tmp_path)].count("incident") == 1


def test_pulling_the_plug_does_not_open_it_and_loses_no_half_typed_line(tmp_path: Path) -> None:
    with_pin(tmp_path)
    with at(tmp_path, columns=120, rows=40) as terminal:
        terminal.wait("Locked since")
        terminal.send(OPEN)
        terminal.wait("new session")
        terminal.key(["1", "4711**36**1**2", "1"])
        terminal.send("46")
        terminal.wait("> 46_")
        os.kill(terminal.pid, signal.SIGUSR1)
        terminal.wait("Locked since")
        terminal.send("2**99")
        terminal.wait("•••••_")
        terminal.kill(signal.SIGKILL)
    with at(tmp_path) as terminal:
        terminal.wait("Locked since")
        assert "4711" not in terminal.text
        terminal.send(OPEN)
        terminal.wait("11  ")
        terminal.send("11\r")
        terminal.wait("> 46_")


def test_a_terminal_without_utf8_shows_another_sign(tmp_path: Path) -> None:
    with_pin(tmp_path)
    with at(tmp_path, LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0") as terminal:
        terminal.wait("Locked since")
        terminal.send("2**47")
        terminal.wait("> #####_")


def test_a_replay_locks_where_the_practice_has_pins(tmp_path: Path) -> None:
    """The data folder is found as the platform has it: `XDG_DATA_HOME` on Linux."""
    with_pin(tmp_path / "stepper")
    session = str(FOLDER / "wrong-cone-caught.jsonl")
    with Terminal(["replay", session], env={"XDG_DATA_HOME": str(tmp_path)}) as terminal:
        terminal.wait("Locked since")
        terminal.send(OPEN)
        terminal.wait("REPLAY entry 0 of 65")
