"""The rows of what is reckoned: above the question, whole where they have room, kept before what has been."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stepper.screens.choices import choice_block
from stepper.screens.page import page_rows
from stepper.screens.palette import DARK, Look
from stepper.screens.sentences import question_block
from stepper.session.view import ChairView, Choice
from tests.screens.views import ALARM, CLOCKS, CROWDED, LOG, SHAPING, VIEWS
from tests.session.chairside import BOTH, COMPARED, NEEDLE, flat

SIZES = [(80, 24), (100, 30), (120, 40), (200, 60)]


def page(view: ChairView, size: tuple[int, int] = (80, 24)) -> list[str]:
    rows = page_rows(view, CLOCKS, "35/4-0", None, size, Look(DARK))
    assert len(rows) == size[1]
    assert {row.cell_length for row in rows} == {size[0]}
    return [row.text for row in rows]


def with_sums(view: ChairView, *sums: str) -> ChairView:
    return replace(view, prompt=replace(view.prompt, sums=sums))


def test_they_stand_above_the_question_each_with_its_sign() -> None:
    text = flat(page(with_sums(SHAPING, BOTH)))
    assert f"= {BOTH} {SHAPING.prompt.question}" in text


@pytest.mark.parametrize("view", [SHAPING, CROWDED, ALARM], ids=["shaping", "crowded", "alarm"])
def test_they_are_whole_on_the_smallest_screen_whatever_else_there_is(view: ChairView) -> None:
    text = flat(page(with_sums(view, NEEDLE)))
    assert f"= {NEEDLE}" in text


@pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)
def test_however_many_there_are_the_page_keeps_its_size(view: ChairView) -> None:
    for rows in range(24):
        page(with_sums(view, *["one row"] * rows))


def test_two_long_ones_and_the_question_go_before_remarks_and_log() -> None:
    bare = replace(SHAPING, prompt=replace(SHAPING.prompt, choices=()))
    text = flat(page(with_sums(bare, COMPARED, NEEDLE)))
    assert f"= {COMPARED} = {NEEDLE} {SHAPING.prompt.question}" in text


@pytest.mark.parametrize("size", SIZES)
def test_one_that_never_ends_leaves_the_question_and_the_line(size: tuple[int, int]) -> None:
    rows = page(with_sums(SHAPING, "word " * 400), size)
    assert "> 35/4-0_" in rows[-2]
    assert SHAPING.prompt.question.split()[0] in " ".join(rows)


FIVE = tuple(f"sum {number}" for number in range(1, 6))


SHORTLY = replace(SHAPING.prompt, question="Which file?", hint="a number", choices=(), sums=FIVE)


def painted(given: int) -> list[str]:
    """The rows of a question with five sums, a hint and what comes then, below its title."""
    block = question_block(SHORTLY, 60, Look(DARK), rank=1)
    rows = [row.text.removeprefix("▌ ").rstrip() for row in block.paint(given)]
    assert len(rows) == given
    return rows[1:]


def test_sums_are_cut_with_a_mark_down_to_three_rows_then_the_hints_then_the_rest() -> None:
    whole = painted(9)
    assert whole[:5] == [f"= {one}" for one in FIVE]
    assert whole[5:] == ["Which file?", "a number", f"then {SHORTLY.then}"]
    for rows in (4, 3):
        cut = painted(rows + 4)
        assert cut[: rows - 1] == whole[: rows - 1]
        assert cut[rows - 1].startswith(f"= sum {rows} ")
        assert cut[rows - 1].endswith("…")
        assert cut[rows:] == whole[5:]
    assert painted(6) == [*painted(7)[:3], "Which file?", "a number"]
    assert painted(5) == [*painted(7)[:3], "Which file?"]
    assert painted(4)[0] == "= sum 1"
    assert painted(4)[1].endswith("…")
    assert painted(4)[2] == "Which file?"


def test_a_question_asks_for_three_rows_of_sums_and_all_that_is_not_sums() -> None:
    block = question_block(SHORTLY, 60, Look(DARK), rank=1)
    assert (block.least, block.fair, block.full) == (1 + 3 + 1 + 2, 9, 11)
    one = question_block(replace(SHORTLY, sums=FIVE[:1]), 60, Look(DARK), rank=1)
    assert one.least == one.fair == 5


@pytest.mark.parametrize("count", range(1, 15))
def test_choices_ask_for_no_more_rows_than_they_then_fill(count: int) -> None:
    for text in (
        "short",
        "a choice of some length",
        "a choice wider than half a row",
        "a choice that is as long as a whole row of the screen is",
    ):
        choices = tuple(Choice(str(number), f"{text} {number}") for number in range(1, count + 1))
        block = choice_block(choices, 54, Look(DARK), rank=2)
        assert len(block.paint(block.least)) == block.least


@pytest.mark.parametrize("count", [1, 3, 4])
@pytest.mark.parametrize("sums", [(NEEDLE,), (COMPARED, NEEDLE), (BOTH, COMPARED, NEEDLE)], ids=len)
def test_up_to_four_canals_stand_beside_sums(count: int, sums: tuple[str, ...]) -> None:
    canals = tuple(
        replace(SHAPING.canals[0], number=number, name=f"canal{number}", current=number == 1)
        for number in range(1, count + 1)
    )
    text = flat(page(with_sums(replace(SHAPING, canals=canals), *sums)))
    assert all(one.name in text for one in canals)
    assert SHAPING.prompt.question in text
    assert SHAPING.prompt.hint[:30] in text


def test_remarks_and_log_give_up_their_rows_to_sums() -> None:
    assert sum(LOG[-1].time in row for row in page(SHAPING)) == 1
    rows = page(with_sums(SHAPING, *["one row"] * 12))
    assert not any(LOG[-1].time in row or "ASK" in row for row in rows)
    assert sum("= one row" in row for row in rows) > 5


def test_what_a_terminal_would_obey_is_not_passed_on() -> None:
    assert not any("\x1b" in row for row in page(with_sums(SHAPING, "\x1b[2J\nhello")))
