"""Keys through the whole app, as bursts: order, names, refusals, resize, rings, leaving, and a fault behind it."""

from __future__ import annotations

import itertools
import random
import stat
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot
from textual.strip import Strip

from stepper.screens.app import ChairApp
from stepper.screens.paper import Paper
from stepper.screens.shown import WHOLE_S
from stepper.session.view import ChairView, Tone
from tests.screens.desks import FakeDesk
from tests.screens.views import CROWDED, TIME_OUT


class CountingApp(ChairApp):
    rung = 0

    def bell(self) -> None:
        self.rung += 1


def app_with(desk: FakeDesk, folder: Path = Path("crash")) -> CountingApp:
    return CountingApp(desk, folder)


def shown(app: ChairApp) -> str:
    return app.query_one(Paper).text


def last_line(app: ChairApp) -> str:
    return shown(app).split("\n")[-2].strip()


SECONDS = itertools.count(1.0)
"""A person's rhythm: a second from key to key, so that no Enter is taken for a bounce."""

PLAIN = {"/": "slash", "*": "asterisk", "-": "minus", "+": "plus", ".": "full_stop", "]": "right_square_bracket"}
KITTY = {"/": "divide", "*": "multiply", "-": "subtract", "+": "add", ".": "decimal"}


def send(app: ChairApp, key: str, character: str | None = None, at: float | None = None) -> None:
    event = events.Key(key, character)
    if at is not None:
        event.time = at
    assert app._driver is not None
    app._driver.send_message(event)


def type_burst(app: ChairApp, text: str) -> None:
    """Send all keys at once: `\\n` is Enter, `<` Backspace."""
    for sign in text:
        named = {"\n": ("enter", "\r"), "<": ("backspace", "\x7f")}.get(sign, (PLAIN.get(sign, sign), sign))
        send(app, *named, at=next(SECONDS))


async def settled(pilot: Pilot[None]) -> None:
    await pilot.pause()


def entered_by(text: str) -> list[str]:
    """What a person means with such keys: the model to which the app is held."""
    lines, line = [], ""
    for sign in text:
        if sign == "\n":
            lines.append(line)
            line = ""
        else:
            line = line[:-1] if sign == "<" else line + sign
    return lines


async def test_random_bursts_are_entered_exactly_in_order() -> None:
    rng = random.Random(7)
    desk = FakeDesk()
    app = app_with(desk)
    wanted: list[str] = []
    async with app.run_test() as pilot:
        for _ in range(40):
            burst = "".join(rng.choice("0123456789/*-+.<<\n") for _ in range(15)) + "5\n"
            wanted += entered_by(burst)
            type_burst(app, burst)
        await settled(pilot)
        assert desk.entered == wanted
        assert desk.left == 0


async def test_two_lines_in_one_burst_are_two_lines_even_behind_a_slow_desk() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    slow = desk.enter

    def enter(line: str) -> None:
        import time

        time.sleep(0.1)
        slow(line)

    desk.enter = enter  # type: ignore[method-assign]
    async with app.run_test() as pilot:
        type_burst(app, "12<3\n34\n5")
        await settled(pilot)
        assert desk.entered == ["13", "34"]
        assert last_line(app) == "> 5_"
        assert "Logged: 34" in shown(app)


class QuickDesk(FakeDesk):
    """Answers at once that a line was logged; of the whole it says a step more."""

    def answer(self, before: ChairView) -> ChairView | None:
        return replace(before, saying=self.shown.saying, saying_tone=Tone.GOOD)

    def enter(self, line: str) -> None:
        super().enter(line)
        self.shown = replace(self.shown, title=f"after {line}")


async def test_the_answer_comes_first_and_the_whole_follows_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    app, painted, show = app_with(QuickDesk()), [], Paper.show

    def shows(paper: Paper, rows: Sequence[Strip]) -> None:
        show(paper, rows)
        painted.append(paper.text)

    async with app.run_test() as pilot:
        await pilot.pause()
        monkeypatch.setattr(Paper, "show", shows)
        type_burst(app, "12\n")
        await pilot.pause(4 * WHOLE_S)
    logged = [text for text in painted if "Logged: 12" in text]
    assert ["after 12" in text for text in logged] == [False, True]


async def test_a_line_behind_the_answer_is_not_lost_nor_is_its_whole() -> None:
    desk = QuickDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        type_burst(app, "1\n2\n3")
        await pilot.pause(4 * WHOLE_S)
        assert desk.entered == ["1", "2"]
        assert "Logged: 2" in shown(app)
        assert "after 2" in shown(app)
        assert last_line(app) == "> 3_"


async def test_keypads_of_kitty_terminals_and_tmux() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        for sign in "2*35/4-0.5+1":
            send(app, KITTY.get(sign, sign), None)
        send(app, "ctrl+j", "\n")
        await settled(pilot)
        assert desk.entered == ["2*35/4-0.5+1"]


async def test_num_lock_off_is_said_and_changes_nothing() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        type_burst(app, "12")
        send(app, "home")
        await settled(pilot)
        assert "Num Lock is off" in shown(app)
        assert last_line(app) == "> 12_"
        type_burst(app, "3\n")
        await settled(pilot)
        assert "Num Lock is off" not in shown(app)
        assert desk.entered == ["123"]
        assert desk.wishes == []


async def test_a_doubled_enter_is_one_and_a_later_one_takes_the_offer() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        send(app, "5", "5", at=1.0)
        for at in (1.1, 1.4):
            send(app, "enter", "\r", at=at)
        send(app, "enter", "\r", at=9.0)
        await settled(pilot)
        assert desk.entered == ["5", ""]


async def test_wishes_go_to_the_desk() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        for key, character in (("down", None), ("tab", "\t"), ("question_mark", "?"), ("left", None)):
            send(app, key, character)
        await settled(pilot)
        assert desk.wishes == ["down", "offer", "menu", "left"]
        assert desk.entered == []


async def test_an_arrow_that_moves_is_said_since_a_digit_may_have_been_meant() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        send(app, "down")
        await settled(pilot)
        told = " ".join(shown(app).split())
        assert f"{desk.shown.saying} That was an arrow key: if a digit was meant, Num Lock is off" in told
        send(app, "enter", "\r", at=9.0)
        await settled(pilot)
        assert "Enter was not taken" in shown(app)
        assert (desk.wishes, desk.entered) == (["down"], [])


async def test_the_half_typed_line_is_journalled_as_it_grows_and_offered_again() -> None:
    desk = FakeDesk(pending="35/")
    app = app_with(desk)
    async with app.run_test() as pilot:
        assert last_line(app) == "> 35/_"
        type_burst(app, "4-<")
        send(app, "escape", "\x1b")
        send(app, "num_lock")
        send(app, "home")
        await settled(pilot)
        assert desk.half_typed == ["35/4", "35/4-", "35/4", ""]
        assert last_line(app) == "> _"


async def test_resizing_keeps_the_line_and_fills_the_window() -> None:
    desk = FakeDesk(CROWDED)
    app = app_with(desk)
    async with app.run_test() as pilot:
        type_burst(app, "35/4-0")
        for size in ((120, 40), (60, 15), (200, 60), (80, 24)):
            await pilot.resize_terminal(*size)
            await settled(pilot)
            rows = shown(app).split("\n")
            assert len(rows) == size[1]
            assert any("35/4-0_" in row for row in rows[-2:])
        assert app.cursor_position == (rows[-2].index("_"), 22)


async def test_typing_paints_one_row_and_asks_for_no_layout() -> None:
    app = app_with(FakeDesk())
    async with app.run_test() as pilot:
        paper = app.query_one(Paper)
        asked: list[tuple[int, bool]] = []
        refresh = paper.refresh

        def watched(*regions, layout: bool = False, **rest) -> Paper:
            asked.append((sum(region.height for region in regions), layout))
            return refresh(*regions, layout=layout, **rest)

        paper.refresh = watched  # type: ignore[method-assign]
        type_burst(app, "12345")
        await settled(pilot)
        assert asked == [(1, False)] * 5


async def test_a_blind_question_is_covered_in_the_app_too() -> None:
    app = app_with(FakeDesk(TIME_OUT))
    async with app.run_test():
        assert "4711" not in shown(app)
        assert "45/.04" not in shown(app)
        assert "Patient number, read from the consent form?" in shown(app)


async def test_a_scan_keeps_its_separator_typed_or_pasted() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        type_burst(app, "]d21710")
        send(app, "ctrl+right_square_bracket", None)
        type_burst(app, "10AB\n")
        assert app._driver is not None
        app._driver.send_message(events.Paste("]d2\x1d11\n12\n3"))
        await settled(pilot)
        assert desk.entered == ["]d21710\x1d10AB", "]d2\x1d11", "12"]
        assert last_line(app) == "> 3_"


@pytest.mark.parametrize(("line", "rings"), [("5", 0), ("ring", 1), ("ring2", 2)])
async def test_rings_as_often_as_the_desk_says(line: str, rings: int) -> None:
    app = app_with(FakeDesk())
    async with app.run_test() as pilot:
        type_burst(app, f"{line}\n")
        await settled(pilot)
        await pilot.pause(0.5)
        assert app.rung == rings


async def test_the_clock_ticks_without_touching_the_rest() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        before = shown(app).split("\n")
        desk.time = replace(desk.time, now="14:32")
        app._tick()
        await settled(pilot)
        after = shown(app).split("\n")
        assert "14:32" in after[0]
        assert after[1:] == before[1:]


async def test_the_app_ends_when_it_is_over_and_takes_nothing_after() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        type_burst(app, "over\n7\n")
        await settled(pilot)
    assert app.return_code == 0
    assert desk.entered == ["over"]
    assert desk.left == 1


async def test_ctrl_q_leaves_with_the_line_journalled_and_ctrl_c_only_says_how() -> None:
    desk = FakeDesk()
    app = app_with(desk)
    async with app.run_test() as pilot:
        type_burst(app, "35/")
        send(app, "ctrl+c", "\x03")
        await settled(pilot)
        assert "Ctrl+Q leaves" in shown(app)
        send(app, "f2")
        await settled(pilot)
        assert "If it was / on the keypad" in " ".join(shown(app).split())
        send(app, "ctrl+q", "\x11")
        await settled(pilot)
    assert (app.return_code, desk.left, desk.half_typed[-1], desk.entered) == (0, 1, "35/", [])


async def test_a_fault_behind_the_screen_ends_in_one_line_and_a_private_file(tmp_path: Path) -> None:
    desk = FakeDesk()
    folder = tmp_path / "private"
    app = app_with(desk, folder)
    with pytest.raises(RuntimeError, match="a fault"):
        async with app.run_test() as pilot:
            type_burst(app, "boom\n7\n")
            await settled(pilot)
    assert app.return_code == 1
    assert desk.entered == ["boom"]
    (log,) = folder.iterdir()
    assert stat.S_IMODE(log.stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    trace = log.read_text()
    assert "RuntimeError: a fault" in trace
    assert "Invented Person" not in trace.replace('patient_name = "Invented Person"', "")
    assert app.last_line.count("\n") == 0
    assert app.last_line.endswith(f"Details: {log}")
    assert app._exit_renderables == []


async def test_no_color_still_shows_where_one_is(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = app_with(FakeDesk())
    async with app.run_test():
        strips = app.screen._compositor.render_strips()
        row = next(row for row in strips if "> Shaping" in row.text)
        segment = next(segment for segment in row if "Shaping" in segment.text)
        assert segment.style is not None
        assert segment.style.reverse
        colours = {part.style.color.triplet for part in row if part.style and part.style.color}
        assert all(colour is None or len(set(colour)) == 1 for colour in colours)
