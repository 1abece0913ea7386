"""What an earlier visit established, told as what that session said; then what of it was confirmed or changed today.

It rests on the entries in which it was carried over, and on nothing else: the earlier file is not read for a note.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from stepper.case.carry_said import DIAGNOSES, DRESSING
from stepper.case.fit import master_file
from stepper.case.put import reference_of
from stepper.case.state import Case
from stepper.facts.carried import CarriedSaid, Previous
from stepper.facts.entries import TOOTH, Carried
from stepper.facts.state import Canal
from stepper.kinds.outcome import outcome_of
from stepper.kinds.words import plain
from stepper.note.shape import Sentence, rests_on
from stepper.note.words import point_words, show
from stepper.sums.iso3630 import name as size_name

LONG_ID = 16
"""A session id of more characters than this is told by its first eight, behind the sentence that tells all of it."""

EARLIER = "at the earlier visit"


def carried(case: Case) -> Iterator[Sentence]:
    """Give what the earlier visit established, each with its day and entries there, then how it stands today."""
    brought: dict[int, Carried] = {}
    for entry in case.entries:
        if isinstance(entry, Carried):
            brought.setdefault(entry.canal, entry)
    if not brought:
        return
    previous = case.header.previous
    session = session_before(previous) if previous is not None else "an earlier session"
    lead = f"From {session}, as it was recorded there; the entry numbers are those of that session."
    yield Sentence(lead, rests_on((0, *(entry.seq for entry in brought.values()))))
    for entry in brought.values():
        yield from (_said(case, entry, one, "") for one in entry.of_tooth)
    for entry in brought.values():
        yield from _then(case, entry)
    for entry in brought.values():
        yield from (one for said in entry.of_tooth if said.about in DIAGNOSES for one in _again(case, said))
    for entry in brought.values():
        yield from _today(case, case.told.canals[entry.canal], entry)


def session_before(previous: Previous) -> str:
    """Name the session that one goes on from, and its day where it is known."""
    return f"session {previous.sid}" + (f" of {previous.day.isoformat()}" if previous.day is not None else "")


def ended_earlier(case: Case, number: int) -> bool:
    """Tell whether a canal's outcome is that of an earlier visit: it was filled, or given up, there and not today."""
    canal = case.told.canals[number]
    if canal.fill is not None:
        return isinstance(case.entries[canal.fill.seq], Carried)
    today = canal.joins is not None or any(case.told.role(role, number) for role in ("outcome", "dressing"))
    return not today and outcome_of(case.told, number) is not None


def _source(case: Case, of: Iterable[int], sid: str | None = None, day: object = None) -> str:
    """Name the day, the session and the entries that something was said in."""
    previous, entries = case.header.previous, sorted(set(of))
    if sid is None and previous is not None:
        sid, day = previous.sid, previous.day
    parts = [str(day)] if day is not None else []
    parts += [f"session {sid if len(sid) <= LONG_ID else sid[:8]}"] if sid is not None else []
    parts += [f"{'entry' if len(entries) == 1 else 'entries'} {', '.join(map(str, entries))}"] if entries else []
    return f" ({', '.join(parts)})" if parts else ""


def _said(case: Case, entry: Carried, one: CarriedSaid, name: str) -> Sentence:
    about = f"{name}: " if name else ""
    return Sentence(f"{about}{one.asked}: {one.words}{_source(case, [one.of], one.sid, one.day)}.", (entry.seq,))


def _then(case: Case, entry: Carried) -> Iterator[Sentence]:
    """Say what the earlier session told of a canal."""
    name = entry.name
    ended = (entry.outcome or "no outcome").replace("_outside", " outside the chain").replace("_", " ")
    fill = [entry.fill.of] if entry.fill is not None else []
    yield Sentence(f"{name}: {ended}{_source(case, fill)}.", (entry.seq,))
    if entry.joins is not None:
        at = f" at {plain(entry.joins.at_mm)} mm" if entry.joins.at_mm is not None else ""
        into = case.told.canals[entry.joins.into].name if entry.joins.into in case.told.canals else "another canal"
        yield Sentence(f"{name}: joins {into}{at}{_source(case, ())}.", (entry.seq,))
    yield from (_said(case, entry, one, name) for one in entry.said if one.about == DRESSING)
    parts = [part for part in (entry.length, entry.reference) if part is not None]
    words = [f"working length {plain(entry.length.mm)} mm"] if entry.length is not None else []
    words += [f"from the {point_words(case.protocol, entry.reference.value)}"] if entry.reference is not None else []
    if words:
        source = _source(case, [part.of for part in parts])
        yield Sentence(f"{name}: {' '.join(words)}{source}.", (entry.seq,))
    yield from (_said(case, entry, one, name) for one in entry.said if one.about != DRESSING)
    if entry.files:
        sizes = ", ".join(dict.fromkeys(size_name(one.size, one.taper) for one in entry.files))
        source = _source(case, [one.of for one in entry.files])
        yield Sentence(f"{name}: files used, {sizes}{source}.", (entry.seq,))
    if entry.master is not None:
        size = size_name(entry.master.size, entry.master.taper)
        yield Sentence(f"{name}: master apical file {size}{_source(case, [entry.master.of])}.", (entry.seq,))
    for left in entry.left_out:
        yield Sentence(f"{name}: not carried over as certain: {left}{_source(case, ())}.", (entry.seq,))


def _again(case: Case, said: CarriedSaid) -> Iterator[Sentence]:
    """Say what a question of the tooth was answered today, beside what was said of it then."""
    for step in case.protocol.step:
        for question in step.question:
            fact = case.told.fact(f"{step.id}.{question.id}", TOOTH) if said.about in question.holds else None
            if fact is not None and not fact.absent:
                words = show(case.protocol, question, fact.value)
                then = f", as {EARLIER}" if words == said.words else f"; {EARLIER}: {said.words}"
                yield Sentence(f"Today: {question.prompt}: {words}{then}.", rests_on((fact.seq, *_first(case))))


def _first(case: Case) -> tuple[int, ...]:
    return tuple(one.seq for one in case.entries if isinstance(one, Carried))[:1]


def _today(case: Case, canal: Canal, entry: Carried) -> Iterator[Sentence]:
    """Say what of a canal was confirmed, measured anew, left or declared anew today."""
    name = entry.name
    if ended_earlier(case, entry.canal):
        yield Sentence(f"Today: {name} was left as it had ended {EARLIER}.", (entry.seq,))
        return
    said = reference_of(case.told, entry.canal)
    if entry.reference is not None and said is not None and said.value != entry.reference.value:
        then = point_words(case.protocol, entry.reference.value)
        text = f"Today: {name} was measured from another reference point than {EARLIER}, the {then}."
        yield Sentence(text, rests_on((entry.seq, said.seq)))
    if entry.length is not None and canal.carried is not None:
        text, seqs = _length(canal, entry)
        yield Sentence(f"Today: {name}, {text}.", rests_on((entry.seq, *seqs)))
    if entry.master is not None:
        text, seqs = _master(case, canal, entry)
        yield Sentence(f"Today: {name}, {text}.", rests_on((entry.seq, *seqs)))


def _length(canal: Canal, entry: Carried) -> tuple[str, tuple[int, ...]]:
    """Say whether the length of then was agreed again."""
    assert entry.length is not None and canal.carried is not None
    if canal.carried.mm is not None:
        return "the length of the earlier visit has not been agreed and is not in force", ()
    if canal.length is None:
        return "the reference point of the earlier visit was left; no length is in force", ()
    mm = plain(canal.length.mm)
    if canal.length.anew == canal.carried.place:
        return f"the same length was agreed, {mm} mm", (canal.length.seq,)
    return f"the length was measured anew, {mm} mm; {EARLIER} it was {plain(entry.length.mm)} mm", (canal.length.seq,)


def _master(case: Case, canal: Canal, entry: Carried) -> tuple[str, tuple[int, ...]]:
    """Say whether the master apical file of then stands."""
    assert entry.master is not None
    was = size_name(entry.master.size, entry.master.taper)
    then = f"master apical file {was} of the earlier visit"
    declared = master_file(case.told, entry.canal)
    if declared is None:
        return f"the {then} is void, and none was declared", ()
    fact, size = declared
    if fact.seq != entry.seq:
        now = size_name(size.size, size.taper)
        return f"another master apical file was declared, {now}; {EARLIER} it was {was}", (fact.seq,)
    if canal.length is None:
        return f"the {then} waits for a length to be agreed", ()
    return f"the {then} is in force", (canal.length.seq,)
