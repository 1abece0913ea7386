"""Entries in words, the same on the screen and in the note."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from stepper.case.fold import answered
from stepper.case.incidents import canal_of
from stepper.case.state import Case
from stepper.facts.carried import CarriedCanal
from stepper.facts.entries import (
    TOOTH,
    Answer,
    AnyEntry,
    CanalFound,
    Carried,
    Close,
    Confirm,
    Correction,
    Departure,
    Ending,
    Go,
    Held,
    Incident,
    IncidentDetail,
    Joined,
    Open,
    Overruled,
    Owe,
    Recovered,
    Relief,
    Resume,
    StepDone,
    Void,
)
from stepper.facts.free_text import FreeText
from stepper.facts.record import written
from stepper.facts.ringing import Sound, SoundState, Tested
from stepper.facts.signature import Addendum, Signature
from stepper.facts.values import Absent, Choice, Digits, Text, Value
from stepper.kinds.asking import show_absent
from stepper.kinds.union import AnyQuestion
from stepper.kinds.words import plain
from stepper.protocol.models import Protocol
from stepper.sums.iso3630 import name as size_name


def show(protocol: Protocol, question: AnyQuestion | None, value: Value) -> str:
    """Write a value as its question shows it; what the protocol no longer knows is written as it stands."""
    absent = show_absent(value)
    if absent is not None:
        return absent
    if question is None:
        return value.value if isinstance(value, Digits) else str(written(value))
    return question.show(value, protocol)


def show_all(protocol: Protocol, step: str, values: Mapping[str, Value], *, named: bool = False) -> str:
    """Write the values of a row, each behind its question's name where there are several or where that is wanted."""
    asked = protocol.by_step.get(step)
    shown = [(name, show(protocol, asked.asked(name) if asked else None, value)) for name, value in values.items()]
    if len(shown) == 1 and not named and not isinstance(next(iter(values.values())), Absent):
        return shown[0][1]
    return ", ".join(f"{name.replace('_', ' ')} {text}" for name, text in shown)


def canal_name(case: Case, canal: int) -> str:
    """Give a canal's name, or nothing for the tooth."""
    if canal == TOOTH:
        return ""
    return case.told.canals[canal].name if canal in case.told.canals else f"canal {canal}"


def title(protocol: Protocol, step: str) -> str:
    """Give a step's title."""
    return protocol.by_step[step].title if step in protocol.by_step else step


def person(protocol: Protocol, number: int | None) -> str:
    """Give a person by number."""
    if number is None:
        return "nobody"
    return next((one.name for one in protocol.person if one.number == number), f"person {number}")


def local(entry: AnyEntry) -> dt.datetime:
    """Give an entry's wall time where it was keyed."""
    sign = -1 if entry.off.startswith("-") else 1
    offset = dt.timedelta(hours=int(entry.off[1:3]), minutes=int(entry.off[4:6])) * sign
    return entry.t.astimezone(dt.timezone(offset))


def clock(entry: AnyEntry) -> str:
    """Give an entry's wall time in whole minutes, as HH:MM."""
    return local(entry).strftime("%H:%M")


def place(case: Case, entry: AnyEntry) -> tuple[str, int]:
    """Give the step and canal that an entry belongs to, or nothing and the tooth."""
    if isinstance(entry, Correction):
        target = answered(case, entry)
        return (target.step, target.canal) if target is not None else ("", TOOTH)
    if isinstance(entry, Incident | IncidentDetail):
        return _incident_place(case, entry)
    step, canal = getattr(entry, "step", ""), getattr(entry, "canal", TOOTH)
    return (str(step), int(canal))


def _incident_place(case: Case, entry: Incident | IncidentDetail) -> tuple[str, int]:
    seq = entry.of if isinstance(entry, IncidentDetail) else entry.seq
    stamped = case.entries[seq] if 0 < seq <= entry.seq else entry
    return (stamped.step, canal_of(case, seq)) if isinstance(stamped, Incident) else ("", TOOTH)


def say(case: Case, entry: AnyEntry) -> str:
    """Say an entry in a few words."""
    protocol = case.protocol
    match entry:
        case Open():
            return "session opened"
        case Answer():
            ago = f" ({entry.ago_min} min before)" if entry.ago_min else ""
            outside = " OUTSIDE THE CHAIN" if entry.outside else ""
            return show_all(protocol, entry.step, entry.values, named=True) + ago + outside
        case Correction():
            step, _ = place(case, entry)
            how = "keyed wrong" if entry.how == "keyed_wrong" else "measured anew"
            return f"{how}, entry {entry.of}: now {show_all(protocol, step, entry.values)}"
        case Confirm():
            return f"{person(protocol, entry.said_by)} said yes to entry {', '.join(str(seq) for seq in entry.of)}"
        case Departure():
            return f"departure: {entry.reason} ({person(protocol, entry.said_by)})"
        case Owe():
            return "owed until closing"
        case Held():
            return f"held back: {show_all(protocol, entry.step, entry.values)}"
        case Overruled():
            return f"done all the same, OUTSIDE THE CHAIN: {entry.text}"
        case StepDone():
            return entry.how.replace("_", " ")
        case CanalFound():
            return f"canal {entry.canal} found: {entry.name}"
        case Joined():
            at = f" at {plain(entry.at_mm)} mm" if entry.at_mm is not None else ""
            return f"{canal_name(case, entry.canal)} joins {canal_name(case, entry.into)}{at}"
        case Carried():
            return f"from the earlier visit: {brought(protocol, entry)}"
        case Incident():
            return "INCIDENT"
        case IncidentDetail():
            said = f"entry {entry.of} was {incident_label(protocol, entry.what)}"
            details = incident_details(protocol, entry.what, entry.values)
            return f"{said}; {details}" if details else said
        case Ending():
            return f"VISIT ENDS EARLY: {entry.reason} ({person(protocol, entry.said_by)})"
        case Sound():
            return "sound off" if entry.silent else f"rang {'twice' if entry.times == 2 else 'once'}"
        case SoundState():
            return heard(entry)
        case Relief():
            return f"keyboard taken by {person(protocol, entry.person)}"
        case Void():
            return f"VISIT VOID: {entry.reason}"
        case Close():
            return "visit closed"
        case Signature():
            return f"signed by {entry.name} ({entry.initials})"
        case Addendum():
            return f"addendum of {entry.name}: {entry.text}"
        case FreeText():
            instead = f", instead of entry {entry.instead}" if entry.instead is not None else ""
            said = entry.text or "withdrawn"
            return f"{person(protocol, entry.said_by)} in writing, under {entry.section}{instead}: {said}"
        case Resume():
            return "opened again"
        case Recovered():
            return f"an unfinished write of {entry.bytes} bytes was set aside"
        case Go():
            return "gone to"


def heard(entry: SoundState) -> str:
    """Say whether the program could be heard."""
    tested = {
        Tested.HEARD: "sound tested: heard",
        Tested.NOT_HEARD: "sound tested: not heard",
        Tested.NOT_TODAY: "sound not tested",
    }
    return tested[entry.tested] if entry.on else "sound switched off"


def incident_label(protocol: Protocol, what: str) -> str:
    """Give the words of an incident kind."""
    if what == "slip":
        return "a slip of the keys"
    return next((one.label for one in protocol.incident if one.id == what), what)


def incident_details(protocol: Protocol, what: str, values: Mapping[str, Value]) -> str:
    """Write the answers to the questions about an incident, each behind its question's words."""
    kind = protocol.incident_of(what)
    asked = {name: kind.asked(name) if kind is not None else None for name in values}
    words = {name: one.prompt if one is not None else name.replace("_", " ") for name, one in asked.items()}
    return "; ".join(f"{words[name]}: {show(protocol, asked[name], value)}" for name, value in values.items())


def brought(protocol: Protocol, one: CarriedCanal) -> str:
    """Write what a canal brings along from an earlier visit, and what of it was left out."""
    ended = (one.outcome or "no outcome").replace("_outside", " outside the chain").replace("_", " ")
    parts = [f"{one.name} {ended}", *_measured(protocol, one)]
    if one.files:
        parts.append(f"{len(one.files)} {'file' if len(one.files) == 1 else 'files'} used")
    return "; ".join(parts) + "".join(f"; not carried over as certain: {words}" for words in one.left_out)


def _measured(protocol: Protocol, one: CarriedCanal) -> Iterator[str]:
    if one.length is not None:
        point = f" from the {point_words(protocol, one.reference.value)}" if one.reference is not None else ""
        yield f"working length {plain(one.length.mm)} mm{point}"
    if one.master is not None:
        yield f"master apical file {size_name(one.master.size, one.master.taper)}"


def point_words(protocol: Protocol, value: Choice | Text) -> str:
    """Write a reference point; one that today's protocol does not know goes by its name."""
    asked = [question for step in protocol.step for question in step.question if question.role == "reference"]
    fitting = next((question for question in asked if isinstance(value, question.HOLDS)), None)
    if fitting is not None:
        return fitting.show(value, protocol)
    return value.value if isinstance(value, Text) else ", ".join(value.options)
