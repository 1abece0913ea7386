"""The real program as a user starts it, on sessions of some length, and the minimal app that it is measured against."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.bench import minimal
from tests.bench.screen import Program, Shown, holds
from tests.bench.sessions import write_session

SIZES = (10, 1_000, 10_000)
"""Entries in the sessions that are resumed."""

RESUMED = 11
"""The number under which the start screen lists the only session."""

_RESUME_S = 600.0


def program() -> list[str]:
    """Give the command that a user types, or what it stands for where it is not installed beside this Python."""
    installed = Path(sys.executable).with_name("stepper")
    return [str(installed)] if installed.exists() else [sys.executable, "-m", "stepper"]


def start_minimal() -> Program:
    """Start the app of two Statics and one Input."""
    return Program([sys.executable, minimal.__file__])


def start_stepper(folder: Path) -> Program:
    """Start the chair on a folder of data."""
    return Program([*program(), "chair", "--dir", str(folder)])


def minimal_shown(rows: list[str]) -> bool:
    """Tell whether the minimal app's whole screen stands."""
    return all(any(text in row for row in rows) for text in (minimal.HEAD, minimal.FOOT, minimal.ASKED))


def start_shown(rows: list[str]) -> bool:
    """Tell whether the start screen's frame stands: title, what can be chosen, caution, line and legend."""
    return "stepper" in rows[0] and _has(rows, "new session") and _has(rows, "not a medical device") and _framed(rows)


def start_complete(rows: list[str]) -> bool:
    """Tell whether the sessions stand on the start screen too."""
    return start_shown(rows) and _has(rows, f"{RESUMED}  patient")


@dataclass
class Contender:
    """A program that keys are typed into: how a typed text shows in its line."""

    name: str
    program: Program
    entries: int | None = None

    def typed(self, text: str) -> Shown:
        """Wait until the line that is typed in ends in a text; where that is nothing, until the line is empty."""
        if self.entries is None:
            return holds(text[-20:] or minimal.ASKED)
        return lambda rows: rows[-2].rstrip().endswith(f"> {text}_" if len(text) < 40 else f"{text[-20:]}_")


@contextmanager
def contenders(sizes: tuple[int, ...] = SIZES) -> Iterator[list[Contender]]:
    """Start the minimal app, and the program resumed on sessions of these sizes; the whole screen stands then."""
    with tempfile.TemporaryDirectory() as place, ExitStack() as open_now:
        found = [Contender("minimal", open_now.enter_context(start_minimal()))]
        found[0].program.until(minimal_shown)
        for size in sizes:
            folder = Path(place) / str(size)
            write_session(folder / "sessions", size)
            found.append(resumed(open_now.enter_context(start_stepper(folder)), size))
        yield found


def resumed(running: Program, entries: int) -> Contender:
    """Resume the only session of a program that was started."""
    running.until(start_complete)
    running.type(f"{RESUMED}\r")
    running.until(holds("Resumed"), _RESUME_S)
    running.drain(0.1)
    return Contender(f"{entries:,} entries", running, entries)


def _has(rows: list[str], text: str) -> bool:
    return any(text in row for row in rows)


def _framed(rows: list[str]) -> bool:
    return rows[-2].startswith(" > _") and rows[-1].strip() != ""
