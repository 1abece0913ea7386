"""From the room to what is shown: the only place where signs and words for states are chosen."""

from __future__ import annotations

import datetime as dt

from stepper.case.fit import cone_of, last_fit, master_file
from stepper.case.gate import shut
from stepper.case.judge import Judged, Standing, judge
from stepper.case.walk import Status, status
from stepper.facts.entries import TOOTH, AnyEntry
from stepper.facts.remarks import Weight
from stepper.facts.state import Canal
from stepper.facts.values import Instrument
from stepper.kinds.outcome import outcome_of
from stepper.kinds.rules.over_gauge import gauged_row
from stepper.kinds.words import plain
from stepper.note.words import canal_name, clock, place, say, title
from stepper.protocol.models import Step
from stepper.record.clock import Moment
from stepper.session.room import Room
from stepper.session.view import CanalCell, ChairView, Clocks, LogLine, Prompt, RemarkLine, StepCell, Tone
from stepper.sums.iso3630 import name
from stepper.sums.iso3950 import describe

SIGNS = {
    Status.OPEN: (".", Tone.QUIET),
    Status.BEGUN: (">", Tone.PLAIN),
    Status.DONE: ("+", Tone.GOOD),
    Status.REOPENED: ("!", Tone.WARN),
    Status.OWED: ("o", Tone.WARN),
    Status.NOT_DONE: ("-", Tone.QUIET),
}
WEIGHTS = {Weight.STOP: ("!!", Tone.STOP), Weight.ASK: ("?", Tone.WARN), Weight.TELL: ("i", Tone.PLAIN)}
UNSHOWN = ("go", "sound")
SHOWN_LOG = 40
SHOWN_REMARKS = 6
SECOND_US = 1_000_000


def view(room: Room, prompt: Prompt, *, blind: str) -> ChairView:
    """Make the whole view."""
    case = room.case
    standing = [one for one in judge(case) if one.standing in (Standing.OPEN, Standing.OWED)]
    judged = [one for one in standing if one.remark.text not in prompt.question]
    return ChairView(
        title="covered" if blind else f"{case.told.tooth} {describe(case.told.tooth)}",
        subtitle=f"read it {blind}" if blind else f"patient {case.told.patient}",
        banner=_banner(room),
        steps=tuple(_step(room, number, step) for number, step in enumerate(room.protocol.step, start=1)),
        canals=() if blind else tuple(_canal(room, canal) for canal in case.told.canals.values()),
        prompt=prompt,
        armed=f"{room.armed} min ago" if room.armed else "",
        readback="" if blind else room.readback,
        saying="Logged." if blind and room.tone is Tone.GOOD else room.saying,
        saying_tone=room.tone,
        band=room.band,
        remarks=tuple(_remark(room, one) for one in judged[:SHOWN_REMARKS]),
        more_remarks=max(len(judged) - SHOWN_REMARKS, 0),
        log=()
        if blind
        else tuple(_line(room, entry) for entry in case.entries[-SHOWN_LOG:] if entry.kind not in UNSHOWN),
        covered=bool(blind),
        over=room.over,
    )


def clocks(room: Room, step_since: Moment) -> Clocks:
    """Make the clocks: time of day, since opening, since one came to this step, since the canal's last rinse."""
    now, header = room.clock.now(), room.case.header
    visit = _since(now, header.mono_us, header.boot)
    canal = room.case.told.canals.get(room.cursor.canal)
    rinse = canal.rinses[-1] if canal is not None and canal.rinses else None
    solution = ""
    if rinse is not None:
        entry = room.case.entries[rinse.seq]
        item = room.protocol.by_id(rinse.item)
        solution = f"{item.label if item else rinse.item} {_since(now, entry.mono_us, entry.boot)}"
    return Clocks(time_of_day(now), visit, _since(now, step_since.mono_us, step_since.boot), solution)


def time_of_day(now: Moment) -> str:
    """Write the local time, HH:MM."""
    minutes = (int(now.offset[1:3]) * 60 + int(now.offset[4:6])) * (-1 if now.offset.startswith("-") else 1)
    return (now.wall + dt.timedelta(minutes=minutes)).strftime("%H:%M")


def _since(now: Moment, mono_us: int, boot: str) -> str:
    """Write the time since a moment of this boot; across a restart it is not known."""
    if now.boot != boot:
        return "?"
    seconds = max(now.mono_us - mono_us, 0) // SECOND_US
    hours, minutes = seconds // 3600, seconds % 3600 // 60
    return f"{hours}:{minutes:02d}:{seconds % 60:02d}" if hours else f"{minutes}:{seconds % 60:02d}"


def _banner(room: Room) -> str:
    words = ["PRACTICE" if room.case.header.practice else "", "VISIT VOID" if room.case.void is not None else ""]
    words.append("" if room.sound else "sound off")
    return "   ".join(word for word in words if word)


def _step(room: Room, number: int, step: Step) -> StepCell:
    canal = room.cursor.canal if room.cursor.canal in room.case.told.canals else min(room.case.told.canals, default=0)
    stands = status(room.case, step, TOOTH if step.scope == "T" else canal)
    sign, tone = SIGNS[stands]
    return StepCell(number, step.title, sign, stands.value, tone, step.id == room.cursor.step)


def _canal(room: Room, canal: Canal) -> CanalCell:
    view, number = room.case.told, canal.number
    declared, fit = master_file(view, number), last_fit(view, number)
    cone, gauged = cone_of(fit) if fit is not None else None, gauged_row(view, number, room.protocol.limits)
    gauge = gauged.get("gauge_file") if gauged is not None else None
    outcome = outcome_of(view, number)
    gate = "" if outcome is not None else ("open" if not shut(room.case, number) else "shut")
    tone = Tone.GOOD if outcome == "filled" else Tone.STOP if outcome == "filled_outside" else Tone.PLAIN
    return CanalCell(
        number,
        canal.name,
        plain(canal.length.mm) if canal.length is not None else "",
        str(gauge.value.size) if gauge is not None and isinstance(gauge.value, Instrument) else "",
        name(declared[1].size, declared[1].taper) if declared is not None else "",
        name(cone.size, cone.taper) if cone is not None else "",
        gate,
        (outcome or "").replace("_", " "),
        tone,
        number == room.cursor.canal,
    )


def _where(room: Room, step: str, canal: int) -> str:
    """Name a step, and the canal where there is more than one: a lone canal need not be said in every line."""
    name = canal_name(room.case, canal) if len(room.case.told.canals) > 1 else ""
    return f"{title(room.protocol, step)} {name}".strip()


def _remark(room: Room, one: Judged) -> RemarkLine:
    sign, tone = WEIGHTS[one.remark.weight]
    where = _where(room, one.remark.step, one.remark.canal)
    return RemarkLine(sign, one.remark.weight.value, where, one.remark.text, one.standing.value, tone)


def _line(room: Room, entry: AnyEntry) -> LogLine:
    step, canal = place(room.case, entry)
    where = _where(room, step, canal) if step else ""
    tone = {"incident": Tone.WARN, "held": Tone.WARN, "departure": Tone.WARN}
    return LogLine(entry.seq, clock(entry), where, say(room.case, entry), tone.get(entry.kind, Tone.PLAIN))
