"""The lessons on the screen: whole at 80x24 beside question and choices; what to key can be told without colour."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from rich.style import Style
from textual.strip import Strip

from stepper.lines.marked import lines_to_key, pieces
from stepper.screens.coach import coach_rows
from stepper.screens.page import page_rows
from stepper.screens.palette import DARK, LIGHT, Look, Palette
from stepper.session.view import ChairView
from tests.drive import Chair
from tests.session.learning import begun, learn, number, told

SIZES = [(80, 24), (100, 30), (200, 60)]


def texts(rows: list[Strip]) -> list[str]:
    return [row.text for row in rows]


def reversed_texts(rows: list[Strip]) -> list[str]:
    """What is shown in reverse, cell by cell joined."""
    return [
        segment.text.strip() for row in rows for segment in row if (segment.style or Style()).reverse and segment.text
    ]


def words(text: str) -> str:
    """The text without blanks: a line to key is set off by some, and rows end where they end."""
    return "".join(text.split())


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[ChairView, Chair]]:
    """Every view on the way through the practice tooth."""
    folder: Path = tmp_path_factory.mktemp("practice")
    chair, found = begun(folder), []
    while chair.lobby.session is not None:
        for keys in told(chair.lobby.view()):
            found.append((chair.lobby.view(), chair))
            chair.key(keys)
    return found


def test_there_is_a_view_for_every_line(shown: list[tuple[ChairView, Chair]]):
    assert {number(view) for view, _ in shown} == set(range(1, 30))
    assert any(view.covered for view, _ in shown) and any(view.band for view, _ in shown)


@pytest.mark.parametrize("size", SIZES)
def test_lesson_question_choices_and_line_are_whole(shown: list[tuple[ChairView, Chair]], size: tuple[int, int]):
    for view, chair in shown:
        rows = page_rows(view, chair.lobby.clocks(), "12*30/4-0", None, size, Look(DARK))
        seen = texts(rows)
        assert len(seen) == size[1] and {len(row) for row in seen} == {size[0]}
        whole = words("".join(seen))
        for sentence in view.coach:
            assert words("".join(text for text, _ in pieces(sentence))) in whole, (number(view), seen)
        column = words(" ".join(re.sub(r"^.*?[▌]", "", row) for row in seen if "▌" in row))
        assert words(view.prompt.question) in column, (number(view), seen)
        for choice in view.prompt.choices:
            assert f"{choice.number}  {choice.text}" in "\n".join(seen), (number(view), choice, seen)
        if view.prompt.offer:
            assert f"Enter  {view.prompt.offer}" in "\n".join(seen)
        assert seen[-2].strip() == "> 12*30/4-0_"


@pytest.mark.parametrize("palette", [DARK, LIGHT], ids=["dark", "light"])
def test_what_to_key_stands_in_reverse_and_nothing_else_of_the_lesson(
    shown: list[tuple[ChairView, Chair]], palette: Palette
):
    for view, _ in shown:
        rows = coach_rows(view.coach[:1], 80, Look(palette))
        assert len(rows) <= 2, "two rows are enough for a lesson"
        assert reversed_texts(rows) == [line or "Enter" for line in lines_to_key(view.coach[0])]
        assert {row.cell_length for row in rows} == {80}


def test_no_line_to_key_is_broken_over_two_rows():
    rows = coach_rows(("x" * 60 + " `12*30/4**-0**1**1`.",), 80, Look(DARK))
    assert texts(rows)[1].strip() == "12*30/4**-0**1**1 ."


def test_what_is_said_besides_is_quieter():
    first, second = coach_rows(("Key `1`", "Not what you wanted? 0 Enter goes back."), 80, Look(DARK))
    styles = [
        {(one.style or Style()).bold for one in row if one.text.strip().startswith(w)}
        for row, w in ((first, "Key"), (second, "Not"))
    ]
    assert styles == [{True}, {False}]


def test_a_page_of_text_has_its_rows_to_itself(tmp_path: Path):
    chair = begun(tmp_path)
    learn(chair, until=15)
    view = chair.key("/10")
    assert view.page is not None and view.coach
    seen = texts(page_rows(view, chair.lobby.clocks(), "", None, (80, 24), Look(DARK)))
    assert view.page.title in seen[2]
    assert not any(lines_to_key(view.coach[0])[0] in row for row in seen[:3])
