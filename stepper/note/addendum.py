"""What came after a session was signed: it was not there when that was done, and is told apart from the rest."""

from __future__ import annotations

from collections.abc import Iterator

from stepper.case.state import Case
from stepper.facts.entries import NO_FACT, AnyEntry, Confirm, Correction
from stepper.facts.signature import Addendum, Signature
from stepper.note.corrections import HOW, changes
from stepper.note.phrases import day_and_time, full_stop, where, who
from stepper.note.shape import Sentence
from stepper.note.words import place, say

PASSING = NO_FACT | {"relief"}
"""Kinds of entry that add nothing to a record."""

NOT_COVERED = "The addendum is not signed. The signature before it does not cover it until stepper sign signs it too."


def added(case: Case) -> Iterator[Sentence]:
    """Give who had signed the record, then each thing that was added, with day, time and who keyed it."""
    first = case.signatures[0] if case.signatures else None
    since = [one for one in case.entries[first.seq + 1 :] if one.kind not in PASSING] if first is not None else []
    if first is None or not since:
        return
    by = f"{first.name} ({first.initials})"
    signed = f"The record was signed by {by} on {day_and_time(first)}. What stands here came later."
    yield Sentence(signed, (first.seq,))
    for entry in since:
        yield _told(case, entry)
    waiting = not_signed(case)
    if waiting:
        yield Sentence(NOT_COVERED, (case.signed_up_to, *(one.seq for one in waiting)), "NOT SIGNED")


def not_signed(case: Case) -> list[AnyEntry]:
    """Give what came after the last signature; nothing where nobody has signed."""
    since = case.entries[case.signed_up_to + 1 :] if case.signatures else []
    return [one for one in since if one.kind not in PASSING]


def _told(case: Case, entry: AnyEntry) -> Sentence:
    when = day_and_time(entry)
    if isinstance(entry, Signature):
        by = f"{entry.name} ({entry.initials})"
        return Sentence(f"Up to here the addendum was signed by {by} on {when}.", (entry.seq,))
    keyed = who(case, entry.by) if entry.by is not None else "the program"
    if isinstance(entry, Addendum):
        said = "" if entry.by == entry.said_by else f", said by {entry.name}"
        keyed = entry.name if entry.by == entry.said_by else keyed
        return Sentence(f"{when}, keyed by {keyed}{said}: {full_stop(entry.text)}", (entry.seq,))
    return Sentence(f"{when}, keyed by {keyed}: {full_stop(_words(case, entry))}", (entry.seq, *_about(entry)))


def _words(case: Case, entry: AnyEntry) -> str:
    """Say any other entry, and what it is about."""
    about = where(case, *place(case, entry))
    if isinstance(entry, Correction):
        return f"entry {entry.of} ({about or 'header'}) {HOW[entry.how]}: {changes(case, entry)}"
    return f"{about}: {say(case, entry)}" if about else say(case, entry)


def _about(entry: AnyEntry) -> tuple[int, ...]:
    """Give the earlier entries that a correction or a spoken yes is about."""
    if isinstance(entry, Confirm):
        return tuple(seq for seq in entry.of if 0 <= seq < entry.seq)
    return (entry.of,) if isinstance(entry, Correction) and 0 <= entry.of < entry.seq else ()
