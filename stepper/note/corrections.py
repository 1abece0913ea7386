"""What was changed after it was keyed, and what was keyed after it happened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from stepper.case.fold import answered
from stepper.case.state import Case
from stepper.facts.entries import Answer, Correction
from stepper.facts.values import Digits, Value
from stepper.note.phrases import Read, asked_as, at, where, who
from stepper.note.shape import Sentence, rests_on
from stepper.note.words import show, show_all

HOW = {"keyed_wrong": "was keyed wrong", "measured_anew": "was measured anew"}


def corrections(read: Read) -> Iterator[Sentence]:
    """Give every correction of both kinds, what was and what is, and every question that was answered again."""
    answers: dict[tuple[str, int, int, str], Answer] = {}
    for entry in read.case.entries:
        if isinstance(entry, Correction):
            yield _correction(read, entry)
        elif isinstance(entry, Answer):
            yield from _again(read.case, entry, answers)
            answers.update({(*_row(entry), name): entry for name in entry.values})


def late_entries(read: Read) -> Iterator[Sentence]:
    """Give every late entry, and whether the clinician has said yes to it."""
    case = read.case
    for entry in case.entries:
        if not isinstance(entry, Answer) or entry.seq not in case.late:
            continue
        ago = f", said to have happened {entry.ago_min} min before" if entry.ago_min else ", after what rests on it"
        keyed = f"keyed at {at(case, entry)} by {who(case, entry.by)}"
        text = (
            f"Entry {entry.seq} ({where(case, entry.step, entry.canal)}), {keyed}{ago}: "
            f"{show_all(case.protocol, entry.step, entry.values)}; {_confirmed(read, entry.seq)}."
        )
        yield Sentence(text, rests_on((entry.seq, *_yes(read, entry.seq))))


def changes(case: Case, entry: Correction) -> str:
    """Say what a correction changes: what was, what is."""
    target = answered(case, entry)
    return "; ".join(_change(case, entry, target, name, value) for name, value in _changed(case, entry))


def _correction(read: Read, entry: Correction) -> Sentence:
    case = read.case
    target = answered(case, entry)
    place = where(case, target.step, target.canal) if target is not None else "header"
    of = case.entries[entry.of] if entry.of < len(case.entries) else None
    keyed = f", keyed at {at(case, of)}" if of is not None else ""
    said = changes(case, entry)
    text = (
        f"Entry {entry.of} ({place}{keyed}) {HOW[entry.how]}: {said}. "
        f"Keyed at {at(case, entry)} by {who(case, entry.by)}"
    )
    if entry.how == "keyed_wrong":
        text += f"; {_confirmed(read, entry.seq)}"
    earlier = (entry.of,) if of is not None else ()
    before = [stood[1] for name, _ in _changed(case, entry) if (stood := _before(case, entry, name)) is not None]
    return Sentence(f"{text}.", rests_on((entry.seq, *earlier, *before, *_yes(read, entry.seq))))


def _changed(case: Case, entry: Correction) -> list[tuple[str, Value]]:
    """Give the values that a correction changes; all of them where it changes none."""
    stood = {name: _before(case, entry, name) for name in entry.values}
    changed = [(name, value) for name, value in entry.values.items() if (stood[name] or (None,))[0] != value]
    return changed or list(entry.values.items())


def _change(case: Case, entry: Correction, target: Answer | None, name: str, value: Value) -> str:
    step = target.step if target is not None else ""
    known = case.protocol.by_step.get(step)
    question = known.asked(name) if known is not None else None
    before = _before(case, entry, name)
    was = show(case.protocol, question, before[0]) if before is not None else "not recorded"
    return f"{asked_as(case, step, name)}, was {was}, is {show(case.protocol, question, value)}"


def _before(case: Case, correction: Correction, name: str) -> tuple[Value, int] | None:
    """Give what stood before a correction, and by which entry: in what it mends, or in its row if the world changed."""
    stood: tuple[Value, int] | None = None
    if case.root(correction.of) == 0 and name in ("patient", "tooth"):
        stood = Digits(value=str(getattr(case.header, name))), 0
    for entry in case.entries[1 : correction.seq]:
        if isinstance(entry, Answer | Correction) and name in entry.values and _belongs(case, entry, correction):
            stood = entry.values[name], entry.seq
    return stood


def _belongs(case: Case, entry: Answer | Correction, correction: Correction) -> bool:
    base = case.root(correction.of)
    if correction.how == "keyed_wrong":
        return entry.seq == base or (
            isinstance(entry, Correction) and entry.how == "keyed_wrong" and case.root(entry.of) == base
        )
    target, other = answered(case, correction), answered(case, entry)
    return target is not None and other is not None and _row(target) == _row(other)


def _again(case: Case, entry: Answer, answers: Mapping[tuple[str, int, int, str], Answer]) -> Iterator[Sentence]:
    """Say which questions of a row an answer had been given to before."""
    known = case.protocol.by_step.get(entry.step)
    for name, value in entry.values.items():
        earlier = answers.get((*_row(entry), name))
        if earlier is not None:
            question = known.asked(name) if known is not None else None
            was, now = (show(case.protocol, question, one) for one in (earlier.values[name], value))
            asked = f"{where(case, entry.step, entry.canal)}, {asked_as(case, entry.step, name)}"
            text = f"{asked}: answered again at {at(case, entry)}, was {was}, is {now}."
            yield Sentence(text, (earlier.seq, entry.seq))


def _row(entry: Answer) -> tuple[str, int, int]:
    return (entry.step, entry.canal, entry.row)


def _confirmed(read: Read, seq: int) -> str:
    yes = read.confirms.get(seq)
    if yes is None:
        return "waits for the clinician's yes"
    said, keyed = who(read.case, yes.said_by), f", keyed by {who(read.case, yes.by)}" if yes.by != yes.said_by else ""
    return f"confirmed by {said} at {at(read.case, yes)}{keyed}"


def _yes(read: Read, seq: int) -> tuple[int, ...]:
    yes = read.confirms.get(seq)
    return (yes.seq,) if yes is not None else ()
