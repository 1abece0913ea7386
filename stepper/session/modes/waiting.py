"""What waits for an answer: remarks, reasons and answers owed, incidents, the clinician's yes. Numbered from 21."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from stepper.case.incidents import half_told, unnamed
from stepper.case.judge import Standing, judge
from stepper.case.slots import next_question, slot
from stepper.facts.remarks import Remark, Weight
from stepper.note.words import canal_name, clock, incident_label
from stepper.session.modes.correcting import SpokenYes
from stepper.session.modes.incident import Details, What
from stepper.session.modes.owing import Owed, owed_answers
from stepper.session.modes.remarking import Asked, mode_for
from stepper.session.room import Mode, Room

Way = tuple[int, str, Callable[[], Mode | None]]
"""The number keyed for it, its words, and what it opens."""

FIRST = 21
PAGE = 5
"""How many are listed at once; `+` shows the next."""

_LONG = 72


def waiting(room: Room) -> list[Way]:
    """Give what waits, what weighs most first; nothing that might answer a blind question while it stands."""
    found: list[tuple[str, Callable[[], Mode | None]]] = []
    for one in judge(room.case):
        remark = one.remark
        if _covered(room, remark):
            continue
        if one.standing is Standing.OPEN and remark.weight is not Weight.TELL:
            found.append((_short(room, remark.weight.value, remark), partial(mode_for, room, remark)))
        elif one.standing is Standing.OWED:
            found.append((_short(room, "owed", remark), partial(Asked, remark)))
    found += [(f"name the incident of {_at(room, seq)}", partial(What, seq)) for seq in unnamed(room.case)]
    for seq in half_told(room.case):
        label = incident_label(room.protocol, room.case.incidents[seq] or "")
        found.append((f"more about: {label}, {_at(room, seq)}", partial(Details, seq)))
    found += [(f"owed: {one.words(room)}", partial(_same, one)) for one in owed_answers(room)]
    if room.case.unconfirmed:
        text = f"clinician's yes to entry {', '.join(str(seq) for seq in room.case.unconfirmed)}"
        found.append((text, partial(SpokenYes, room.case.unconfirmed)))
    return [(number, text, opens) for number, (text, opens) in enumerate(found, start=FIRST)]


def _covered(room: Room, remark: Remark) -> bool:
    """Tell whether a blind question of a canal stands: a remark on the canal may name what is to be read."""
    here = slot(room.case, room.cursor) if remark.canal else None
    if here is None or here.canal != remark.canal:
        return False
    question = next_question(room.case, here, {})
    return question is not None and bool(question.blind)


def page_of(ways: list[Way], page: int) -> tuple[list[tuple[int, str]], str]:
    """Give the numbers and words of one page, and what is said of the others."""
    shown = [(number, text) for number, text, _ in ways[page * PAGE : (page + 1) * PAGE]]
    more = len(ways) - len(shown)
    return shown, f"+ shows {more} more that wait" if more else ""


def next_page(ways: list[Way], page: int) -> int:
    """Give the page after one, the first after the last."""
    return (page + 1) % max(-(-len(ways) // PAGE), 1)


def _same(owed: Owed) -> Mode:
    return owed


def _short(room: Room, word: str, remark: Remark) -> str:
    """Say a remark in one row: the whole of it stands with its ways out."""
    name = canal_name(room.case, remark.canal)
    named = f" {name}" if name and not remark.text.startswith(f"{name}:") else ""
    text = f"{word}{named}: {remark.text}"
    return text if len(text) <= _LONG else f"{text[: _LONG - 3].rstrip()}..."


def _at(room: Room, seq: int) -> str:
    return clock(room.case.entries[seq])
