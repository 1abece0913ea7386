"""A case as a clinical note: the head, what is to be read first, the steps, and all that departs from the plain way.

Pure and deterministic: the same case gives the same note on any machine.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from stepper.case.state import Case
from stepper.note.addendum import added
from stepper.note.begun import early_end
from stepper.note.carried import carried
from stepper.note.corrections import corrections, late_entries
from stepper.note.doses import doses, dosing
from stepper.note.events import departures, held_back, noticed, outside, unanswered
from stepper.note.first import opening
from stepper.note.head import foot, heads, keyed_by, times
from stepper.note.incidents import incidents
from stepper.note.jumps import jumps
from stepper.note.left import not_recorded, owed
from stepper.note.outcomes import canal_table
from stepper.note.phrases import Read, read
from stepper.note.rinses import rinses_by_solution, rinsing
from stepper.note.rows import told
from stepper.note.shape import Note, Section, Sentence, Table
from stepper.note.written import rewritten, written
from stepper.protocol import sections as titles
from stepper.protocol.models import Step

TITLE = "Note of a root canal visit"
DEPTHS = "Depths are told from the working length in force at the time: at length, short of it or beyond it."

_ByTitle = dict[str, Sequence[Sentence]]


def compose(case: Case) -> Note:
    """Compose the note of a case as it stands; sections without a sentence and without a table are left out."""
    known = read(case)
    by_title: _ByTitle = dict(told(case))
    parts = (
        _Part(titles.ADDENDUM, added(case)),
        _Part(titles.FIRST, opening(known)),
        _Part(titles.CARRIED, carried(case)),
        *_visit(case, by_title),
        *_departing(known),
        _Part(titles.NOT_RECORDED, not_recorded(known)),
        _Part(titles.ADVICE, by_title.pop(titles.ADVICE, ())),
        _Part(titles.TIMES, (*times(case), *jumps(case))),
        _Part(titles.KEYED_BY, keyed_by(case)),
    )
    found = list(_with_words(case, parts))
    return Note(TITLE, tuple(heads(case)), (*(one for one in found if one.sentences or one.table), foot(case)))


@dataclass(frozen=True, slots=True)
class _Part:
    title: str
    sentences: Iterable[Sentence]
    table: Table | None = None


def _with_words(case: Case, parts: Iterable[_Part]) -> Iterator[Section]:
    """Give the sections with what was written into them; what was written for one that is not there follows them."""
    words = written(case)
    for part in parts:
        yield Section(part.title, (*part.sentences, *words.pop(part.title, ())), part.table)
    yield Section(titles.WRITTEN, tuple(one for title in words for one in words[title]))


def _visit(case: Case, by_title: _ByTitle) -> Iterator[_Part]:
    """Give what was done: the tooth up to the canals, a row for each of them, their steps, and the tooth again.

    Sentences are taken out of `by_title` as they find their section, so that none is told twice.
    """
    before, canals, after = _in_three(case.protocol.step)
    own = [title for title in by_title if title not in titles.PLACED]
    own = [title for title in own if title not in {step.title for step in case.protocol.step}]
    yield from _steps(case, before, by_title)
    table = canal_table(case)
    depths = [Sentence(DEPTHS, (0,))] if table is not None else []
    yield _Part(titles.CANALS, (*by_title.pop(titles.CANALS, ()), *depths), table)
    yield from _steps(case, canals, by_title)
    for title in (titles.MATERIALS, titles.IMAGES, *own):
        yield _Part(title, by_title.pop(title, ()))
    yield from _steps(case, after, by_title)


def _steps(case: Case, steps: Iterable[Step], by_title: _ByTitle) -> Iterator[_Part]:
    """Give a section for each step, with the sums that belong to it."""
    dose, rinse = dosing(case), rinsing(case)
    for step in steps:
        table = rinses_by_solution(case) if step is rinse else None
        sums = doses(case) if step is dose else ()
        yield _Part(step.title, (*by_title.pop(step.title, ()), *sums), table)


def _in_three(steps: tuple[Step, ...]) -> tuple[tuple[Step, ...], tuple[Step, ...], tuple[Step, ...]]:
    """Give the steps before the first that is asked for each canal, those up to the last such one, and the rest."""
    places = [place for place, step in enumerate(steps) if step.scope == "C"] or [len(steps)]
    return steps[: places[0]], steps[places[0] : places[-1] + 1], steps[places[-1] + 1 :]


def _departing(known: Read) -> tuple[_Part, ...]:
    """Give what departs from the plain way, and what is left."""
    return (
        _Part(titles.DEPARTURES, departures(known)),
        _Part(titles.OUTSIDE, outside(known)),
        _Part(titles.HELD, held_back(known)),
        _Part(titles.UNANSWERED, unanswered(known)),
        _Part(titles.INCIDENTS, incidents(known)),
        _Part(titles.ENDED, early_end(known.case)),
        _Part(titles.CORRECTIONS, (*corrections(known), *rewritten(known.case))),
        _Part(titles.LATE, late_entries(known)),
        _Part(titles.OWED, owed(known)),
        _Part(titles.NOTICED, noticed(known)),
    )
