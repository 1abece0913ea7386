"""Keystroke scripts of a bad day, typed into the real program.

In a script, beside the lines that are typed:

`#include NAME` puts in parts/NAME.keys; `KILL` pulls the plug and starts the program again an hour later; `SHOWN text`
waits until the screen shows it; `HIDDEN text` looks that it does not; `SAID words` waits until the line that answers
holds them all; `GATE n open`, `GATE n only CLAUSES`, `GATE n shut CLAUSES` and `GATE n holds CLAUSES` ask the session
file for the gate of canal n. `{tooth}` stands for the tooth that the expectations name, and one entered line is a
minute.
"""

from __future__ import annotations

import os
import re
import signal
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from stepper.session.store import read_case
from tests.bad_day.looking import flat, gate_misses, session_files
from tests.terminal import Terminal, chair

FOLDER = Path(__file__).parent
MINUTE_S = 60
PATIENCE_S = 15.0
PANEL = 23
"""Where the steps at the left of the screen end and the questions begin."""

STEP = re.compile(r"\s*\d+ [.>+!o-] ")
BACKSPACE = "\x7f"


def keys(path: Path, tooth: str) -> Iterator[str]:
    """Give the lines of a script with its parts in place; remarks fall away, and a tooth goes where one is asked."""
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("#include "):
            yield from keys(FOLDER / "parts" / f"{line.split()[1]}.keys", tooth)
        elif line[:1] != "#" and line.split(" #")[0].strip():
            bare = line.split(" #")[0].strip().replace("{tooth}", tooth)
            yield "" if bare == "ENTER" else bare


@dataclass
class Visit:
    """The program at its terminal, and the file of the first session."""

    folder: Path
    patience: float = PATIENCE_S
    plugs: int = 0
    terminal: Terminal = field(init=False)

    def __post_init__(self) -> None:
        self._start()

    def _start(self) -> None:
        self.terminal = chair(self.folder, clock=f"2026-03-02T{9 + self.plugs:02d}:00:00+01:00/{MINUTE_S}")

    @property
    def files(self) -> list[Path]:
        """Give the session files, first opened first."""
        return session_files(self.folder)

    def type(self, lines: list[str]) -> None:
        """Type the lines of a script and do what else it asks for."""
        for number, line in enumerate(lines, start=1):
            word, _, rest = line.partition(" ")
            act = {"SHOWN": self._shown, "HIDDEN": self._hidden, "SAID": self._said, "GATE": self._gate}.get(word)
            try:
                if act is not None:
                    act(rest)
                elif line == "KILL":
                    self._pull_the_plug()
                else:
                    self.terminal.key([line])
            except AssertionError as error:
                before = lines[max(number - 6, 0) : number - 1]
                raise AssertionError(f"line {number}, {line!r}, after {before}: {error}") from None
        self._all_taken()

    def end(self) -> None:
        """End the program."""
        self.terminal.kill()

    def _pull_the_plug(self) -> None:
        self._all_taken()
        self.terminal.kill(signal.SIGKILL)
        self.plugs += 1
        self._start()

    def _all_taken(self) -> None:
        """Type something that is never entered: once it is shown, every line before it has been taken."""
        for typed, holds in (("777", True), (BACKSPACE * 3, False)):
            self.terminal.send(typed)
            self._until(lambda there=holds: ("> 777" in self.terminal.text) is there, lambda: "keys are not taken")

    def _until(self, holds: Callable[[], object], said: Callable[[], str]) -> None:
        end = time.monotonic() + self.patience
        while not holds():
            assert time.monotonic() < end, f"{said()}\n{self.terminal.text}"
            self.terminal.read(0.05)
            gone = os.waitid(os.P_PID, self.terminal.pid, os.WEXITED | os.WNOHANG | os.WNOWAIT)
            assert gone is None or holds(), f"the program has ended\n{self.terminal.text}"

    def _panels(self) -> tuple[str, str, str]:
        """Give the whole screen, what stands right of the steps, and the line that answers, each in one line."""
        rows = self.terminal.screen.display
        right = [row[PANEL:].replace("▌", " ") for row in rows]
        prompt = next((place for place, row in enumerate(rows) if row.startswith(" > ")), len(rows))
        said = [row for row in rows[max(prompt - 3, 0) : prompt] if not STEP.match(row)]
        return flat(rows), flat(right), flat(said)

    def _shown(self, text: str) -> None:
        self._until(lambda: any(text in panel for panel in self._panels()), lambda: "never shown")

    def _hidden(self, text: str) -> None:
        self._all_taken()
        assert not any(text in panel for panel in self._panels()), f"shown\n{self.terminal.text}"

    def _said(self, words: str) -> None:
        def all_said() -> bool:
            return all(word in self._panels()[2].lower() for word in words.lower().split())

        self._until(all_said, lambda: f"not said: {self._panels()[2]}")

    def _gate(self, line: str) -> None:
        self._all_taken()
        number, how, *clauses = line.split()
        _, case, fault = read_case(self.files[0])
        assert case is not None, fault
        found = gate_misses(case, int(number), {"only": []} if how == "open" else {how: clauses})
        assert not found, found
