"""What can be done in a replay: its menu, the texts that it opens, and what work on the record begins with."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path

from stepper.case.state import Case
from stepper.facts.entries import Answer, AnyEntry, Correction, IncidentDetail
from stepper.facts.free_text import FreeText
from stepper.lines.refusal import visible
from stepper.note.complete import complete_rows
from stepper.note.noted import numbers
from stepper.note.spent_words import spent_rows
from stepper.note.words import person
from stepper.record.keys import read_keys
from stepper.session.latch import NUMBER, WORDS, Latch
from stepper.session.modes.correcting import How, SpokenYes, Which
from stepper.session.modes.listing import numbered
from stepper.session.modes.reading import Look, Reading
from stepper.session.modes.retelling import Retold
from stepper.session.note_page import NotePage
from stepper.session.pages import PagedText
from stepper.session.past import Past
from stepper.session.read_through import ReadThrough
from stepper.session.replayed import ROW, sound_rows, standing_rows
from stepper.session.room import Mode, Room
from stepper.session.signing import to_confirm
from stepper.session.view import Prompt, Tone
from stepper.session.wording import InSection, Wording

START, END, LEAVE, RELIEVE = "3", "4", "5", "19"
SPEED = {"7": 1, "8": 10, "9": 60}
WAYS: Mapping[str, str] = {
    "1": "what stands: the remarks",
    "2": "the note as it stood",
    START: "to the start",
    END: "to the end",
    LEAVE: "leave the replay",
    "6": "what came of each sound",
    "7": "play it as it happened",
    "8": "play it ten times as fast",
    "9": "play it, a minute in a second",
    "10": "where the time went",
    "11": "what a record should hold",
    "12": "correct another entry",
    "15": "write into a section of the note",
    "16": "what waits for a yes",
    "17": "open and owed",
    "18": "read it through and sign",
    RELIEVE: "someone else at the keys",
}
"""By number. One learnt never does another thing; some are those of the menu at the chair."""

MENU_LEGEND = "number Enter: choose   Enter back to the entry"

Opens = Callable[[Room], Mode | None]


def offered(latch: Latch) -> Mapping[str, str]:
    """Give the ways that there are now; the screen is locked only where it can be opened again."""
    found = {**WAYS, str(NUMBER): WORDS} if latch.lockable else WAYS
    return {number: found[number] for number in sorted(found, key=int)}


def menu(latch: Latch) -> Prompt:
    """Make the prompt of the menu."""
    ways = [(int(number), text) for number, text in offered(latch).items()]
    return replace(numbered("Replay", "Where to?", ways, offer="back to the entry", wide=True), legend=MENU_LEGEND)


def text_of(number: str, past: Past, rows: int) -> PagedText | NotePage | None:
    """Open the text of a menu number; None where it opens none."""
    match number:
        case "1":
            return PagedText(f"What stood at entry {past.at}", standing_rows(past), rows)
        case "2":
            return NotePage(past.case, rows)
        case "10":
            return PagedText(f"Where the time went, up to entry {past.at}", spent(past.case), rows)
        case "11":
            return PagedText(f"What a record should hold, as it stood at entry {past.at}", complete(past.case), rows)
        case "6":
            return PagedText(f"What came of each sound, up to entry {past.at}", sound_rows(past), rows)
        case _:
            return None


def spent(case: Case) -> tuple[str, ...]:
    """Write where the time went, each sentence with the entries that it was reckoned from."""
    told = (f"{visible(one.text)} [{numbers(one.entries)}]" for one in spent_rows(case))
    wrapped = (textwrap.wrap(one, ROW - 2, subsequent_indent="  ", break_on_hyphens=False) for one in told)
    return tuple(f" {row}" for rows in wrapped for row in rows)


def complete(case: Case) -> tuple[str, ...]:
    """Write what a record should hold, and what this one does, with room for a sign before each row."""
    return tuple(f" {row}" for row in complete_rows(case))


def work(number: str, data: Path) -> Opens | None:
    """Give what work on the record begins with by a menu number; None where that number begins none."""
    match number:
        case "12":
            return lambda _: Which()
        case "15":
            return lambda _: InSection()
        case "16":
            return _yes
        case "17":
            return lambda _: Reading(Look.OWED)
        case "18":
            return partial(_sign, data)
        case "19":
            return _at_keys
        case _:
            return None


def correct(entry: AnyEntry) -> Opens:
    """Give what corrects an entry; where it holds nothing that can be, the list of those that do."""
    if isinstance(entry, IncidentDetail):
        return lambda _: Retold(entry.of)
    if isinstance(entry, Answer | Correction):
        return lambda _: How(entry.seq)
    if isinstance(entry, FreeText):
        return partial(_reword, entry)
    return partial(_others, entry)


def _reword(entry: FreeText, room: Room) -> Mode | None:
    later = next((one.seq for one in room.case.entries if isinstance(one, FreeText) and one.instead == entry.seq), 0)
    if later:
        room.say(f"Entry {later} took the place of these words: go there.", Tone.WARN)
        return None
    return Wording(entry.section, entry.seq)


def _others(entry: AnyEntry, room: Room) -> Mode:
    room.say(f"Entry {entry.seq} holds nothing that can be corrected. These do.", Tone.WARN)
    return Which()


def _at_keys(room: Room) -> None:
    room.say(f"{person(room.protocol, room.by)} is at the keys from now on.", Tone.GOOD)


def _yes(room: Room) -> Mode | None:
    if room.case.unconfirmed:
        return SpokenYes(room.case.unconfirmed)
    signed = " Departures are confirmed by signing." if room.case.departures else ""
    room.say(f"Nothing waits for a yes.{signed}", Tone.PLAIN)
    return None


def _sign(data: Path, room: Room) -> Mode:
    return ReadThrough(to_confirm(room.case), read_keys(data), complete(room.case))
