"""The screen that stands before its desk is there: what is typed waits, and what is refused is said."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from textual import events

from stepper.screens.app import ChairApp
from stepper.screens.opening import REFUSED, NotOpened
from stepper.session.first import CAUTION, Threshold, theme_in
from tests.drive import Chair
from tests.screens.desks import FakeDesk
from tests.terminal import Terminal


def key(sign: str) -> events.Key:
    return events.Key("enter", "\r") if sign == "\r" else events.Key(sign, sign)


async def test_keys_typed_before_the_desk_is_there_come_to_it_in_their_order():
    desk, typed = FakeDesk(), list("12\r34\r5")
    app: ChairApp

    def then() -> FakeDesk:
        for sign in typed:  # as they come while it is loading
            app._driver.send_message(key(sign))
        return desk

    app = ChairApp(Threshold(practice=False), Path("crash"), then=then)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.pause()
        assert desk.entered == ["12", "34"]
        assert desk.half_typed[-1] == "5"
        assert desk.rows > 0, "it knows the size"


async def test_keys_that_come_before_it_is_asked_for_wait_too():
    desk = FakeDesk()
    app = ChairApp(Threshold(practice=False), Path("crash"), then=lambda: desk)
    for sign in "8\r":
        await app.on_event(key(sign))
    assert desk.entered == []
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert desk.entered == ["8"]


async def test_a_desk_that_cannot_be_opened_ends_it_with_its_sentence():
    def then() -> FakeDesk:
        raise NotOpened("stepper: the protocol is refused")

    app = ChairApp(Threshold(practice=False), Path("crash"), then=then)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
    assert (app.return_code, app.last_line) == (REFUSED, "stepper: the protocol is refused")


def test_a_refused_protocol_leaves_the_real_program_with_its_sentence(tmp_path: Path):
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 1\n", encoding="utf-8")
    with Terminal(["chair", "--dir", str(tmp_path), "--protocol", str(bad)]) as terminal:
        assert terminal.end() == REFUSED
        assert "stepper: the protocol is refused:" in terminal.text
        assert "bad.toml" in terminal.text
        assert b"\x1b[?1049l" in terminal.raw


def test_the_first_screen_is_the_start_screen_with_less_on_it(tmp_path: Path):
    first, whole = Threshold(practice=True).view(), Chair(tmp_path).lobby.view()
    assert set(first.prompt.choices) <= set(whole.prompt.choices)
    assert (first.saying, first.saying_tone) == (CAUTION, whole.saying_tone)
    bare = replace(whole.prompt, choices=first.prompt.choices, card=())
    assert replace(whole, prompt=bare, subtitle="") == first


def test_the_theme_is_told_without_loading_the_settings(tmp_path: Path):
    file = tmp_path / "practice.toml"
    assert theme_in(file) == "dark"
    for text, theme in (('theme = "light"', "light"), ('theme = "dark"', "dark"), ("theme = ", "dark"), ("", "dark")):
        file.write_text(text, encoding="utf-8")
        assert theme_in(file) == theme
