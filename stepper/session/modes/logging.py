"""Logging drafts: what holds them back, what is said of them, where it goes on."""

from __future__ import annotations

from collections.abc import Sequence

from stepper.case.judge import before_acts
from stepper.case.walk import settle
from stepper.facts.values import Absent
from stepper.note.words import canal_name, show, show_all, title
from stepper.session.modes.covering import blind_next, sayable
from stepper.session.modes.holding import Act, Holding, gate_remark
from stepper.session.room import Draft, Mode, Room
from stepper.session.view import Tone


def go_on_logging(room: Room) -> Mode | None:
    """Log the drafts that wait, up to the next that something holds back; give the ways out of that."""
    done: list[Draft] = []
    while room.waiting:
        draft = room.waiting.pop(0)
        held = holds(room, draft)
        if held is not None:
            return held
        late = log(room, draft) in room.case.late
        done.append(draft)
        room.read_aloud(_spoken(room, done))
        if len(done) > 1:
            _say(room, draft, [canal_name(room.case, one.canal) for one in done], late=late)
    return None


def _spoken(room: Room, done: Sequence[Draft]) -> str:
    """Give what to read aloud of several drafts: what is the same of several canals once, with all their names."""
    alike: dict[str, list[Draft]] = {}
    for draft in done:
        alike.setdefault(read_back(room, draft, name="{}"), []).append(draft)
    named = (
        read_back(room, same[0], name=", ".join(canal_name(room.case, one.canal) for one in same))
        for same in alike.values()
    )
    return " ".join(text for text in named if text)


def holds(room: Room, draft: Draft) -> Mode | None:
    """Give the conversation that an act needs before it may be logged, or None."""
    step = room.protocol.by_step[draft.step]
    acts = [name for name in draft.values if (asked := step.asked(name)) is not None and asked.act]
    if any(not isinstance(draft.values[name], Absent) for name in acts):
        remark = gate_remark(room, draft.canal)
        if remark is not None:
            room.ring(remark)
            return Holding(draft, [remark], drops=False)
        where = f"{title(room.protocol, draft.step)} {canal_name(room.case, draft.canal)}"
        return Act(draft, f"{where}: {show_all(room.protocol, draft.step, draft.values)}?")
    holding = before_acts(room.case, draft.row_with(room.case))
    if not holding:
        return None
    logged = {seq for one in room.case.told.row_remarks.values() for seq in one.evidence}
    new = [one for one in holding if one.key not in room.known or not set(one.evidence) <= logged]
    for remark in new:
        room.ring(remark)
    return Holding(draft, new, drops=True) if new else None


def log(room: Room, draft: Draft) -> int:
    """Log a draft, say so and read back what matters; give the number of its entry."""
    entry = room.log_draft(draft)
    room.read_aloud(read_back(room, draft))
    room.cursor = settle(room.case, room.cursor)
    name = canal_name(room.case, draft.canal) if len(room.case.told.canals) > 1 else ""
    _say(room, draft, [name] if name else [], late=entry.seq in room.case.late)
    return entry.seq


def _say(room: Room, draft: Draft, names: Sequence[str], *, late: bool) -> None:
    """Say what was logged, for which canals where there are several, and that it came late."""
    said = sayable(room, draft.step, draft.values)
    where = f"for {' '.join(names)}: " if names else ""
    logged = f"Logged {'as late ' if late else ''}{where}{said}".rstrip(": ")
    if late:
        room.say(f"{logged}. It opens no gate before the clinician's yes (/).", Tone.WARN)
    else:  # before a blind question the screen makes "Logged." of what is said as good
        room.say(logged, Tone.PLAIN if said and blind_next(room) else Tone.GOOD)


def read_back(room: Room, draft: Draft, *, name: str | None = None) -> str:
    """Give the sentences to read aloud after a draft, from the protocol; `name` stands for its canal's."""
    step = room.protocol.by_step[draft.step]
    canal = canal_name(room.case, draft.canal) if name is None else name
    return "; ".join(
        asked.readback.format_map({"value": show(room.protocol, asked, value), "canal": canal})
        for question, value in draft.values.items()
        if (asked := step.asked(question)) is not None and asked.readback is not None and not isinstance(value, Absent)
    )
