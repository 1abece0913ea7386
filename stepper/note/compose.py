"""A case as a clinical note: the head, what is to be read first, the steps, and all that departs from the plain way.

Pure and deterministic: the same case gives the same note on any machine.
"""

from __future__ import annotations

from collections.abc import Iterable

from stepper.case.state import Case
from stepper.note.corrections import corrections, late_entries
from stepper.note.events import departures, held_back, incidents, noticed, unanswered
from stepper.note.first import FIRST_TITLE, opening
from stepper.note.head import foot, heads, keyed_by, times
from stepper.note.left import not_recorded, owed
from stepper.note.outcomes import outcomes
from stepper.note.phrases import read
from stepper.note.rows import step_sections
from stepper.note.shape import Note, Section, Sentence

TITLE = "Note of a root canal visit"


def compose(case: Case) -> Note:
    """Compose the note of a case as it stands; sections without a sentence are left out."""
    known = read(case)
    parts: tuple[tuple[str, Iterable[Sentence]], ...] = (
        ("Outcome of each canal", outcomes(case)),
        ("Departures", departures(known)),
        ("Asked and not answered", unanswered(known)),
        ("Held back", held_back(known)),
        ("Incidents", incidents(known)),
        ("Corrections", corrections(known)),
        ("Late entries", late_entries(known)),
        ("Owed", owed(known)),
        ("Also noticed", noticed(known)),
        ("Not recorded", not_recorded(known)),
        ("Times", times(case)),
        ("Keyed by", keyed_by(case)),
    )
    found = (*_section(FIRST_TITLE, opening(known)), *step_sections(case))
    after = [section for title, sentences in parts for section in _section(title, sentences)]
    return Note(TITLE, tuple(heads(case)), (*found, *after, foot()))


def _section(title: str, sentences: Iterable[Sentence]) -> tuple[Section, ...]:
    found = tuple(sentences)
    return (Section(title, found),) if found else ()
