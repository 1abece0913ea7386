"""The sample sessions: made by the real program from keystroke scripts, under a test clock.

`python -m tests.samples` makes them anew, with their notes, and the README's picture of the chairside screen.
"""

from __future__ import annotations

import asyncio
import datetime as dt
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from tests.drive import Chair, script
from tests.picture import picture
from tests.protocols import second_visit
from tests.terminal import chair

ROOT = Path(__file__).parent.parent
SCRIPTS = ROOT / "tests" / "scripts"
FOLDER = ROOT / "sample_sessions"


@dataclass(frozen=True)
class Sample:
    """One sample: the name of its session, its script, the time it opens at, and the seconds a line takes.

    `after` is the sample that it goes on from as a second visit, under the two-visit variant of the protocol.
    """

    name: str
    keys: str
    start: str
    seconds: int
    after: str = ""


SAMPLES = (
    Sample("plain-single-canal", "plain_single.keys", "2026-03-02T09:00:00+01:00", 55),
    Sample("wrong-cone-caught", "wrong_cone.keys", "2026-03-05T14:10:00+01:00", 50),
    Sample("four-canals-interleaved", "four_canals.keys", "2026-03-06T08:30:00+01:00", 60),
    Sample("interrupted-and-corrected", "premolar_interrupted.keys", "2026-03-09T10:00:00+01:00", 60),
    Sample("ended-early-separated-file", "ended_early.keys", "2026-03-10T15:20:00+01:00", 50),
    Sample("two-visits-first", "visit_one.keys", "2026-03-11T11:00:00+01:00", 55),
    Sample("two-visits-second", "visit_two.keys", "2026-03-25T11:00:00+01:00", 50, after="two-visits-first"),
)


def record(sample: Sample, folder: Path, lines: list[str] | None = None) -> Path:
    """Key a sample through the real program in a pseudo-terminal and give the session file.

    A line `KILL 15` kills the program outright and starts it again a quarter of an hour later.
    """
    left = script(SCRIPTS / sample.keys) if lines is None else lines
    options = _second_visit(sample, folder) if sample.after else []
    start = dt.datetime.fromisoformat(sample.start)
    while True:
        part, minutes, left = _until_killed(left)
        clock = f"{start.isoformat()}/{sample.seconds}/{sample.name}"
        with chair(folder, clock=clock, options=options) as terminal:
            terminal.key(part)
            if minutes is None:
                code = terminal.end()
                break
            terminal.quiet(0.3)
        start += dt.timedelta(seconds=len(part) * sample.seconds, minutes=minutes)
    assert code == 0, terminal.text
    return folder / "sessions" / f"{sample.name}.jsonl"


def _until_killed(lines: list[str]) -> tuple[list[str], int | None, list[str]]:
    at = next((place for place, line in enumerate(lines) if line.startswith("KILL")), None)
    if at is None:
        return lines, None, []
    return lines[:at], int(lines[at].split()[1]), lines[at + 1 :]


def _second_visit(sample: Sample, folder: Path) -> list[str]:
    """Lay the first visit into the folder, and give the protocol that the second is keyed under."""
    (folder / "sessions").mkdir(mode=0o700, exist_ok=True)
    shutil.copyfile(FOLDER / f"{sample.after}.jsonl", folder / "sessions" / f"{sample.after}.jsonl")
    return ["--protocol", str(second_visit.write(folder))]


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
