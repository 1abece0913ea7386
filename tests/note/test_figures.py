"""No figure stands in a note that is neither in the log nor reckoned from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from stepper.note.compose import compose
from stepper.note.shape import Note, Sentence
from stepper.record.places import bundled
from stepper.session.store import read_case
from tests.cases import Log
from tests.note.figures import figures, unfounded
from tests.note.visits import ended_early, eventful, four_canals

SAMPLES = sorted(bundled("sample_sessions").glob("*.jsonl"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_of_the_samples(path: Path) -> None:
    case = read_case(path)[1]
    assert case is not None
    assert list(unfounded(case, compose(case))) == []


@pytest.mark.parametrize("visit", [four_canals, ended_early, eventful])
def test_of_visits_with_everything_in_them(visit: Callable[[], Log]) -> None:
    case = visit().case()
    assert list(unfounded(case, compose(case))) == []


@pytest.mark.parametrize(
    ("text", "found"),
    [("35/.04 at 0.5 mm", {"35", "0.04", "0.5"}), ("09:05, 20.50 mm", {"9", "5", "20.5"}), ("no figure", set())],
)
def test_figures_are_compared_by_what_they_are_worth(text: str, found: set[str]) -> None:
    assert figures(text) == found


def test_a_figure_that_was_made_up_is_found() -> None:
    case = four_canals().case()
    note = compose(case)
    section = next(one for one in note.sections if one.title == "Working length")
    made_up = Sentence("MB: working length 77.7 mm.", section.sentences[0].entries)
    bent = replace(section, sentences=(*section.sentences, made_up))
    with_it = Note(note.title, note.heads, tuple(bent if one is section else one for one in note.sections))
    assert [(title, left) for title, _, left in unfounded(case, with_it)] == [("Working length", {"77.7"})]


def test_a_true_figure_that_names_another_entry_is_found() -> None:
    case = four_canals().case()
    note = compose(case)
    changed = [
        replace(one, sentences=tuple(replace(each, entries=(1,)) for each in one.sentences)) for one in note.sections
    ]
    astray = Note(note.title, note.heads, tuple(changed))
    assert len({title for title, _, _ in unfounded(case, astray)}) > 5
