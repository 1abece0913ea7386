"""The head of a note: whose tooth, when, by whom and under which protocol; and the lines that close it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from stepper.case.state import Case
from stepper.facts.entries import Answer, AnyEntry, Close, Correction, Recovered, Relief, Resume, Void
from stepper.facts.ringing import SoundState
from stepper.facts.signature import Signature
from stepper.note.addendum import NOT_COVERED, not_signed
from stepper.note.carried import session_before
from stepper.note.phrases import at, day_and_time, full_stop, who
from stepper.note.shape import Section, Sentence, rests_on
from stepper.note.words import heard, say, title
from stepper.protocol.sections import SIGNATURE
from stepper.protocol.settings import BadSettings, read_settings
from stepper.sums.iso3950 import describe, is_tooth

CAUTION = (
    "A record-keeping aid, not a medical device. "
    "The clinician's judgement, manufacturers' instructions and local rules come first."
)
UNSIGNED = "Not signed. This note is a draft until the clinician has read, corrected and signed it."


def heads(case: Case) -> Iterator[Sentence]:
    """Give the lines at the head."""
    header = case.header
    heading = heading_of(case)
    if heading:
        yield Sentence(heading, (0,))
    if header.practice:
        yield Sentence("keyed for practice or under a set clock; not the record of a treatment.", (0,), "PRACTICE")
    for entry in case.entries:
        if isinstance(entry, Void):
            text = f"the visit was declared void at {at(case, entry)}; nothing is deleted. {full_stop(entry.reason)}"
            yield Sentence(text, (entry.seq,), "VISIT VOID")
    yield from _whose(case)
    yield _when(case)
    yield from _people(case)
    yield Sentence(f"Protocol: {case.protocol.title} ({case.protocol.id}).", (0,))
    yield Sentence(f"Session {header.sid}.", (0,))
    if header.previous is not None:
        previous = header.previous
        yield Sentence(f"Goes on from {session_before(previous)}, last hash {previous.head}.", (0,))


def times(case: Case) -> Iterator[Sentence]:
    """Say between when each step was keyed, when the session was interrupted, and whether sound could be heard.

    A step that was left for another and gone back to has a time for each going: nobody was at it in between.
    """
    goings = _goings(case)
    for step in case.protocol.step:
        if step.id in goings:
            spans = dict.fromkeys(_span(case, *ends) for ends in goings[step.id])
            seqs = rests_on(one.seq for ends in goings[step.id] for one in ends)
            yield Sentence(f"{title(case.protocol, step.id)}: keyed {_listed(list(spans))}.", seqs)
    before = case.entries[0]
    for entry in case.entries:
        if isinstance(entry, Resume):
            text = f"the session was opened again; the entry before was keyed at {at(case, before)}"
            yield Sentence(f"At {at(case, entry)}: {text}.", (before.seq, entry.seq))
        elif isinstance(entry, Recovered):
            yield Sentence(f"At {at(case, entry)}: {say(case, entry)}.", (entry.seq,))
        elif isinstance(entry, SoundState):
            yield Sentence(f"At {at(case, entry)}, of this program: {heard(entry)}.", (entry.seq,))
        if not isinstance(entry, Relief):  # it is keyed by who opens the session again
            before = entry


def _goings(case: Case) -> dict[str, list[tuple[Answer, Answer]]]:
    """Give the first and the last answer of each going through a step, until one of another step came."""
    found: dict[str, list[tuple[Answer, Answer]]] = {}
    answers = (one for one in case.entries if isinstance(one, Answer))
    for step, going in groupby(answers, key=lambda one: one.step):
        entries = list(going)
        found.setdefault(step, []).append((entries[0], entries[-1]))
    return found


def _span(case: Case, first: Answer, last: Answer) -> str:
    begun, ended = at(case, first), at(case, last)
    return begun if begun == ended else f"{begun} to {ended}"


def _listed(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def keyed_by(case: Case) -> Iterator[Sentence]:
    """Say who keyed, from when on."""
    last: object = ()
    for entry in case.entries:
        if entry.by != last:
            yield Sentence(f"Keyed by {who(case, entry.by)} from {at(case, entry)}.", (entry.seq,))
        last = entry.by


def foot(case: Case) -> Section:
    """Give the lines that stand at the end of every note, with room to sign by hand."""
    told = [(text, one.seq) for one in case.signatures for text in _signed(case, one)]
    if not told:
        dots = "." * 24
        told = [(UNSIGNED, 0)]
        told += [(f"Read, and corrected where needed, by {who(case, case.header.clinician)}:", 0)]
        told += [(f"Date: {dots} Signature: {dots}", 0)]
    elif not_signed(case):
        told += [(NOT_COVERED, case.signed_up_to)]
    told += [(CAUTION, told[-1][1])]
    return Section(SIGNATURE, tuple(Sentence(text, (seq,), fixed=True) for text, seq in told))


def _signed(case: Case, one: Signature) -> tuple[str, str]:
    what = "Signed" if one is case.signatures[0] else "Addendum signed"
    signed = f"{what} electronically by {one.name} ({one.initials}) at {at(case, one)}: {one.meaning}"
    return signed, f"Key {one.key}. Whether it fits, stepper check tells."


def heading_of(case: Case) -> str:
    """Give the heading of the practice, as it was set when the session was opened; nothing where there is none."""
    try:
        return read_settings(case.header.settings, "settings").heading
    except BadSettings:
        return ""


def _whose(case: Case) -> Iterator[Sentence]:
    """Say patient and tooth, as corrected."""
    mended = [one for one in case.entries if isinstance(one, Correction) and case.root(one.of) == 0]
    tooth = case.told.tooth
    words = f", {describe(tooth)}" if is_tooth(tooth) else ""
    for name, text in (("patient", f"Patient number {case.told.patient}"), ("tooth", f"Tooth {tooth} (FDI){words}")):
        of = [one for one in mended if name in one.values and one.how == "keyed_wrong"]
        waits = any(one.seq not in case.confirmed for one in of)
        said = " (corrected; the clinician has not confirmed it)" if waits else " (corrected)" if of else ""
        yield Sentence(f"{text}{said}.", (0, *(one.seq for one in of)))


def _when(case: Case) -> Sentence:
    closes: list[AnyEntry] = [one for one in case.entries if isinstance(one, Close)]
    opened = f"Opened {day_and_time(case.header)}"
    if not closes:
        return Sentence(f"{opened}; not closed.", (0,))
    return Sentence(f"{opened}; closed {day_and_time(closes[-1])}.", (0, closes[-1].seq))


def _people(case: Case) -> Iterator[Sentence]:
    yield Sentence(f"Clinician: {who(case, case.header.clinician)}.", (0,))
    people = {case.header.by: 0}
    for entry in case.entries:
        people.setdefault(entry.person if isinstance(entry, Relief) else entry.by, entry.seq)
    names = ", ".join(who(case, number) for number in people if number is not None)
    if names:
        word = "Assistant" if len(people) == 1 else "Assistants"
        lead = "At the keyboard" if case.header.clinician in people else f"{word} at the keyboard"
        yield Sentence(f"{lead}: {names}.", tuple(dict.fromkeys(people.values())))
