"""Addresses: going to a canal or a step by its number, saying how long ago the next answer happened."""

from __future__ import annotations

from stepper.case.slots import Cursor
from stepper.case.walk import nearest_canal
from stepper.facts.values import Why
from stepper.lines.grammar import GoCanal, GoStep, MinutesAgo, WholeStep
from stepper.note.words import canal_name, title
from stepper.session.modes.asking import go, go_past
from stepper.session.room import Room
from stepper.session.view import Tone

Address = GoCanal | GoStep | MinutesAgo | WholeStep
_HOW = {Why.NOT_DONE: "not_done", Why.OWED: "owed"}
_DAY_MIN = 24 * 60


def address(room: Room, line: Address) -> None:
    """Do what an address says, or say why it cannot be done."""
    match line:
        case MinutesAgo(minutes):
            _arm(room, minutes)
        case GoCanal(number):
            go_canal(room, number)
        case GoStep(number) | WholeStep(number):
            _step(room, number, _HOW[line.why] if isinstance(line, WholeStep) else None)


def neighbour(room: Room, direction: str) -> Address | None:
    """Give the address of the step above or below (up, down), or of the canal before or after (left, right)."""
    by = {"up": -1, "down": 1, "left": -1, "right": 1}[direction]
    if direction in ("up", "down"):
        place = room.protocol.number_of(room.cursor.step) + by
        return GoStep(min(max(place, 1), len(room.protocol.step)))
    known = sorted(room.case.told.canals)
    return GoCanal(known[(known.index(room.cursor.canal) + by) % len(known)]) if room.cursor.canal in known else None


def go_canal(room: Room, number: int) -> bool:
    """Go to a canal in the step at hand, or say why not; tell whether one is there."""
    if number not in room.case.told.canals:
        names = ", ".join(f"{one.number} {one.name}" for one in room.case.told.canals.values()) or "none yet"
        room.say(f"There is no canal {number}; there are: {names}.", Tone.WARN)
        return False
    if room.protocol.by_step[room.cursor.step].scope == "T":
        room.say(f"{title(room.protocol, room.cursor.step)} is the tooth's: go to a canal's step first.", Tone.WARN)
        return False
    go(room, Cursor(room.cursor.step, number))
    room.say(f"At canal {number} {canal_name(room.case, number)}")
    return True


def _arm(room: Room, minutes: int) -> None:
    open_min = _open_min(room)
    if minutes > open_min:
        room.say(f"{minutes} minutes ago the visit was not open; it is {open_min} min old.", Tone.WARN)
        return
    room.armed = minutes or None
    room.say(f"The next answer happened {minutes} min ago." if minutes else "It happens now.")


def _open_min(room: Room) -> int:
    """Give how long the visit has been open, in whole minutes; across a restart it is not known, and a day goes."""
    now, header = room.clock.now(), room.case.header
    return (now.mono_us - header.mono_us) // 60_000_000 if now.boot == header.boot else _DAY_MIN


def _step(room: Room, number: int, how: str | None) -> None:
    """Go to a step, or declare the whole of it not done or owed."""
    if not 1 <= number <= len(room.protocol.step):
        room.say(f"There is no step {number}; steps are 1 to {len(room.protocol.step)}.", Tone.WARN)
        return
    step = room.protocol.step[number - 1]
    canal = nearest_canal(room.case, step, room.cursor.canal)
    if canal is None:
        room.say(f"{step.title} is asked for each canal, and none is found yet.", Tone.WARN)
        return
    if how is None:
        go(room, Cursor(step.id, canal), out_of_turn=True)
        room.say(f"At {step.title} {canal_name(room.case, canal)}".rstrip())
        return
    room.log("step", step=step.id, canal=canal, how=how)
    go_past(room, step.id, canal)
    where = f"{step.title} {canal_name(room.case, canal)}".strip()
    room.say(f"{where}: {how.replace('_', ' ')}.", Tone.WARN)
