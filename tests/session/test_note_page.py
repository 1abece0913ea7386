"""The note in a replay: each line tells its entries, an entry leads to its lines, and it grows with the entries."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.facts.entries import Correction
from stepper.note.compose import compose
from stepper.note.noted import noted, numbers
from stepper.record.places import bundled
from stepper.session.note_page import NotePage, note_lines
from stepper.session.replay import open_replay
from stepper.session.store import read_case

SAMPLES = sorted(bundled("sample_sessions").glob("*.jsonl"))


@pytest.mark.parametrize(
    ("entries", "written"),
    [
        ((3,), "3"),
        ((3, 4), "3, 4"),
        ((3, 4, 5), "3-5"),
        ((9, 3, 4, 5, 8, 3), "3-5, 8, 9"),
        ((0, 2, 4), "0, 2, 4"),
        ((), ""),
    ],
)
def test_entry_numbers_are_written_short(entries: tuple[int, ...], written: str) -> None:
    assert numbers(entries) == written


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_line_but_a_title_tells_its_entries_and_nothing_of_the_note_is_left_out(path: Path) -> None:
    case = read_case(path)[1]
    assert case is not None
    note = compose(case)
    lines = noted(case, note)
    assert [one.text for one in lines if one.title] == [note.title, *(one.title for one in note.sections)]
    told = [one for one in lines if not one.title]
    assert all(one.entries and one.traced.endswith("]") for one in told)
    rows = sum(len(one.table.rows) for one in note.sections if one.table is not None)
    assert len(told) == len(note.sentences) + rows
    assert {seq for one in told for seq in one.entries} == {
        seq for one in (*note.sentences, *note.cells) for seq in one.entries
    }
    for one in told:
        assert one.corrected == any(isinstance(case.entries[seq], Correction) for seq in one.entries)


@pytest.mark.parametrize("path", SAMPLES[:3], ids=lambda path: path.stem)
def test_from_any_entry_one_comes_to_its_lines(path: Path) -> None:
    case = read_case(path)[1]
    assert case is not None
    lines = noted(case, compose(case))
    page = NotePage(case, 18)
    for entry in range(1, len(case.entries)):
        found = page.find(entry)
        assert found == sum(entry in one.entries for one in lines)
        marked = [row for row in page.page().rows if row.startswith("> ")]
        assert bool(marked) == bool(found), f"its first line stands on the page that opens, entry {entry}"
    assert page.find(len(case.entries) + 5) == 0


def test_the_note_grows_with_the_replay() -> None:
    replay = open_replay(SAMPLES[-1])
    before = len(replay.view().note)
    for seq in (10, 30, 50, 65):
        replay.enter(str(seq))
        now = len(replay.view().note)
        assert now > before
        before = now


def test_the_line_of_the_entry_is_marked_beside_the_replay() -> None:
    case = read_case(SAMPLES[-1])[1]
    assert case is not None
    here = [one.text for one in note_lines(case, 25) if one.here]
    assert here == [
        "single canal: gauging file 30/.02 1 mm short, held there. [25]",
        "Apical gauging: keyed 14:31 to 14:32. [24, 25]",
    ]
    assert not any(one.here for one in note_lines(case, 0)), "what the header tells stands in every note"


def test_a_number_on_the_page_goes_to_the_lines_of_that_entry() -> None:
    replay = open_replay(SAMPLES[-1])
    for line in ("65", "*", "25"):
        replay.enter(line)
    view = replay.view()
    assert view.saying == "From entry 25 came 2 lines, marked >."
    assert view.page is not None
    assert any(row.startswith("> single canal: gauging file 30/.02") for row in view.page.rows)
    replay.enter("23")
    assert replay.view().saying == "From entry 23 came nothing."
    replay.enter("*")
    assert replay.view().title.startswith("REPLAY entry 65")
