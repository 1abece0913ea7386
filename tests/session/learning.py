"""A learner at the practice tooth, who keys what the lessons say and nothing else."""

from __future__ import annotations

import re
from pathlib import Path

from stepper.lines.marked import lines_to_key
from stepper.session.astray import UNENDED
from stepper.session.view import ChairView
from tests.drive import Chair

GOES_BACK = re.compile(r"Not what you wanted\? (?:(\S+) )?Enter goes back\.")

MOST = 60
"""So often the coach is listened to before it leads nowhere."""


def begun(folder: Path) -> Chair:
    """A practice tooth that was just opened."""
    chair = Chair(folder)
    chair.key("4")
    return chair


def number(view: ChairView) -> int:
    """The number of the lesson that is shown, 0 where none is."""
    found = re.search(r"PRACTICE (\d+) of \d+", view.banner)
    return int(found[1]) if found else 0


def at_last(chair: Chair) -> bool:
    """Key what the coach says until the session is over; where it only asks for how canals ended, not treated."""
    for _ in range(MOST):
        view = chair.lobby.view()
        if chair.lobby.session is None:
            return True
        if UNENDED in view.coach:
            chair.key("1" if view.prompt.choices else "11/")
        else:
            chair.key(*told(view))
    return False


def told(view: ChairView) -> list[str]:
    """The lines that the coach says to key: first the way back, where one has gone astray."""
    if len(view.coach) > 1:
        back = GOES_BACK.fullmatch(view.coach[1])
        return [back[1] or ""] if back else lines_to_key(view.coach[1])
    return lines_to_key(view.coach[0])


def learn(chair: Chair, until: int = 99) -> None:
    """Key what the coach says until a lesson of that number is shown, or the session is over."""
    for _ in range(MOST):
        if chair.lobby.session is None or number(chair.lobby.view()) >= until:
            return
        chair.key(*told(chair.lobby.view()))
    raise AssertionError(f"the coach goes round in circles: {chair.lobby.view().coach}")
