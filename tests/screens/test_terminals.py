"""The real program on every kind of terminal: its signs, its colours, its keypad."""

from __future__ import annotations

import os
import shutil
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.screens.keyed import FIRST, OPENED, answers, at, logged, opened
from tests.terminal import Terminal

# --- no UTF-8 ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "env",
    [
        {"LC_ALL": "C"},
        {"LC_ALL": "POSIX"},
        {"LC_ALL": "", "LANG": "C"},
        {"LC_ALL": "", "LANG": ""},
        {"LC_ALL": "", "LANG": "de_DE.ISO-8859-1"},
        {"PYTHONIOENCODING": "ascii"},
    ],
    ids=lambda env: " ".join(f"{name}={value}" for name, value in env.items()),
)
def test_without_utf8_only_ascii_is_sent(tmp_path: Path, env: dict[str, str]) -> None:
    with opened(tmp_path, env=env) as terminal:
        terminal.send("Pfähler 漢")
        terminal.wait("> Pfahler ??_")
        terminal.send("..\r")
        terminal.key(["/"])
        terminal.resize(120, 40)
        terminal.wait(lambda text: len(text.split("\n")) == 40 and "patient 4711" in text)
        os.kill(terminal.pid, signal.SIGTERM)
        assert terminal.end() == 143
        assert terminal.raw.isascii()


@pytest.mark.parametrize("env", [{"LC_ALL": "C.UTF-8"}, {"LC_ALL": "de_DE.utf8"}, {"LC_ALL": "", "LANG": "C.UTF-8"}])
def test_with_utf8_names_keep_their_letters(tmp_path: Path, env: dict[str, str]) -> None:
    with opened(tmp_path, env=env) as terminal:
        terminal.send("Pfähler")
        terminal.wait("> Pfähler_")
        assert "▌" in terminal.text


# --- colours ----------------------------------------------------------------------------------------------------------

COLOURS = {
    "16": {"TERM": "xterm"},
    "console": {"TERM": "linux"},
    "multiplexer": {"TERM": "screen"},
    "256": {"TERM": "xterm-256color"},
    "true": {"TERM": "xterm-256color", "COLORTERM": "truecolor"},
    "none": {"TERM": "xterm-256color", "NO_COLOR": "1"},
    "none of 16": {"TERM": "xterm", "NO_COLOR": "1"},
}


@pytest.fixture(scope="module")
def in_many_colours(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What the screen says on a terminal that has all the colours."""
    with refused(tmp_path_factory.mktemp("colours"), env=COLOURS["true"]) as terminal:
        return terminal.text


def refused(folder: Path, *, env: dict[str, str]) -> Terminal:
    """Open a session and have a line refused, so that the screen says something in the tone that asks."""
    terminal = opened(folder, env=env)
    terminal.key(["99/"])
    terminal.quiet()
    return terminal


@pytest.mark.parametrize("theme", ["dark", "light"])
@pytest.mark.parametrize("env", COLOURS.values(), ids=COLOURS)
def test_whatever_the_colours_every_word_and_sign_is_there_and_none_lost_in_its_ground(
    tmp_path: Path, env: dict[str, str], theme: str, in_many_colours: str
) -> None:
    (tmp_path / "practice.toml").write_text(f'theme = "{theme}"\n')
    with refused(tmp_path, env=env) as terminal:
        assert terminal.text == in_many_colours
        cells = [terminal.screen.buffer[y][x] for y in range(24) for x in range(80)]
        assert all(cell.fg != cell.bg for cell in cells if cell.data.strip())
        here = next(y for y, row in enumerate(terminal.screen.display) if " 1 . Diagnosis" in row)
        assert terminal.screen.buffer[here][5].reverse  # where one is; no colour can hide that
        assert not terminal.screen.buffer[here + 1][5].reverse


# --- keypads ----------------------------------------------------------------------------------------------------------

PLAIN = {"enter": "\r"}
APPLICATION = {
    **{str(digit): f"\x1bO{chr(ord('p') + digit)}" for digit in range(10)},
    **{"/": "\x1bOo", "*": "\x1bOj", "-": "\x1bOm", "+": "\x1bOk", ".": "\x1bOn", "enter": "\x1bOM"},
}
KITTY = {
    **{str(digit): f"\x1b[{57399 + digit};129u" for digit in range(10)},
    **{".": "\x1b[57409;129u", "/": "\x1b[57410;129u", "*": "\x1b[57411;129u", "-": "\x1b[57412;129u"},
    **{"+": "\x1b[57413;129u", "enter": "\x1b[57414;129u"},
}
KITTY_WITH_TEXT = {sign: code if sign == "enter" else f"{code[:-1]};{ord(sign)}u" for sign, code in KITTY.items()}
"""Keypads: plain, in application mode, under the kitty protocol (Num Lock is 128 of its modifiers) without and with
the text of a key. From memory, from the documents of the terminals; the key names were seen in tui.md's measurements.
"""

KEYPADS = {
    "plain": PLAIN,
    "a multiplexer's line feed": {"enter": "\n"},
    "application": APPLICATION,
    "kitty": KITTY,
    "kitty with text": KITTY_WITH_TEXT,
}


def typed(keypad: dict[str, str], line: str) -> str:
    """What a keypad sends for a line."""
    return "".join(keypad.get(sign, sign) for sign in line)


def open_by(keypad: dict[str, str], terminal: Terminal) -> None:
    """Open a session on a keypad."""
    for line in OPENED:
        terminal.send(typed(keypad, line) + keypad["enter"])
        terminal.quiet(0.05)
    terminal.wait(FIRST)


@pytest.mark.parametrize("keypad", KEYPADS.values(), ids=KEYPADS)
def test_every_keypad_types_the_same(tmp_path: Path, keypad: dict[str, str]) -> None:
    with at(tmp_path) as terminal:
        open_by(keypad, terminal)
        terminal.send(typed(keypad, "0123456789.+-*/"))
        terminal.wait("> 0123456789.+-*/_")
    assert logged(tmp_path)[0]["patient"] == "4711"


NUM_LOCK_OFF = {
    "plain": ["\x1b[2~", "\x1b[F", "\x1b[6~", "\x1b[E", "\x1b[H", "\x1b[5~", "\x1b[3~"],
    "application": ["\x1bOF", "\x1bOE", "\x1bOH"],
    "kitty": [f"\x1b[{code}u" for code in (57421, 57422, 57423, 57424, 57425, 57426, 57427)],
}


@pytest.mark.parametrize("codes", NUM_LOCK_OFF.values(), ids=NUM_LOCK_OFF)
@pytest.mark.parametrize("typed", ["", "12"])
def test_num_lock_off_is_said_and_nothing_is_typed(tmp_path: Path, codes: list[str], typed: str) -> None:
    with opened(tmp_path) as terminal:
        before = logged(tmp_path)
        for code in codes:
            terminal.send(typed)
            terminal.wait(f"> {typed}_")
            terminal.send(code)
            terminal.wait("Num Lock is off")
            assert terminal.line == typed
            terminal.send("\r")
            terminal.wait("Enter was not taken")
            terminal.send("\x1b")
            terminal.wait(lambda text: "> _" in text and "Enter was not taken" not in text)
        assert logged(tmp_path) == before


def test_an_arrow_says_what_it_was(tmp_path: Path) -> None:
    with opened(tmp_path) as terminal:
        terminal.send("\x1b[B")
        terminal.wait(lambda text: "if a digit was meant, Num Lock is off" in " ".join(text.split()))
        terminal.send("\r")
        terminal.wait("Enter was not taken")
    assert answers(tmp_path) == []


@pytest.mark.parametrize(
    "code", ["\x1b[57360u", "\x1b[57441u", "\x1b[57358u", "\x1b[57443u"], ids=["num", "shift", "caps", "alt"]
)
def test_a_lock_key_alone_does_nothing(tmp_path: Path, code: str) -> None:
    with opened(tmp_path) as terminal:
        terminal.send("12")
        terminal.wait("> 12_")
        terminal.quiet()
        before = terminal.text
        terminal.send(code)
        terminal.quiet()
        assert terminal.text == before


@pytest.mark.parametrize(("code", "meant"), [("\x1bOQ", "/"), ("\x1bOR", "*"), ("\x1bOS", "-"), ("\x1bOl", "+")])
def test_a_keypad_that_sends_function_keys_is_told_what_to_set(tmp_path: Path, code: str, meant: str) -> None:
    with opened(tmp_path) as terminal:
        terminal.send("12" + code)
        terminal.wait(lambda text: f"If it was {meant} on the keypad" in " ".join(text.split()))
        assert "application keypad mode" in terminal.words
        assert terminal.line == "12"


@pytest.fixture
def multiplexer(tmp_path: Path) -> Iterator[list[str]]:
    """The command of a multiplexer with a server of its own, ended afterwards."""
    if shutil.which("tmux") is None:
        pytest.skip("no tmux here")
    command = ["tmux", "-S", str(tmp_path / "socket"), "-f", os.devnull]
    yield command
    os.spawnvp(os.P_WAIT, "tmux", [*command, "kill-server"])


@pytest.mark.parametrize("keypad", [PLAIN, APPLICATION], ids=["plain", "application"])
def test_inside_a_multiplexer(tmp_path: Path, multiplexer: list[str], keypad: dict[str, str]) -> None:
    folder = tmp_path / "data"
    inner = [sys.executable, "-m", "stepper", "chair", "--dir", str(folder)]
    with Terminal(["new-session", *inner], rows=25, program=multiplexer) as terminal:
        terminal.wait("new session")
        open_by(keypad, terminal)
        terminal.send(typed(keypad, "35/4-0**2+3.5"))
        terminal.wait("> 35/4-0**2+3.5_")
        terminal.send("\x11")
        assert terminal.end() == 0
    assert logged(folder)[0]["patient"] == "4711"
