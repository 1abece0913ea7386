"""The screen lock around what the chair or a replay shows, as `practice.toml` has it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from stepper.cli.refused import Refused

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stepper.kinds.tables import Person
    from stepper.screens.desk import Desk
    from stepper.session.house import House
    from stepper.session.replay import Replay


def locked_lobby(house: House, data: Path) -> Desk:
    """Give the start screen, behind its lock unless the practice wants none; all that lies here is made private."""
    from stepper.record.places import private_dirs
    from stepper.record.system import keep_private
    from stepper.session.lobby import Lobby
    from stepper.session.locking import Door, Locking
    from stepper.session.pins import FILE
    from stepper.session.view import Tone

    open_to_others = keep_private(private_dirs(data))
    lobby = Lobby(house, saying=open_to_others, tone=Tone.STOP if open_to_others else Tone.PLAIN)
    settings, people = house.settings, frozenset(one.number for one in house.protocol.person)
    if not settings.lock_after_min:
        return lobby
    initials = _initials(house.protocol.person, data)
    door = Door(data / FILE, settings.lock_after_min, people, settings.heading, initials)
    return Locking(lobby, house.clock, door, house.tick)


def locked_replay(replay: Replay, data: Path) -> Desk:
    """Give a replay, behind the lock of the practice whose data lie here; raises Refused where its settings are bad."""
    from stepper.protocol.settings import BadSettings, read_settings, read_text
    from stepper.record.clock import SystemClock
    from stepper.record.places import settings_path
    from stepper.session.locking import Door, Locking
    from stepper.session.pins import FILE

    path = settings_path(data)
    try:
        settings = read_settings(read_text(path), path.name)
    except FileNotFoundError:
        return replay
    except BadSettings as error:
        raise Refused(str(error)) from None
    if not settings.lock_after_min:
        return replay
    people = frozenset(one.number for one in settings.person) or None
    initials = _initials(settings.person, data)
    door = Door(data / FILE, settings.lock_after_min, people, settings.heading, initials)
    return Locking(replay, SystemClock(), door)


def _initials(people: Iterable[Person], data: Path) -> dict[int, str]:
    """Give initials by number, as practice.toml has them, or else as they stand beside a person's signatures."""
    from stepper.record.keys import read_keys
    from stepper.record.problems import Unreadable

    try:
        signing = {one.person: one.initials for one in read_keys(data).key}
    except Unreadable:  # who signs is told so; the number opens the screen all the same
        signing = {}
    return signing | {one.number: one.initials for one in people if one.initials}
