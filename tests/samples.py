"""The sample sessions: made by the real program from keystroke scripts, under a test clock.

`python -m tests.samples` makes them anew, with their notes, and the README's picture of the chairside screen.
"""

from __future__ import annotations

import asyncio
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from tests.drive import Chair, script
from tests.picture import picture
from tests.terminal import chair

ROOT = Path(__file__).parent.parent
SCRIPTS = ROOT / "tests" / "scripts"
FOLDER = ROOT / "sample_sessions"


@dataclass(frozen=True)
class Sample:
    """One sample: the name of its session, its script, and the clock it was keyed under."""

    name: str
    keys: str
    clock: str


SAMPLES = (
    Sample("plain-single-canal", "plain_single.keys", "2026-03-02T09:00:00+01:00/55"),
    Sample("wrong-cone-caught", "wrong_cone.keys", "2026-03-05T14:10:00+01:00/50"),
)


def record(sample: Sample, folder: Path, lines: list[str] | None = None) -> Path:
    """Key a sample through the real program in a pseudo-terminal and give the session file."""
    with chair(folder, clock=f"{sample.clock}/{sample.name}") as terminal:
        terminal.key(script(SCRIPTS / sample.keys) if lines is None else lines)
        code = terminal.end()
    assert code == 0, terminal.text
    return folder / "sessions" / f"{sample.name}.jsonl"


def note_of(path: Path) -> str:
    """Write the note of a session by the real command."""
    command = [sys.executable, "-m", "stepper", "note", str(path)]
    return subprocess.run(command, check=True, capture_output=True, encoding="utf-8", cwd=ROOT).stdout


def main() -> None:
    """Make every sample anew."""
    for sample in SAMPLES:
        with tempfile.TemporaryDirectory() as folder:
            made = record(sample, Path(folder))
            kept = FOLDER / made.name
            shutil.copyfile(made, kept)
        (FOLDER / f"{sample.name}.txt").write_text(note_of(kept), encoding="utf-8")
        print(kept.name)
    (FOLDER / "chair.svg").write_text(asyncio.run(chairside()), encoding="utf-8")
    print("chair.svg")


async def chairside() -> str:
    """Give a picture of the chairside screen at the moment when the wrong cone is read from its packet."""
    lines = script(SCRIPTS / "wrong_cone.keys")
    with tempfile.TemporaryDirectory() as folder:
        at = Chair(Path(folder) / "sessions")
        view = at.key(*lines[: lines.index("35/4") + 1])
    return await picture(view, (100, 30), pending="", clocks=at.lobby.clocks())


if __name__ == "__main__":
    main()
