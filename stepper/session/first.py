"""The start screen before anything is loaded: what always stands on it. The lobby completes it a moment later.

Nothing here loads the protocol or the record: that is what makes the screen stand so soon.
"""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Literal

import tomli

from stepper.protocol.reading import read_at_most
from stepper.session.view import ChairView, Choice, Clocks, Prompt, Tone

MAX_BYTES = 256 * 1024
"""A settings file is no longer."""

CAUTION = (
    "A record-keeping aid, not a medical device. The clinician decides; local rules and manufacturers' "
    "instructions come first."
)
LEGEND = "number Enter: choose   .. wipe   / leave"
NEW, PRACTISE = "new session", "practise on an invented tooth, three minutes"
"""What can be done whatever there is on this machine, under 1 and 4."""
OPEN_NEW = "Open a new session"


def theme_in(settings: Path) -> Literal["dark", "light"]:
    """Give the theme that the settings file asks for; what is wrong with the file is for those to say who read it."""
    with contextlib.suppress(OSError, ValueError, RecursionError):
        text = read_at_most(settings, MAX_BYTES).decode("utf-8-sig")
        return "light" if tomli.loads(text).get("theme") == "light" else "dark"
    return "dark"


def start_view(
    prompt: Prompt, *, practice: bool, subtitle: str = "", saying: str = "", tone: Tone = Tone.PLAIN, over: bool = False
) -> ChairView:
    """Give the start screen around a prompt."""
    return ChairView(
        title="stepper",
        subtitle=subtitle,
        banner="PRACTICE" if practice else "",
        steps=(),
        canals=(),
        prompt=prompt,
        armed="",
        readback="",
        saying=saying or CAUTION,
        saying_tone=tone,
        band=None,
        remarks=(),
        more_remarks=0,
        log=(),
        covered=False,
        over=over,
    )


class Threshold:
    """A desk at which nothing is entered: what is typed waits for the one that comes after it."""

    pending = ""

    def __init__(self, *, practice: bool) -> None:
        ways = (Choice("1", NEW), Choice("4", PRACTISE))
        self._view = start_view(Prompt("Start", "", OPEN_NEW, "a number", ways, "", "", "", LEGEND), practice=practice)

    def view(self) -> ChairView:
        """Give what always stands on the start screen."""
        return self._view

    def answer(self, before: ChairView) -> ChairView | None:  # noqa: ARG002 - nothing is entered here
        """Have nothing to answer."""
        return None

    def clocks(self) -> Clocks:
        """Give no time yet."""
        return Clocks("")

    def enter(self, line: str) -> None:
        """Take nothing."""

    def fit(self, rows: int) -> None:
        """Have no pages."""

    def typing(self, line: str) -> None:
        """Keep nothing."""

    def move(self, direction: str) -> None:
        """Have nowhere to move."""

    def take_offer(self) -> None:
        """Offer nothing."""

    def menu(self) -> None:
        """Have no menu."""

    def bells(self) -> int:
        """Be silent."""
        return 0

    def leave(self) -> None:
        """Have nothing open."""
