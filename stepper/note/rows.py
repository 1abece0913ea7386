"""What was logged in each step, in the protocol's own sentences.

A sentence is written for a row when all its gaps are answered; one gap may be answered with an absence, if another
holds a fact. A fact that a sentence should have told, but whose sentence could not be written, is told by its question.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from string import Formatter

from stepper.case.state import Case
from stepper.facts.entries import TOOTH, Answer, Correction
from stepper.facts.state import Fact, Row
from stepper.facts.values import Choice
from stepper.note.phrases import asked_as, at, given_up, holds, shown
from stepper.note.several import Said, merged
from stepper.note.shape import OUTSIDE, Sentence, rests_on
from stepper.note.words import canal_name
from stepper.protocol.models import Line, Step

_CANAL, _TOOTH = "canal", "tooth"


def told(case: Case) -> Mapping[str, list[Sentence]]:
    """Give what was logged by the title of the section that it is told in: step by step, canal by canal."""
    found: dict[str, list[Sentence]] = {}
    for step in case.protocol.step:
        canals: dict[str, dict[int, list[Said]]] = {}
        for row in _rows(case, step):
            for title, said in row_sentences(case, step, row):
                canals.setdefault(title, {}).setdefault(row.canal, []).append(said)
        for title, by_canal in canals.items():
            known = found.setdefault(title, [])
            known += [one.sentence(lambda canal: canal_name(case, canal)) for one in merged(by_canal.values())]
    return found


def row_sentences(case: Case, step: Step, row: Row) -> Iterator[tuple[str, Said]]:
    """Give the sentences of one row, each with the title of its section."""
    known: set[str] = set()
    untold: dict[str, str] = {}
    for line in step.note:
        gaps, title = _gaps(line.text), line.under or step.title
        if holds(line.when, row) and _sayable([row.facts.get(gap) for gap in gaps]):
            known.update(gaps)
            yield title, _said(case, step, row, line, gaps)
        elif not _silent(line, row):
            for gap in gaps:
                untold.setdefault(gap, title)
    left = {gap: title for gap, title in untold.items() if gap not in known and _told_of(row, gap)}
    for title in dict.fromkeys(left.values()):
        yield title, _by_question(case, step, row, [gap for gap in left if left[gap] == title])


def _rows(case: Case, step: Step) -> Iterator[Row]:
    """Give the rows of a step canal by canal, each canal's as they happened: what closed it may be followed by more."""
    for (name, _), rows in sorted(case.told.rows.items()):
        if name == step.id:
            yield from sorted((row for row in rows if row.facts), key=lambda row: (row.place, row.number))


@lru_cache(1024)
def _gaps(sentence: str) -> Sequence[str]:
    """Give the questions that a sentence has gaps for, each once; it is asked for every row of its step."""
    names = [name for _, name, _, _ in Formatter().parse(sentence) if name is not None]
    return tuple(name for name in dict.fromkeys(names) if name not in (_CANAL, _TOOTH))


def _sayable(facts: Sequence[Fact | None]) -> bool:
    known = [fact for fact in facts if fact is not None]
    absent = sum(fact.absent for fact in known)
    return len(known) == len(facts) and (absent == 0 or (absent == 1 and len(facts) > 1))


def _silent(line: Line, row: Row) -> bool:
    """Tell whether the protocol wants a sentence left out: its condition was answered, and does not hold."""
    fact = row.facts.get(line.when.question) if line.when is not None else None
    return fact is not None and isinstance(fact.value, Choice) and not holds(line.when, row)


def _told_of(row: Row, gap: str) -> bool:
    return gap in row.facts and not row.facts[gap].absent


def _said(case: Case, step: Step, row: Row, line: Line, gaps: Sequence[str]) -> Said:
    """Fill the gaps of a sentence; that for the canal stays open, since others may say the same."""
    words = [""]
    for before, name, _, _ in Formatter().parse(line.text):
        words[-1] += before
        if name == _CANAL and row.canal != TOOTH:
            words.append("")
        elif name in (_CANAL, _TOOTH):
            words[-1] += case.told.tooth if name == _TOOTH else f"Tooth {case.told.tooth}"
        elif name is not None:
            words[-1] += shown(case, step, name, row.facts[name])
    used = [row.facts[gap] for gap in gaps]
    if line.when is not None:
        used.append(row.facts[line.when.question])
    return _marked(case, row, words, used or row.facts.values())


def _by_question(case: Case, step: Step, row: Row, gaps: Sequence[str]) -> Said:
    """Tell facts by their questions; those of a row that was given up belong to an act that was held back."""
    told = "; ".join(f"{asked_as(case, step.id, gap)}: {shown(case, step, gap, row.facts[gap])}" for gap in gaps)
    held = " (held back, not done)" if given_up(case, step, row) else ""
    words = [f"{told}{held}."] if row.canal == TOOTH else ["", f": {told}{held}."]
    return _marked(case, row, words, [row.facts[gap] for gap in gaps])


def _marked(case: Case, row: Row, words: list[str], facts: Iterable[Fact]) -> Said:
    """Mark what was logged outside the chain, and before the full stop what was keyed afterwards or corrected."""
    seqs = rests_on(fact.seq for fact in facts)
    keyed = rests_on(case.root(seq) for seq in seqs)
    marks = [*_late(case, keyed), *_corrected(case, seqs)]
    if marks:
        seqs = rests_on((*seqs, *keyed))
        stop = "." if words[-1].endswith(".") else ""
        words[-1] = f"{words[-1].removesuffix('.')} ({'; '.join(marks)}){stop}"
    return Said(tuple(words), (row.canal,), seqs, OUTSIDE if row.outside else "")


def _late(case: Case, keyed: tuple[int, ...]) -> Iterator[str]:
    for seq in keyed:
        entry = case.entries[seq]
        if isinstance(entry, Answer) and entry.ago_min:
            yield f"keyed at {at(case, entry)}, said to have happened {entry.ago_min} min before"
        elif seq in case.late:
            yield f"keyed late, at {at(case, entry)}"


def _corrected(case: Case, seqs: tuple[int, ...]) -> Iterator[str]:
    """Say which of the entries a correction made, and whether the clinician's yes to it is still wanting."""
    for seq in seqs:
        entry = case.entries[seq]
        if isinstance(entry, Correction):
            how = "corrected" if entry.how == "keyed_wrong" else "measured anew"
            waits = ", waits for the clinician's yes" if _waits(case, entry) else ""
            yield f"{how} at {at(case, entry)}{waits}"


def _waits(case: Case, entry: Correction) -> bool:
    return entry.seq in case.keyed_wrong and entry.seq not in case.confirmed
