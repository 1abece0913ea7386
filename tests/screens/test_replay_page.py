"""Replay on the screen: the entry it is at is marked, pages of text fill the width, and Enter may be quick."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from stepper.screens.page import page_rows
from stepper.screens.page_size import LEAST_HEIGHT, text_height
from stepper.screens.palette import DARK, Look
from stepper.session.pages import LEAST_ROWS
from stepper.session.replay import open_replay
from stepper.session.view import ChairView, Page
from tests.samples import FOLDER
from tests.screens.desks import FakeDesk
from tests.screens.test_app import app_with, send, settled, shown
from tests.screens.views import CLOCKS, SHAPING
from tests.session.test_replay import five_canals

LOOK = Look(DARK)
SIZES = [(80, 24), (100, 30), (120, 40), (200, 60)]
LOG = (*SHAPING.log[:-1], replace(SHAPING.log[-1], current=True))
PAST = replace(SHAPING, title="REPLAY entry 42 of 60", log=LOG, banner="PRACTICE", read_only=True)
NOTE = Page("The note as it stood at entry 42", tuple(f"{row:<79}|" for row in range(1, 19)), 2, 7)


def page(view: ChairView, size: tuple[int, int] = (80, 24)) -> str:
    rows = page_rows(view, CLOCKS, "", None, size, LOOK)
    assert len(rows) == size[1]
    assert {row.cell_length for row in rows} == {size[0]}
    return "\n".join(row.text for row in rows)


def test_the_entry_one_is_at_is_marked_by_a_sign_and_the_others_stay_in_line() -> None:
    rows = page(PAST).split("\n")
    marked = next(row for row in rows if " 42 14:29" in row)
    before = next(row for row in rows if " 41 14:27" in row)
    assert ">  42 14:29" in marked
    assert marked.index("14:29") == before.index("14:27")
    assert sum(">  4" in row for row in rows) == 1
    assert ">  42" not in page(replace(PAST, log=SHAPING.log))


@pytest.mark.parametrize("size", SIZES)
def test_a_page_of_text_fills_the_width_between_header_and_line(size: tuple[int, int]) -> None:
    rows = page(replace(PAST, page=NOTE, saying="This is the last page; " * 20), size).split("\n")
    assert rows[0].startswith(" REPLAY entry 42 of 60")
    assert "PRACTICE" in rows[1]
    assert rows[2].startswith(" The note as it stood at entry 42")
    assert rows[2].rstrip().endswith("page 2 of 7")
    assert [row[:80] for row in rows[3:21]] == list(NOTE.rows)
    assert rows[-3].strip().startswith("This is the last page")
    assert rows[-2].strip() == "> _"


def test_the_rows_of_a_page_are_what_the_screen_has_room_for() -> None:
    assert text_height(LEAST_HEIGHT) == LEAST_ROWS == 18
    for height in (24, 30, 40, 60):
        text = replace(NOTE, rows=tuple(f"row {row}." for row in range(text_height(height))))
        assert f"row {text_height(height) - 1}." in page(replace(PAST, page=text), (80, height))
    assert text_height(3) == 1


def test_rows_that_a_terminal_would_obey_are_spelt_out() -> None:
    odd = ("\x1b[31mred", "a\tb", "漢字" * 60, "[bold]x[/]")
    text = page(replace(PAST, page=replace(NOTE, rows=odd)))
    assert "\x1b" not in text
    assert "[bold]x[/]" in text


def test_without_steps_the_whole_width_is_the_list_s() -> None:
    wide = replace(SHAPING.prompt, choices=(replace(SHAPING.prompt.choices[0], text="w" * 70),))
    view = replace(SHAPING, canals=(), remarks=(), log=(), readback="", prompt=wide)
    assert "w" * 70 in page(replace(view, steps=()))
    assert "w" * 70 not in page(view)


def test_five_canals_their_entry_and_its_remark_stand_on_the_least_screen(tmp_path: Path) -> None:
    replay = open_replay(five_canals(tmp_path / "sessions"))
    came_up = 0
    for seq in range(int(replay.view().title.split()[4]) + 1):
        replay.enter(str(seq))
        view, text = replay.view(), page(replay.view())
        rows = text.split("\n")
        names = {canal.name: next(row for row in rows if f" {canal.name} " in row) for canal in view.canals}
        assert len({rows.index(row) for row in names.values()}) == len(view.canals)
        assert f"▌ Entry {seq} " in text or f"▌ Entry {seq}\n" in text.replace(" \n", "\n")
        told = " ".join(" ".join(row[26:] for row in rows).split())
        assert view.prompt.hint in told
        if any("came up here" in remark.standing for remark in view.remarks):
            came_up += 1
            assert "came up here" in told
    assert came_up >= 4
    assert len(view.canals) == 5


def test_an_entry_of_many_words_is_told_whole() -> None:
    words = " ".join(f"word{number}" for number in range(50))
    view = replace(PAST, prompt=replace(PAST.prompt, question=words, choices=()))
    assert all(f"word{number}" in page(view) for number in range(50))


async def test_the_desk_is_told_how_high_a_page_may_be_and_asked_anew() -> None:
    desk = FakeDesk(replace(PAST, page=NOTE))
    app = app_with(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert desk.rows == 18
        desk.shown = replace(desk.shown, page=replace(NOTE, number=1, of=4))
        await pilot.resize_terminal(120, 40)
        await settled(pilot)
        assert desk.rows == 34
        assert "page 1 of 4" in shown(app)


async def test_where_nothing_is_logged_a_quick_enter_is_no_bounce() -> None:
    desk = FakeDesk(PAST)
    app = app_with(desk)
    async with app.run_test() as pilot:
        for at in (1.0, 1.1, 1.2, 1.3):
            send(app, "enter", "\r", at=at)
        await settled(pilot)
        assert desk.entered == [""] * 4
        desk.shown = replace(desk.shown, read_only=False)
        send(app, "enter", "\r", at=1.4)
        await settled(pilot)
        send(app, "enter", "\r", at=1.5)
        await settled(pilot)
        assert desk.entered == [""] * 5


async def test_replay_is_walked_and_left_through_the_app(tmp_path: Path) -> None:
    replay = open_replay(FOLDER / "wrong-cone-caught.jsonl")
    app = app_with(replay, tmp_path)  # type: ignore[arg-type]
    async with app.run_test(size=(80, 24)) as pilot:
        for key in ("right", "down", "enter", "left"):
            send(app, key)
        await settled(pilot)
        assert shown(app).startswith(" REPLAY entry 2 of 65")
        send(app, "asterisk", "*")
        send(app, "enter")
        await settled(pilot)
        assert "[2]" in shown(app)
        assert "The note as it stood at entry 2 " in shown(app)
        await pilot.resize_terminal(120, 40)
        send(app, "question_mark", "?")
        await settled(pilot)
        assert "leave the replay" in shown(app)
        assert app.rung == 0
        send(app, "5", "5")
        send(app, "enter")
        await settled(pilot)
    assert app.return_code == 0
    assert list(tmp_path.iterdir()) == []
