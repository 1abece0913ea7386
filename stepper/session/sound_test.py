"""The sound test of the day: it rings one, two or three times and asks how many rings were heard.

How often it rings cannot be guessed. What came of it stands in a small file of its own beside the sessions, with the
day and nothing else; where that file cannot be read, sound counts as not tested.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import json
import os
import secrets
from dataclasses import dataclass
from pathlib import Path

from stepper.facts.ringing import Tested
from stepper.lines.grammar import Answer, Command, CommandName, Line
from stepper.protocol.reading import read_at_most
from stepper.record.clock import Moment
from stepper.record.problems import RecordError
from stepper.record.system import Os, make_folder
from stepper.session.view import Choice, Prompt, Tone

FILE = "sound_test.json"
MOST_RINGS = 3
WORKS = "Sound works."
OFF = "Sound is switched off in practice.toml: the band on the screen is the only sign of an alarm."
WORDS = {
    Tested.HEARD: "sound test: done today, sound was heard",
    Tested.NOT_HEARD: "sound test: done today, sound was NOT heard",
    Tested.NOT_TODAY: "sound test: not done yet today",
}
_MOST_BYTES = 1000
_LEGEND = "number Enter: answer   * ring again   .. wipe   / back"


def drawn() -> int:
    """Draw how often to ring."""
    return 1 + secrets.randbelow(MOST_RINGS)


def day_of(now: Moment) -> dt.date:
    """Give the local day of a moment."""
    sign = -1 if now.offset.startswith("-") else 1
    return (now.wall + sign * dt.timedelta(hours=int(now.offset[1:3]), minutes=int(now.offset[4:6]))).date()


def tested(folder: Path, day: dt.date) -> Tested:
    """Tell what the sound test of a day came to; what cannot be read says nothing."""
    try:
        content = read_at_most(folder / FILE, _MOST_BYTES)
        kept = json.loads(content) if len(content) <= _MOST_BYTES else None
    except (OSError, ValueError, RecursionError):
        return Tested.NOT_TODAY
    if not isinstance(kept, dict) or kept.get("day") != day.isoformat() or not isinstance(kept.get("heard"), bool):
        return Tested.NOT_TODAY
    return Tested.HEARD if kept["heard"] else Tested.NOT_HEARD


def keep(folder: Path, day: dt.date, *, heard: bool) -> None:
    """Keep what the test came to: the whole file is the new one or the one before. Raises RecordError or OSError."""
    make_folder(folder, Os())
    written = folder / f"{FILE}.new"
    with contextlib.suppress(FileNotFoundError):  # left behind by a crash
        written.unlink()
    handle = os.open(written, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW | os.O_CLOEXEC, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        json.dump({"day": day.isoformat(), "heard": heard}, file)
        file.flush()
        os.fsync(handle)
    written.replace(folder / FILE)


@dataclass(slots=True)
class SoundTest:
    """One test: `rings` times it rang, and rings again when asked to. `due` are the rings that are still to come."""

    folder: Path
    day: dt.date
    rings: int
    due: int = 0
    done: bool = False

    def __post_init__(self) -> None:
        self.due = self.rings

    def prompt(self) -> Prompt:
        """Ask how many rings were heard."""
        heard = ("none", "one", "two", "three")
        choices = tuple(Choice(str(number), word) for number, word in enumerate(heard))
        return Prompt("Sound test", "", "How many rings did you hear?", "0 to 3", choices, "", "", "", _LEGEND)

    def bells(self) -> int:
        """Tell how often to ring now, once."""
        due, self.due = self.due, 0
        return due

    def take(self, line: Line) -> tuple[str, Tone]:
        """Take what was heard, and say what it means."""
        if isinstance(line, Command) and line.name is CommandName.REPEAT:
            self.due = self.rings
            return "Ringing again, as often as before.", Tone.PLAIN
        typed = line.fields[0] if isinstance(line, Answer) and line.canals is None and len(line.fields) == 1 else ""
        if typed not in ("0", "1", "2", "3"):
            return "Type 0, 1, 2 or 3: so many rings were heard. * rings again.", Tone.WARN
        self.done = True
        return self._end(int(typed))

    def _end(self, heard: int) -> tuple[str, Tone]:
        said, tone = WORKS, Tone.GOOD
        if heard != self.rings:
            said = (
                f"It rang {self.rings} {'time' if self.rings == 1 else 'times'}, {heard or 'none'} heard. Check the "
                "loudspeaker, its volume and the terminal's bell, then 5 again. Until then the band on the screen is "
                "the only sign of an alarm."
            )
            tone = Tone.STOP
        try:
            keep(self.folder, self.day, heard=heard == self.rings)
        except (OSError, RecordError) as error:
            why = error.strerror if isinstance(error, OSError) else str(error)
            return f"{said} This could not be kept: {why}", Tone.WARN if tone is Tone.GOOD else tone
        return said, tone
