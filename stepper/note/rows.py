"""What was logged in each step, in the protocol's own sentences.

A sentence is written for a row when all its gaps are answered; one gap may be answered with an absence, if another
holds a fact. A fact that a sentence should have told, but whose sentence could not be written, is told by its question.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from string import Formatter

from stepper.case.fold import root
from stepper.case.state import Case
from stepper.facts.entries import TOOTH, Answer
from stepper.facts.state import Fact, Row
from stepper.facts.values import Choice
from stepper.note.phrases import asked_as, at, holds, shown
from stepper.note.shape import OUTSIDE, Section, Sentence, rests_on
from stepper.note.words import canal_name
from stepper.protocol.models import Line, Step

_GIVEN = ("canal", "tooth")


def step_sections(case: Case) -> Iterator[Section]:
    """Give a section for every step in which something stands, in the protocol's order, canal by canal."""
    for step in case.protocol.step:
        found = [sentence for row in _rows(case, step) for sentence in row_sentences(case, step, row)]
        if found:
            yield Section(step.title, tuple(found))


def row_sentences(case: Case, step: Step, row: Row) -> Iterator[Sentence]:
    """Give the sentences of one row."""
    told: set[str] = set()
    untold: dict[str, None] = {}
    for line in step.note:
        gaps = _gaps(line)
        if holds(line.when, row) and _sayable([row.facts.get(gap) for gap in gaps]):
            told.update(gaps)
            yield _sentence(case, step, row, line, gaps)
        elif not _silent(line, row):
            untold.update(dict.fromkeys(gaps))
    left = {gap: row.facts[gap] for gap in untold if gap not in told and gap in row.facts and not row.facts[gap].absent}
    if left:
        said = [f"{asked_as(case, step.id, gap)}: {shown(case, step, gap, fact)}" for gap, fact in left.items()]
        prefix = "" if row.canal == TOOTH else f"{canal_name(case, row.canal)}: "
        yield _marked(case, row, f"{prefix}{'; '.join(said)}.", left.values())


def _rows(case: Case, step: Step) -> Iterator[Row]:
    for (name, _), rows in sorted(case.told.rows.items()):
        if name == step.id:
            yield from rows


def _gaps(line: Line) -> list[str]:
    """Give the questions that a sentence has gaps for, each once."""
    names = [name for _, name, _, _ in Formatter().parse(line.text) if name is not None and name not in _GIVEN]
    return list(dict.fromkeys(names))


def _sayable(facts: Sequence[Fact | None]) -> bool:
    known = [fact for fact in facts if fact is not None]
    absent = sum(fact.absent for fact in known)
    return len(known) == len(facts) and (absent == 0 or (absent == 1 and len(facts) > 1))


def _silent(line: Line, row: Row) -> bool:
    """Tell whether the protocol wants a sentence left out: its condition was answered, and does not hold."""
    fact = row.facts.get(line.when.question) if line.when is not None else None
    return fact is not None and isinstance(fact.value, Choice) and not holds(line.when, row)


def _sentence(case: Case, step: Step, row: Row, line: Line, gaps: list[str]) -> Sentence:
    facts = {gap: row.facts[gap] for gap in gaps}
    words = {gap: shown(case, step, gap, fact) for gap, fact in facts.items()}
    words["canal"] = canal_name(case, row.canal) or f"Tooth {case.told.tooth}"
    words["tooth"] = case.told.tooth
    used = list(facts.values())
    if line.when is not None:
        used.append(row.facts[line.when.question])
    return _marked(case, row, line.text.format_map(words), used or row.facts.values())


def _marked(case: Case, row: Row, text: str, facts: Iterable[Fact]) -> Sentence:
    """Mark what was logged outside the chain, and say of what was keyed afterwards when it is said to have happened."""
    seqs = rests_on(fact.seq for fact in facts)
    return Sentence(text + "".join(_late(case, seqs)), seqs, OUTSIDE if row.outside else "")


def _late(case: Case, seqs: tuple[int, ...]) -> Iterator[str]:
    for seq in sorted({root(case, seq) for seq in seqs}):
        entry = case.entries[seq]
        if isinstance(entry, Answer) and entry.ago_min:
            yield f" (keyed at {at(case, entry)}, said to have happened {entry.ago_min} min before)"
        elif seq in case.late:
            yield f" (keyed late, at {at(case, entry)})"
