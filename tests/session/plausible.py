"""Answers that an assistant could key to the question that is asked, and a way back to it from anywhere."""

from __future__ import annotations

from collections.abc import Callable

from stepper.case.alarms import CHECKS
from stepper.case.slots import next_question, slot
from stepper.kinds.union import AnyQuestion
from stepper.session.modes.asking import Asking
from stepper.session.modes.holding import Act
from stepper.session.modes.reasons import Reason, WhoSaid
from stepper.session.room import Mode
from tests.drive import Chair

TYPED = {
    "number": "20",
    "instrument": "25/4-3",
    "size": "35/4",
    "depth": "-2",
    "date": "2.3.2026",
    "expiry": "12.2027",
    "lot": "501",
    "span": "60",
    "time": "9.30",
    "text": "word",
}
"""What is keyed for each kind of question but choices, digits and numbers."""


def mode(chair: Chair) -> Mode:
    """What the next line means."""
    return chair.session._mode


def asking(chair: Chair) -> bool:
    """Whether the session is at its question, and nothing else is open."""
    return type(mode(chair)) is Asking


def question(chair: Chair) -> AnyQuestion | None:
    """The question at the place where the session is, if one is open."""
    room = chair.session.room
    here = slot(room.case, room.cursor)
    return next_question(room.case, here, {}) if here is not None else None


def answer(chair: Chair, asked: AnyQuestion) -> str:
    """A right answer, or one that might be right."""
    told = chair.case.told
    if asked.kind == "digits":
        return told.patient if CHECKS.get(asked.role or "") == "patient" else told.tooth
    if asked.kind == "choice":
        return str(next(iter(asked.options_of(chair.case.protocol))).number)
    if asked.kind == "number":
        return str(next(n for n in (20, 2, 5, 1) if (asked.least or 0) <= n <= (asked.most or 99)))
    return TYPED[asked.kind]


def goes_on(chair: Chair) -> bool:
    """Answer what is asked, or take the offer where nothing is: whether the session took it."""
    asked, entries, shown = question(chair), len(chair.case.entries), chair.session.view().prompt
    view = chair.key(answer(chair, asked) if asked is not None else "")
    logged = any(entry.kind == "answer" for entry in chair.case.entries[entries:])
    return logged or not asking(chair) or (asked is None and view.prompt != shown)


def listed(chair: Chair) -> list[str]:
    """The numbers that are listed."""
    return [one.number for one in chair.session.view().prompt.choices]


def ways_home(chair: Chair) -> list[str]:
    """What to try to come back to the question, in order. A reason that is asked for is given, an act is not done."""
    now, numbers = mode(chair), listed(chair)
    if isinstance(now, Reason | WhoSaid):
        return numbers
    source = [chair.case.told.patient, chair.case.told.tooth]
    return ["0", "", *(numbers[::-1] if isinstance(now, Act) else numbers), *source]


def home(chair: Chair, most: int, *, on_way: Callable[[str], None] = lambda _: None) -> bool:
    """Key nothing but 0, Enter and what is listed until the question is back, in so many lines at most.

    Where a question is read from its source, it is.
    """
    for _ in range(most):
        if asking(chair) or chair.lobby.session is None:
            return True
        before = (mode(chair), len(chair.session._under), len(chair.case.entries))
        for line in ways_home(chair):
            on_way(line)
            chair.key(line)
            if (mode(chair), len(chair.session._under), len(chair.case.entries)) != before:
                break
    return asking(chair)
