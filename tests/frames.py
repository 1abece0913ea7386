"""`python -m tests.frames` pins the screens anew (tests/screens/frames); look at what changed before you keep it.

A frame is the rows of the whole screen as text, then the same rows with a letter for the style of each cell, so that a
lost highlight is seen as well as a lost word.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

from rich.style import Style
from textual.strip import Strip

from stepper.screens.page import page_rows
from stepper.screens.palette import DARK, Look
from stepper.session.replay import open_replay
from stepper.session.view import ChairView, Clocks, Tone
from tests.drive import Chair, script
from tests.samples import SCRIPTS

FRAMES = Path(__file__).parent / "screens" / "frames"
SIZES = ((80, 24), (120, 40))
TOO_SMALL = (60, 15)
NAME = "33333333-3333-4333-8333-333333333333"
"""Of the session, which else is drawn by lot and stands on the screen of a replay."""

LOOK = Look(DARK)

_TONES = (Tone.PLAIN, Tone.QUIET, Tone.GOOD, Tone.WARN, Tone.STOP)
LETTERS: dict[Style, str] = {
    **dict(zip([LOOK.panel(tone) for tone in _TONES], "pquvw", strict=True)),
    **dict(zip([LOOK.panel(tone, bold=True) for tone in _TONES], "PQUVW", strict=True)),
    **dict(zip([LOOK.tone(tone) for tone in _TONES], ".,gyr", strict=True)),
    **dict(zip([LOOK.tone(tone, bold=True) for tone in _TONES], "sSGYR", strict=True)),
    **dict(zip([LOOK.bar(tone) for tone in _TONES], "12345", strict=True)),
    LOOK.accent: "a",
    LOOK.panel_accent(): "A",
}
"""Ground: `.` plain `,` quiet, g good, y asks, r stops, capital or s bold, a accent. Panel: p plain, q quiet, u good,
v asks, w stops, capital bold, A accent. Bars, in reverse: 1 plain or where one is, 2 quiet, 3 good, 4 asks, 5 stops."""


@dataclass(frozen=True)
class Shown:
    """A screen to pin: what the session shows, and a line half typed."""

    view: ChairView
    clocks: Clocks
    line: str = ""


def screens(folder: Path) -> dict[str, Shown]:
    """Key a session up to each screen that is pinned, through the session itself."""
    keyed = script(SCRIPTS / "wrong_cone.keys")
    made: dict[str, Shown] = {}
    chair = Chair(folder)
    chair.lobby.house = replace(chair.lobby.house, sid=NAME)

    def pin(name: str, line: str = "") -> None:
        made[name] = Shown(chair.lobby.view(), chair.lobby.clocks(), line)

    pin("start")
    for index, line in enumerate(keyed):
        if line == "35/4":  # the wrong cone
            pin("blind", line)
            chair.key(line)
            pin("stop")
            break
        chair.key(line)
        if index == 2:
            pin("asking", "5**1")
        if line == "25.5**25**25**1**1":
            pin("read_back")
    chair.key("/")
    pin("menu")
    chair.key("10")
    pin("drawing")
    chair.lobby.leave()
    replay = open_replay(chair.path)
    replay.enter("+")
    made["replay"] = Shown(replay.view(), replay.clocks())
    replay.leave()
    return made


def frame(rows: list[Strip]) -> str:
    """Write rows as text, then their styles as letters."""
    text = [row.text.rstrip() for row in rows]
    styles = ["".join(LETTERS.get(part.style or LOOK.plain, "?") * part.cell_length for part in row) for row in rows]
    return "\n".join([*text, "=" * 80, *styles]) + "\n"


def frames(folder: Path) -> dict[str, str]:
    """Make every frame, by the name of its file."""
    shown = screens(folder)
    made: dict[str, str] = {}
    for name, one in shown.items():
        for width, height in SIZES:
            rows = page_rows(one.view, one.clocks, one.line, None, (width, height), LOOK)
            made[f"{name}-{width}x{height}.txt"] = frame(rows)
    one = shown["asking"]
    made["too_small-60x15.txt"] = frame(page_rows(one.view, one.clocks, one.line, None, TOO_SMALL, LOOK))
    return made


def main() -> int:
    """Write the frames and say which are not as they were."""
    with tempfile.TemporaryDirectory() as folder:
        made = frames(Path(folder))
    FRAMES.mkdir(exist_ok=True)
    for gone in {path.name for path in FRAMES.glob("*.txt")} - set(made):
        (FRAMES / gone).unlink()
        print(f"{gone}: gone")
    for name, text in made.items():
        path = FRAMES / name
        before = path.read_text(encoding="utf-8") if path.exists() else None
        if text != before:
            path.write_text(text, encoding="utf-8")
            print(f"{name}: {'new' if before is None else 'changed'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
