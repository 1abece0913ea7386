"""From the room to what is shown: the only place where signs and words for states are chosen."""

from __future__ import annotations

import datetime as dt

from stepper.case.clocks import Lapse, Timed, Timing, timings
from stepper.case.fit import cone_of, last_fit, master_file
from stepper.case.gate import is_open
from stepper.case.judge import Judged, Standing, judge
from stepper.case.slots import Cursor
from stepper.case.state import Case
from stepper.case.walk import Status, status
from stepper.facts.entries import TOOTH, Answer, AnyEntry
from stepper.facts.remarks import Weight
from stepper.facts.ringing import Tested
from stepper.facts.state import Canal
from stepper.facts.values import Instrument
from stepper.kinds.gauged import gauged_row
from stepper.kinds.outcome import outcome_of
from stepper.kinds.tables import Solution
from stepper.kinds.words import plain
from stepper.note.words import canal_name, clock, place, say, title
from stepper.protocol.models import Step
from stepper.record.clock import Moment
from stepper.session.room import Room
from stepper.session.view import CanalCell, ChairView, Clocks, LogLine, Prompt, RemarkLine, RunningClock, StepCell, Tone
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
UNSETTLED = (Standing.OPEN, Standing.OWED)
UNSHOWN = ("go", "sound")
SHOWN_LOG = 40
SHOWN_REMARKS = 6


def view(room: Room, prompt: Prompt, *, blind: str) -> ChairView:
    """Make the whole view of the chair."""
    case, told = room.case, room.case.told
    standing = [one for one in judge(case) if one.standing in UNSETTLED]
    judged = [one for one in standing if one.remark.text not in prompt.question]
    names = tuple(canal.name for canal in told.canals.values())
    if room.named != names:
        room.said, room.named = {}, names
    logged = [entry for entry in case.entries[-SHOWN_LOG:] if entry.kind not in UNSHOWN]
    return ChairView(
        title="covered" if blind else f"{told.tooth} {describe(told.tooth)}",
        subtitle=f"read it {blind}" if blind else f"patient {told.patient}",
        banner=banner(case, sound=room.sound),
        steps=steps(case, room.cursor),
        canals=() if blind else canals(case, room.cursor),
        prompt=prompt,
        armed=f"{room.armed} min ago" if room.armed else "",
        readback="" if blind else room.readback,
        saying="Logged." if blind and room.tone is Tone.GOOD else room.saying,
        saying_tone=room.tone,
        band=room.band,
        remarks=tuple(remark_line(case, one) for one in judged[:SHOWN_REMARKS]),
        more_remarks=max(len(judged) - SHOWN_REMARKS, 0),
        log=() if blind else tuple(log_line(case, entry, room.said) for entry in logged),
        covered=bool(blind),
        over=room.over,
        page=prompt.page,
    )


def clocks(room: Room, at_step: Moment, *, blind: bool = False) -> Clocks:
    """Make the clocks; `at_step` is when one came to the step. A blind question leaves only the time of day."""
    now = room.clock.now()
    return Clocks(time_of_day(now)) if blind else clocks_at(room.case, room.cursor.canal, now, at_step)


def clocks_at(case: Case, canal: int, now: Moment, at_step: Moment) -> Clocks:
    """Make the clocks of a moment."""
    return Clocks(time_of_day(now), tuple(_clock(one) for one in timings(case, canal, now, at_step)))


def _clock(one: Timing) -> RunningClock:
    """Word a clock. The figures are short beside their word, and whole in what is said."""
    time, item = figures(one.lapse), one.item
    label = item.label if item is not None else ""
    limit = f"{plain(one.limit_min)} min" if one.limit_min is not None else ""
    match one.timed:
        case Timed.SEALER:
            of = f" of {limit} working time" if limit else ""
            over = " ! over" if one.reached else ""
            return RunningClock("sealer", time, over.strip(), f"{label or 'Sealer'}: {time}{of}{over}.", Tone.WARN)
        case Timed.SOLUTION:
            family = item.family.replace("_", " ") if isinstance(item, Solution) else "solution"
            done = f"; the {limit} that the protocol wants are over" if one.reached else ""
            said = f"{label or 'Solution'} in the canal: {time}{done}."
            return RunningClock(family, time, f"+ {limit}" if one.reached else "", said, Tone.GOOD)
        case Timed.DAM:
            off = "off" if one.stopped else ""
            return RunningClock("dam", time, off, f"Dam {'off after' if off else 'on for'} {time}.")
        case Timed.STEP:
            return RunningClock("step", time, "", f"At this step for {time}.")
        case Timed.VISIT:
            return RunningClock("visit", time, "", f"Visit {time}.")


def figures(lapse: Lapse) -> str:
    """Write a time as M:SS or H:MM:SS; one that wall clocks tell in whole minutes, and that it is about so many."""
    if lapse.seconds is None:
        return "?"
    hours, minutes = lapse.seconds // 3600, lapse.seconds // 60
    if lapse.about:
        return f"about {minutes} min" if hours < 24 else "over a day"
    return f"{hours}:{minutes % 60:02d}:{lapse.seconds % 60:02d}" if hours else f"{minutes}:{lapse.seconds % 60:02d}"


def time_of_day(now: Moment) -> str:
    """Write the local time, HH:MM."""
    minutes = (int(now.offset[1:3]) * 60 + int(now.offset[4:6])) * (-1 if now.offset.startswith("-") else 1)
    return (now.wall + dt.timedelta(minutes=minutes)).strftime("%H:%M")


def banner(case: Case, *, sound: bool) -> str:
    """Say over the whole width what is true of the whole session."""
    words = ["PRACTICE" if case.header.practice else "", "VISIT VOID" if case.void is not None else ""]
    heard = case.heard is None or case.heard.tested is not Tested.NOT_HEARD
    words.append(("" if heard else "sound not heard") if sound else "sound off")
    return "   ".join(word for word in words if word)


def steps(case: Case, at: Cursor) -> tuple[StepCell, ...]:
    """Make the steps at a glance; those of a canal stand as they do for the canal one is at, else for the first."""
    canal = at.canal if at.canal in case.told.canals else min(case.told.canals, default=0)
    return tuple(_step(case, at, canal, number, step) for number, step in enumerate(case.protocol.step, start=1))


def _step(case: Case, at: Cursor, canal: int, number: int, step: Step) -> StepCell:
    stands = status(case, step, TOOTH if step.scope == "T" else canal)
    sign, tone = SIGNS[stands]
    return StepCell(number, step.title, sign, stands.value, tone, step.id == at.step)


def canals(case: Case, at: Cursor) -> tuple[CanalCell, ...]:
    """Make the canals at a glance."""
    return tuple(_canal(case, at, canal) for canal in case.told.canals.values())


def _canal(case: Case, at: Cursor, canal: Canal) -> CanalCell:
    view, number = case.told, canal.number
    declared, fit = master_file(view, number), last_fit(view, number)
    cone, gauged = cone_of(fit) if fit is not None else None, gauged_row(view, number, case.protocol.limits)
    gauge = gauged.get("gauge_file") if gauged is not None else None
    outcome = outcome_of(view, number)
    gate = "" if outcome is not None else ("open" if is_open(case, number) else "shut")
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
        number == at.canal,
    )


def where(case: Case, step: str, canal: int) -> str:
    """Name a step, and the canal where there is more than one: a lone canal need not be said in every line."""
    name = canal_name(case, canal) if len(case.told.canals) > 1 else ""
    return f"{title(case.protocol, step) if step else ''} {name}".strip()


def remark_line(case: Case, one: Judged) -> RemarkLine:
    """Make the line of a remark."""
    sign, tone = WEIGHTS[one.remark.weight]
    place = where(case, one.remark.step, one.remark.canal)
    return RemarkLine(sign, one.remark.weight.value, place, one.remark.text, one.standing.value, tone)


def log_line(case: Case, entry: AnyEntry, said: dict[int, LogLine] | None = None) -> LogLine:
    """Make the line of an entry. `said` keeps those of answers, which change only with the canals' names."""
    kept = said.get(entry.seq) if said is not None else None
    if kept is not None:
        return kept
    step, canal = place(case, entry)
    tone = {"incident": Tone.WARN, "held": Tone.WARN, "departure": Tone.WARN}
    at = where(case, step, canal) if step else ""
    line = LogLine(entry.seq, clock(entry), at, say(case, entry), tone.get(entry.kind, Tone.PLAIN))
    if said is not None and isinstance(entry, Answer):
        said[entry.seq] = line
    return line
