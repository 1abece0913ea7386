"""What the start screen knows of the sessions on this machine, and the ways that there are from it."""

from __future__ import annotations

from dataclasses import dataclass

from stepper.session.first import NEW, PRACTISE
from stepper.session.house import House
from stepper.session.lists import Pages
from stepper.session.previous import any_offered
from stepper.session.store import list_sessions

NEWCOMER = (
    "New here? Key 4, then Enter: a practice tooth shows you the keys.",
    "The keys: 0-9 . + - * / and Enter, as on a number pad.",
    "What is typed does nothing before Enter; .. at its end wipes it.",
)
"""What stands on the start screen as long as no session was ever opened on this machine."""

FIRST_RESUMED = 11
"""The number of the first session that can be resumed; those below are fixed, whatever there is to resume."""


@dataclass(frozen=True, slots=True)
class Known:
    """Sessions to resume and to replay; `goes_on`: a second visit can go on from one of them."""

    resumable: Pages
    every: Pages
    goes_on: bool

    def ways(self, sound: str, *, lockable: bool) -> dict[int, str]:
        """Give what can be done besides resuming. A number once learnt never does another thing."""
        ways = {1: NEW}
        if self.goes_on:
            ways[2] = "second visit, going on from an earlier one"
        if self.every.listed:
            ways[3] = "replay a session"
        ways[4] = PRACTISE
        ways[5] = sound
        if lockable:
            ways[6] = "lock the screen"
        return ways


def look(house: House) -> Known:
    """Look what there is to resume, to go on from and to replay."""
    found = list_sessions(house.folder)
    taught = bool(house.protocol.lesson)  # nothing goes on from a treatment under a practice tooth's protocol
    return Known(
        Pages([one for one in found if not one.closed and not one.void], FIRST_RESUMED),
        Pages(found, 1),
        goes_on=not taught and any_offered(found, practice=house.clock.test),
    )
