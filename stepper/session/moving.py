"""Going on in a new file while a session is open, since its own can no longer be written."""

from __future__ import annotations

from stepper import __version__
from stepper.record.problems import RecordError
from stepper.session.room import Room
from stepper.session.store import successor
from stepper.session.view import Tone


def go_on_in_new_file(room: Room) -> None:
    """Go on in a new file if there can be one; the line that was not saved stands again, and what happened is said."""
    try:
        room.journal = successor(room.case, room.file, room.clock)
        room.log("resume", app=__version__)
        more = f"Going on in {room.file.path.name}: Enter logs the line again."
    except RecordError as error:
        more = str(error)
    room.say(f"{room.saying} {more}", Tone.STOP)
