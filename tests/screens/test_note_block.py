"""The note beside a replay: in whatever room there is, the lines of the entry are among those that are shown."""

from __future__ import annotations

import pytest

from stepper.screens.note import note_block
from stepper.screens.palette import DARK, Look
from stepper.session.view import NoteLine

LOOK = Look(DARK)
NOTHING = "In the note nothing comes from this entry"


def lines(*here: int, count: int = 40) -> tuple[NoteLine, ...]:
    return tuple(NoteLine(f"sentence {number} [{number}]", here=number in here) for number in range(count))


def shown(note: tuple[NoteLine, ...], given: int, width: int = 50) -> list[str]:
    rows = note_block(note, width, LOOK, rank=1).rows(given)
    assert len(rows) <= given
    assert {row.cell_length for row in rows} <= {width}
    return [row.text.rstrip() for row in rows]


@pytest.mark.parametrize("given", range(2, 45))
@pytest.mark.parametrize("at", [0, 1, 20, 38, 39])
def test_the_line_of_the_entry_is_always_shown_and_the_room_is_used(given: int, at: int) -> None:
    rows = shown(lines(at), given)
    assert rows[0] == " In the note"
    assert f"> sentence {at} [{at}]" in rows
    assert len(rows) == min(given, 41)
    numbers = [int(row.split("[")[1][:-1]) for row in rows[1:]]
    assert numbers == list(range(numbers[0], numbers[0] + len(numbers))), "in one piece, in order"


def test_what_stands_around_it_is_shown_on_both_sides() -> None:
    rows = shown(lines(20), 8)
    assert [row.split()[-1] for row in rows[1:]] == [f"[{number}]" for number in range(17, 24)]


def test_of_lines_far_apart_the_first_is_shown() -> None:
    assert "> sentence 3 [3]" in shown(lines(3, 30), 6)


def test_where_nothing_comes_from_the_entry_the_end_of_the_note_stands() -> None:
    rows = shown(lines(), 5)
    assert rows[0].strip() == NOTHING
    assert rows[-1] == "  sentence 39 [39]"


def test_a_corrected_line_a_title_and_a_long_line_are_told_apart() -> None:
    note = (
        NoteLine("Shaping", title=True),
        NoteLine("it was corrected [4, 9]", corrected=True),
        NoteLine("word " * 20 + "[5]", here=True),
    )
    rows = shown(note, 9)
    assert rows[1:3] == ["  SHAPING", "~ it was corrected [4, 9]"]
    assert rows[3].startswith("> word word")
    assert all(row.startswith("  ") for row in rows[4:]), "a line that goes on has its sign once"
    assert "[5]" in rows[-1]


def test_without_room_it_gives_way() -> None:
    block = note_block(lines(20), 50, LOOK, rank=1)
    assert (block.least, block.fair, block.full) == (2, 2, 41)
    assert shown(lines(20), 0) == []
    assert shown(lines(20), 1) == [" In the note"]
