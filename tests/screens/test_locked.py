"""The lock on the screen: what is typed there cannot be read, and nothing that stood there before it locked stays."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from stepper.lines.keys import MASK
from stepper.screens.app import ChairApp
from stepper.screens.paper import Paper
from tests.drive import Chair
from tests.screens.desks import FakeDesk
from tests.screens.test_app import app_with, last_line, send, settled, shown, type_burst
from tests.screens.views import CLOCKS, SHAPING
from tests.session.locked import PIN, locked, opened
from tests.session.stations import seated

SECRET = "2**86420975"


async def test_what_is_typed_at_the_locked_screen_is_never_painted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    painted: list[str] = []
    for name in ("show", "show_row"):
        real = getattr(Paper, name)

        def noted(self: Paper, *what: object, real: object = real) -> None:
            real(self, *what)  # type: ignore[operator]
            painted.append(self.text)

        monkeypatch.setattr(Paper, name, noted)
    at = locked(Chair(tmp_path), tmp_path)
    app = ChairApp(at.desk, tmp_path)
    async with app.run_test() as pilot:
        for sign in SECRET:
            type_burst(app, sign)
            await settled(pilot)
        assert last_line(app) == f"> {MASK * len(SECRET)}_"
        type_burst(app, "<")
        await settled(pilot)
        assert last_line(app) == f"> {MASK * (len(SECRET) - 1)}_"
        await pilot.resize_terminal(60, 20)
        await settled(pilot)
        type_burst(app, "5\n")
        await settled(pilot)
        assert len(painted) > len(SECRET)
        assert not [text for text in painted if "8642" in text or "2**" in text.replace("7**90210", "")]


async def test_a_key_that_is_refused_does_not_tell_the_line(tmp_path: Path) -> None:
    app = ChairApp(locked(Chair(tmp_path), tmp_path).desk, tmp_path)
    async with app.run_test() as pilot:
        type_burst(app, SECRET)
        send(app, "left_shift")
        send(app, "home", None)
        send(app, "f5", None)
        await settled(pilot)
        assert "8642" not in shown(app)
        app._keys._incomplete = True
        type_burst(app, "\n")
        await settled(pilot)
        assert "not entered, since not all of it was taken" in shown(app)
        assert "8642" not in shown(app)


async def test_the_tick_shows_the_lock_and_takes_the_half_typed_line_off_until_it_is_open(tmp_path: Path) -> None:
    at = opened(seated(tmp_path / "visit", "shaping"), tmp_path)
    app = ChairApp(at.desk, tmp_path)
    async with app.run_test() as pilot:
        type_burst(app, "40/4")
        await settled(pilot)
        assert last_line(app) == "> 40/4_"
        at.chair.clock.advance(3600)
        app._tick()
        await settled(pilot)
        assert "Locked since" in shown(app)
        assert last_line(app) == "> _"
        assert "single canal" not in shown(app)
        type_burst(app, f"2**{PIN}\n")
        await settled(pilot)
        assert "Shaping" in shown(app)
        assert last_line(app) == "> 40/4_"
        type_burst(app, "-0\n")
        await settled(pilot)
        assert "40/.04" in shown(app)


async def test_it_locks_in_a_window_that_is_too_small_too(tmp_path: Path) -> None:
    at = opened(seated(tmp_path / "visit", "shaping"), tmp_path)
    app = ChairApp(at.desk, tmp_path)
    async with app.run_test() as pilot:
        await pilot.resize_terminal(60, 20)
        type_burst(app, "40/4")
        await settled(pilot)
        assert "40/4" in shown(app)
        at.chair.clock.advance(3600)
        app._tick()
        app._tick()
        await settled(pilot)
        assert "40/4" not in shown(app)


async def test_a_sentence_of_the_keyboard_that_repeats_a_line_goes_when_it_locks() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        type_burst(app, "40/4")
        app._keys._incomplete = True
        type_burst(app, "\n")
        await settled(pilot)
        assert "40/4" in shown(app)
        desk.shown = replace(SHAPING, masked=True, saying="")
        desk.time = replace(CLOCKS, locked=True)
        app._tick()
        await settled(pilot)
        assert "40/4: not entered" not in shown(app)


async def test_a_lock_that_falls_between_two_questions_is_shown_at_the_next_tick() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        await settled(pilot)
        asked, clocks = [], desk.clocks

        def clocks_once() -> object:
            if not asked:  # the view is asked for right after, or was right before
                desk.shown, desk.time = replace(SHAPING, masked=True), replace(CLOCKS, locked=True)
                asked.append(1)
                return CLOCKS
            return clocks()

        desk.clocks = clocks_once  # type: ignore[assignment, method-assign]
        app._ask()
        app._tick()
        assert app._shown.view.masked
        assert app._shown.clocks.locked


async def test_no_line_of_the_locked_screen_is_journalled(tmp_path: Path) -> None:
    at = opened(seated(tmp_path / "visit", "shaping"), tmp_path)
    app = ChairApp(at.desk, tmp_path)
    file = at.chair.path.with_suffix(".typed")
    async with app.run_test() as pilot:
        type_burst(app, "40/4")
        await settled(pilot)
        at.chair.clock.advance(3600)
        app._tick()
        type_burst(app, SECRET)
        await settled(pilot)
        assert file.read_text() == "40/4"
