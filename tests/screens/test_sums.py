"""The rows of what is reckoned: above the question, whole where they have room, kept before what has been."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stepper.screens.page import page_rows
from stepper.screens.palette import DARK, Look
from stepper.session.view import ChairView
from tests.screens.views import ALARM, CLOCKS, CROWDED, SHAPING, VIEWS
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


def test_what_a_terminal_would_obey_is_not_passed_on() -> None:
    assert not any("\x1b" in row for row in page(with_sums(SHAPING, "\x1b[2J\nhello")))
