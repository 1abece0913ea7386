"""The real program keyed into a session, for tests of terminals; what is on disk then."""

from __future__ import annotations

import json
from pathlib import Path

from tests.terminal import Terminal

OPENED = ["1", "4711", "36", "1", "2", "1"]
"""From the start screen into a new session, at its first question."""

FIRST = "What brings the patient"


def logged(folder: Path) -> list[dict[str, object]]:
    (path,) = (folder / "sessions").glob("*.jsonl")
    return [json.loads(line) for line in path.read_bytes().splitlines()]


def answers(folder: Path) -> list[dict[str, object]]:
    return [entry for entry in logged(folder) if entry["kind"] == "answer"]


def at(folder: Path, *, env: dict[str, str] | None = None, **more: object) -> Terminal:
    """Start the chair on a folder, whatever the terminal, and wait for its start screen."""
    environment = {"STEPPER_TEST_CLOCK": "2026-03-02T09:00:00+01:00/20", **(env or {})}
    terminal = Terminal(["chair", "--dir", str(folder)], env=environment, **more)  # type: ignore[arg-type]
    terminal.wait("new session")
    return terminal


def opened(folder: Path, *, env: dict[str, str] | None = None, **more: object) -> Terminal:
    """Start, and open a new session."""
    terminal = at(folder, env=env, **more)
    terminal.key(OPENED)
    terminal.wait(FIRST)
    return terminal


class Sane:
    """Whether a terminal is as it was before the program."""

    def __init__(self, terminal: Terminal, before: list[object]) -> None:
        self.terminal = terminal
        self.before = before

    def check(self) -> None:
        raw = bytes(self.terminal.raw)
        assert self.terminal.modes == self.before
        assert raw.rfind(b"\x1b[?1049l") > raw.rfind(b"\x1b[?1049h")
        assert raw.rfind(b"\x1b[?25h") > raw.rfind(b"\x1b[?25l")
        assert raw.rfind(b"\x1b[<u") > raw.rfind(b"\x1b[>25u")
        assert raw.rfind(b"\x1b[?2004l") > raw.rfind(b"\x1b[?2004h")
