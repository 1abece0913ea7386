"""Logging drafts: what holds them back, what is said of them, where it goes on."""

from __future__ import annotations

from stepper.case.judge import before_acts
from stepper.case.walk import settle
from stepper.facts.values import Absent
from stepper.note.words import canal_name, show, show_all, title
from stepper.session.modes.holding import Act, Holding, gate_remark
from stepper.session.room import Draft, Mode, Room
from stepper.session.view import Tone


def go_on_logging(room: Room) -> Mode | None:
    """Log the drafts that wait, up to the next that something holds back; give the ways out of that."""
    spoken: list[str] = []
    names: list[str] = []
    while room.waiting:
        draft = room.waiting.pop(0)
        held = holds(room, draft)
        if held is not None:
            return held
        said = log(room, draft)
        spoken += [text] if (text := read_back(room, draft)) else []
        names.append(canal_name(room.case, draft.canal))
        room.read_aloud(" ".join(spoken))
        if len(names) > 1 and room.tone is Tone.GOOD:
            room.say(f"Logged for {' '.join(names)}: {said}", Tone.GOOD)
    return None


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
    logged = {seq for one in room.case.told.row_remarks.values() for seq in one.evidence}
    new = [one for one in holding if one.key not in room.known or not set(one.evidence) <= logged]
    for remark in new:
        room.ring(remark)
    return Holding(draft, new, drops=True) if new else None


def log(room: Room, draft: Draft) -> str:
    """Log a draft, say so and read back what matters; give its values in words."""
    entry, said = room.log_draft(draft), show_all(room.protocol, draft.step, draft.values)
    name = canal_name(room.case, draft.canal) if len(room.case.told.canals) > 1 else ""
    room.say(f"Logged {f'for {name}: ' if name else ''}{said}", Tone.GOOD)
    room.read_aloud(read_back(room, draft))
    if entry.seq in room.case.late:
        room.say("Logged as late: it opens no gate until the clinician says yes (/).", Tone.WARN)
    room.cursor = settle(room.case, room.cursor)
    return said


def read_back(room: Room, draft: Draft) -> str:
    """Give the sentences to read aloud after a draft, from the protocol."""
    step, name = room.protocol.by_step[draft.step], canal_name(room.case, draft.canal)
    return "; ".join(
        asked.readback.format_map({"value": show(room.protocol, asked, value), "canal": name})
        for question, value in draft.values.items()
        if (asked := step.asked(question)) is not None and asked.readback is not None and not isinstance(value, Absent)
    )
