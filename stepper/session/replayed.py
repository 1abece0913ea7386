"""How replay shows the entry that it is at: its full words, what it led to, and what stood then."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import replace

from stepper.case.clocks import came_to_step, keyed
from stepper.case.judge import Judged, judge
from stepper.case.slots import Cursor
from stepper.case.sounds import Rang, rang, summary
from stepper.case.state import Case
from stepper.facts.entries import AnyEntry, Correction, Departure, Go, Held, Open, Owe
from stepper.facts.ringing import Sound
from stepper.note.phrases import at, full_stop
from stepper.note.words import canal_name, person, place, say, title
from stepper.record.clock import Moment
from stepper.session import paint
from stepper.session.note_page import note_lines
from stepper.session.past import Past
from stepper.session.reckoned import at_entry
from stepper.session.view import ChairView, Clocks, Prompt, RemarkLine, Tone
from stepper.sums.iso3950 import describe, is_tooth

LEGEND = "Enter on  - back  + remark  N entry  N* canal  * note  . correct  / menu"
ROW = 80
"""Cells of a row of a page, as many as the note has."""


def entry_view(past: Past, saying: str, tone: Tone, *, file: str, damaged: bool) -> ChairView:
    """Make the whole view of the entry. `saying` goes before what the entry led to; `damaged` says so at the top."""
    case, told = past.case, past.case.told
    cursor = Cursor(*past.place())
    lines = _remarks(past)
    words = (
        paint.banner(case, sound=case.heard is None or case.heard.on),
        f"DAMAGED AFTER ENTRY {past.last}" if damaged else "",
    )
    return ChairView(
        title=f"REPLAY entry {past.at} of {past.last} · patient {told.patient}, tooth {told.tooth}",
        subtitle=f"{describe(told.tooth)} · {file}" if is_tooth(told.tooth) else file,
        banner="   ".join(word for word in words if word),
        steps=paint.steps(case, cursor),
        canals=paint.canals(case, cursor),
        prompt=_prompt(past),
        armed="",
        readback="",
        saying=saying or past.reopened,
        saying_tone=tone if saying else Tone.WARN,
        band=None,
        remarks=tuple(lines[: paint.SHOWN_REMARKS]),
        more_remarks=max(len(lines) - paint.SHOWN_REMARKS, 0),
        log=tuple(
            replace(paint.log_line(case, entry), current=entry is past.entry)
            for entry in case.entries[-paint.SHOWN_LOG :]
        ),
        covered=False,
        over=False,
        read_only=True,
        note=note_lines(case, past.at),
    )


def entry_clocks(past: Past, moment: Moment | None = None) -> Clocks:
    """Make the clocks as they stood when the entry was keyed, or at a later moment before the next one."""
    if past.case.closed:  # nothing runs on after the visit
        return Clocks(paint.time_of_day(moment or keyed(past.entry)), entry=past.at)
    made = paint.clocks_at(past.case, past.place()[1], moment or keyed(past.entry), came_to_step(past.case))
    return replace(made, entry=past.at)


def standing_rows(past: Past) -> tuple[str, ...]:
    """Write every remark as it stands at the entry, in whole sentences, also those that were answered."""
    case = past.case
    rows: list[str] = []
    for one in judge(case):
        answer = case.departures.get(one.remark.key)
        said = f"; {say(case, answer)}, entry {answer.seq}" if answer is not None else ""
        standing = f"({', '.join(_standing(past, one))}{said})"
        text = f"{one.remark.weight.value.upper()} {_at(case, one.remark.step, one.remark.canal)}: {one.remark.text}"
        rows += textwrap.wrap(f"{text} {standing}", ROW - 2, subsequent_indent="  ", break_on_hyphens=False)
    return tuple(f" {row}" for row in rows) or (" No remark stands at this entry.",)


def sound_rows(past: Past) -> tuple[str, ...]:
    """Write what came of every sound up to the entry: in one sentence for all, then each."""
    found = rang(past.case)
    paragraphs = [summary(found), *(_rang(past.case, one) for one in found)]
    wrapped = (textwrap.wrap(text, ROW - 2, subsequent_indent="  ", break_on_hyphens=False) for text in paragraphs)
    return tuple(f" {row}" for rows in wrapped for row in rows)


def _rang(case: Case, one: Rang) -> str:
    what = one.text or f"{one.sound.remark.split(':')[0].replace('_', ' ')}."
    came = f"{one.came.value}"
    if one.by is not None and one.after is not None:
        came = f"{came}, after {paint.figures(one.after)} (entry {one.by.seq})"
    return f"Entry {one.sound.seq}, {at(case, one.sound)}, {say(case, one.sound)}: {what} Then: {came}."


def _prompt(past: Past) -> Prompt:
    case, entry = past.case, past.entry
    where = _at(case, *place(case, entry))
    keyed = f"keyed at {at(case, entry)} by {person(case.protocol, entry.by)}"
    if entry.by is None:
        keyed = f"written at {at(case, entry)} by the program"
    waits = "; waits for the clinician's yes" if entry.seq in case.unconfirmed else ""
    hint = f"{keyed}{waits}{_corrected(past)}"
    sums = at_entry(case, entry)
    return Prompt(f"Entry {entry.seq}", where, _words(case, entry), hint, (), "", "", "", LEGEND, sums=sums)


def _corrected(past: Past) -> str:
    """Say which later entries correct this one, whenever that was."""
    at, whole = past.at, past.whole
    later = [
        one.seq for one in past.entries[at + 1 :] if isinstance(one, Correction) and one.of and at in _chain(whole, one)
    ]
    return f"; corrected later by entry {', '.join(map(str, later))}" if later else ""


def _chain(case: Case, entry: AnyEntry) -> set[int]:
    """Give the entries that a correction is about, through corrections of corrections."""
    found: set[int] = set()
    while isinstance(entry, Correction) and 0 <= entry.of < entry.seq:
        found.add(entry.of)
        entry = case.entries[entry.of]
    return found


def _words(case: Case, entry: AnyEntry) -> str:
    """Say an entry in full: with the remarks that were read out, and where one went."""
    said = say(case, entry)
    match entry:
        case Open():
            clinician = person(case.protocol, entry.clinician)
            return f"{said}: patient {entry.patient}, tooth {entry.tooth}, {clinician}, {case.protocol.title}"
        case Go():
            return f"{said} {_at(case, entry.step, entry.canal)}"
        case Departure() | Owe() if entry.text:
            return f"{full_stop(said)} {entry.text}"
        case Held():
            return " ".join([full_stop(said), *entry.texts])
        case Sound():
            texts = [one.remark.text for one in judge(case) if one.remark.key == entry.remark]
            return ": ".join([said, *texts])
        case _:
            return said


def _remarks(past: Past) -> list[RemarkLine]:
    """Give the remarks that came up here, then those that wait."""
    judged, new = judge(past.case), {one.key for one in past.came_up}
    shown = [one for one in judged if one.remark.key in new]
    shown += [one for one in judged if one.standing in paint.UNSETTLED and one.remark.key not in new]
    return [replace(paint.remark_line(past.case, one), standing=", ".join(_standing(past, one))) for one in shown]


def _standing(past: Past, one: Judged) -> Iterator[str]:
    """Say how a remark stands, whether it came up here, and how often it rang up to here."""
    yield one.standing.value
    if any(new.key == one.remark.key for new in past.came_up):
        yield "came up here"
    for entry in past.case.entries:
        if isinstance(entry, Sound) and entry.remark == one.remark.key:
            yield say(past.case, entry)


def _at(case: Case, step: str, canal: int) -> str:
    return f"{title(case.protocol, step) if step else ''} {canal_name(case, canal)}".strip()
