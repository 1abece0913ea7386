"""A newcomer at the real program, 80x24, from the first-run screen: what stands out is keyed, and nothing else."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from tests.terminal import Terminal, chair

FIRST_BODY = re.compile(r"^\s+1 [.>+!o-] |^\s+▌|░░")
"""Where the lesson ends and the rest of the page begins: steps, question or cover."""


def banner(terminal: Terminal) -> str:
    """What the bar over the lesson says."""
    found = re.search(r"^\s+(PRACTICE\b.*?)\s*$", terminal.text, re.MULTILINE)
    return found[1] if found else ""


def standing_out(terminal: Terminal) -> list[str]:
    """The texts in reverse in the rows of the lesson, as they stand on the screen."""
    rows = terminal.screen.display
    begin = next(at for at, row in enumerate(rows) if row.strip().startswith("PRACTICE")) + 1
    end = next(at for at in range(begin, len(rows)) if FIRST_BODY.search(rows[at]))
    found: list[str] = []
    for at in range(begin, end):
        cells = [(terminal.screen.buffer[at][column]) for column in range(80)]
        marked = "".join(cell.data if cell.reverse else "\0" for cell in cells)
        found += [part.strip() for part in marked.split("\0") if part.strip()]
    return found


def test_a_newcomer_gets_through_by_the_screen_alone(tmp_path: Path) -> None:
    with chair(tmp_path, clock="") as terminal:
        terminal.wait("New here? Key 4, then Enter")
        assert "PRACTICE" not in terminal.text
        terminal.key(["4"])
        terminal.wait("PRACTICE 1 of 29")
        lessons: list[str] = []
        while banner(terminal):
            at = banner(terminal)
            lessons.append(at)
            assert len(lessons) <= 29, "every lesson is over after its lines were keyed"
            terminal.key(["" if keys == "Enter" else keys for keys in standing_out(terminal)])
            terminal.wait(lambda text, at=at: at not in text)  # type: ignore[misc]
            terminal.quiet()
        assert lessons == [f"PRACTICE {number} of 29" for number in range(1, 30)]
        terminal.wait("That was all of it")
        assert "1 opens a real session" in " ".join(terminal.text.split())
        assert "New here?" not in terminal.text
        terminal.key(["/"])
        assert terminal.end() == 0
    (session,) = (tmp_path / "sessions").glob("*.jsonl")
    listed = _run("list", "--dir", str(tmp_path))
    assert re.match(r"closed .* patient 1234  tooth 14  practice  ", listed)
    assert "PRACTICE" in _run("note", str(session))


def _run(*arguments: str) -> str:
    command = [sys.executable, "-m", "stepper", *arguments]
    return subprocess.run(command, capture_output=True, encoding="utf-8", check=True).stdout
