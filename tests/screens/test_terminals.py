"""The real program on every kind of terminal: its keypad, its colours, its signs, its size, and when it goes away."""

from __future__ import annotations

import itertools
import json
import os
import random
import re
import shutil
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.terminal import Terminal

OPENED = ["1", "4711", "36", "1", "2", "1"]
"""From the start screen into a new session, at its first question."""

FIRST = "What brings the patient"


def logged(folder: Path) -> list[dict[str, object]]:
    (path,) = (folder / "sessions").glob("*.jsonl")
    return [json.loads(line) for line in path.read_bytes().splitlines()]


def answers(folder: Path) -> list[dict[str, object]]:
    return [entry for entry in logged(folder) if entry["kind"] == "answer"]


def at(folder: Path, *, env: dict[str, str] | None = None, **more: object) -> Terminal:
    """Start the chair on a folder, whatever the terminal, and wait for its start screen."""
    environment = {"STEPPER_TEST_CLOCK": "2026-03-02T09:00:00+01:00/20", **(env or {})}
    terminal = Terminal(["chair", "--dir", str(folder)], env=environment, **more)  # type: ignore[arg-type]
    terminal.wait("new session")
    return terminal


def opened(folder: Path, *, env: dict[str, str] | None = None, **more: object) -> Terminal:
    """Start, and open a new session."""
    terminal = at(folder, env=env, **more)
    terminal.key(OPENED)
    terminal.wait(FIRST)
    return terminal


class Sane:
    """Whether a terminal is as it was before the program."""

    def __init__(self, terminal: Terminal, before: list[object]) -> None:
        self.terminal = terminal
        self.before = before

    def check(self) -> None:
        raw = bytes(self.terminal.raw)
        assert self.terminal.modes == self.before
        assert raw.rfind(b"\x1b[?1049l") > raw.rfind(b"\x1b[?1049h")
        assert raw.rfind(b"\x1b[?25h") > raw.rfind(b"\x1b[?25l")
        assert raw.rfind(b"\x1b[<u") > raw.rfind(b"\x1b[>25u")
        assert raw.rfind(b"\x1b[?2004l") > raw.rfind(b"\x1b[?2004h")


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


@pytest.mark.parametrize("keypad", KEYPADS.values(), ids=KEYPADS)
def test_every_keypad_types_the_same(tmp_path: Path, keypad: dict[str, str]) -> None:
    with at(tmp_path) as terminal:
        for line in OPENED:
            terminal.send("".join(keypad.get(sign, sign) for sign in line) + keypad["enter"])
            terminal.quiet(0.05)
        terminal.wait(FIRST)
        terminal.send("".join(keypad.get(sign, sign) for sign in "0123456789.+-*/"))
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
        for line in OPENED:
            terminal.send("".join(keypad.get(sign, sign) for sign in line) + keypad["enter"])
            terminal.quiet(0.05)
        terminal.wait(FIRST)
        terminal.send("".join(keypad.get(sign, sign) for sign in "35/4-0**2+3.5"))
        terminal.wait("> 35/4-0**2+3.5_")
        terminal.send("\x11")
        assert terminal.end() == 0
    assert logged(folder)[0]["patient"] == "4711"


# --- keys of a full keyboard that end, stop or freeze other programs --------------------------------------------------


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("\x03", "Ctrl+C does nothing here. Ctrl+Q leaves"),
        ("\x1a", "Ctrl+Z does nothing here"),
        ("\x13", "The key ctrl+s means nothing here; nothing was changed"),
        ("\x04", "The key ctrl+d means nothing here; nothing was changed"),
        ("\x1c", "The key ctrl+backslash means nothing here; nothing was changed"),
    ],
    ids=["C", "Z", "S", "D", "backslash"],
)
def test_a_key_that_ends_other_programs_is_answered_in_words(tmp_path: Path, code: str, said: str) -> None:
    with opened(tmp_path) as terminal:
        terminal.send(code)
        terminal.wait(lambda text: said in " ".join(text.split()))
        terminal.send("12")
        terminal.wait("> 12_")


def test_such_keys_do_no_harm_while_the_program_is_still_loading(tmp_path: Path) -> None:
    terminal = Terminal(["chair", "--dir", str(tmp_path)], env={"STEPPER_TEST_CLOCK": "2026-03-02T09:00:00+01:00/20"})
    with terminal:
        end = time.monotonic() + 20
        while terminal.modes[3] & 0o10:  # type: ignore[operator]  # until it no longer echoes
            assert time.monotonic() < end
        terminal.send("\x13\x1a\x03\x1c47")
        terminal.wait("> 47_")
        assert b"\x1b[?1049h" in terminal.raw


def test_ctrl_q_leaves_and_the_half_typed_line_is_offered_again(tmp_path: Path) -> None:
    with opened(tmp_path) as terminal:
        terminal.send("5**1\x11")
        assert terminal.end() == 0
    with at(tmp_path) as terminal:
        terminal.key(["11"])
        terminal.wait("> 5**1_")
    assert answers(tmp_path) == []


def state(terminal: Terminal) -> str:
    return Path(f"/proc/{terminal.pid}/stat").read_text().rsplit(")", 1)[1].split()[0]


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="a stopped program is told by /proc")
def test_stopped_from_outside_it_gives_the_terminal_back_and_goes_on_where_it_was(tmp_path: Path) -> None:
    before_any = Terminal(["--version"])
    before_any.end()
    with opened(tmp_path) as terminal:
        terminal.send("5**")
        terminal.wait("> 5**_")
        os.kill(terminal.pid, signal.SIGTSTP)
        end = time.monotonic() + 20
        while state(terminal) != "T":
            terminal.read(0.05)
            assert time.monotonic() < end
        terminal.quiet()
        Sane(terminal, before_any.modes).check()
        os.kill(terminal.pid, signal.SIGCONT)
        terminal.wait(FIRST)
        terminal.send("1")
        terminal.wait("> 5**1_")
        assert terminal.raw.rfind(b"\x1b[?2004l") > terminal.raw.rfind(b"\x1b[?2004h")
    before_any.kill()


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="threads are counted in /proc")
def test_halted_without_being_asked_it_has_still_one_reader_of_keys(tmp_path: Path) -> None:
    with opened(tmp_path) as terminal:
        threads = len(list(Path(f"/proc/{terminal.pid}/task").iterdir()))
        for _ in range(3):
            os.kill(terminal.pid, signal.SIGSTOP)
            os.kill(terminal.pid, signal.SIGCONT)
            terminal.quiet(0.3)
        assert len(list(Path(f"/proc/{terminal.pid}/task").iterdir())) == threads
        digits = "".join(random.Random(5).choices("0123456789", k=200))
        terminal.send(digits)
        terminal.wait(lambda text: digits[-40:] in text)


# --- size -------------------------------------------------------------------------------------------------------------


def test_thirty_keys_during_thirty_resizes_are_all_there(tmp_path: Path) -> None:
    sizes = [(120, 40), (60, 15), (200, 60), (79, 24), (80, 24), (10, 3), (100, 30)]
    typed = "".join(random.Random(3).choices("0123456789+*", k=30))
    with opened(tmp_path) as terminal:
        for index, sign in enumerate(typed):
            terminal.send(sign)
            terminal.resize(*sizes[index % len(sizes)])
            terminal.read(0.01)
        terminal.resize(80, 24)
        terminal.wait(f"> {typed}_")
        terminal.wait(FIRST)
        terminal.send("..\r")
        terminal.wait("> _")
    assert answers(tmp_path) == []


def test_a_window_made_too_small_says_so_and_takes_lines_all_the_same(tmp_path: Path) -> None:
    with opened(tmp_path) as terminal:
        terminal.send("5")
        terminal.resize(60, 15)
        terminal.wait("80 x 24 are needed")
        assert terminal.line == "5"
        terminal.send("\r")
        terminal.wait("> _")
        terminal.resize(80, 24)
        terminal.wait("Logged")
    assert len(answers(tmp_path)) == 1


# --- gone -------------------------------------------------------------------------------------------------------------


def gone_within(terminal: Terminal, seconds: float) -> int | None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        pid, status = os.waitpid(terminal.pid, os.WNOHANG)
        if pid:
            terminal.status = os.waitstatus_to_exitcode(status)
            return terminal.status
        time.sleep(0.05)
    return None


def closed(terminal: Terminal) -> int | None:
    """Close the terminal and give the exit code of the program."""
    os.close(terminal.master)
    terminal.master = -1
    return gone_within(terminal, 20)


def test_a_closed_terminal_ends_it_with_everything_on_disk(tmp_path: Path) -> None:
    with opened(tmp_path) as terminal:
        terminal.key(["5"])
        terminal.wait("Logged")
        terminal.send("1**")
        terminal.wait("> 1**_")
        assert closed(terminal) == 129
    assert len(answers(tmp_path)) == 1
    with at(tmp_path) as terminal:
        terminal.key(["11"])
        terminal.wait("> 1**_")


def stalled(terminal: Terminal, folder: Path) -> list[dict[str, object]]:
    """Type without reading what the program writes, until it gets no further; give what is on disk then.

    The lines are an incident and its taking back, again and again: one entry each, and a screen painted anew.
    """
    on_disk, since = logged(folder), 0
    for line in itertools.cycle(("//", "0")):
        terminal.send(f"{line}\r")
        time.sleep(0.05)
        before, on_disk = on_disk, logged(folder)
        since = 0 if len(on_disk) > len(before) else since + 1
        if since == 20:
            break
        assert len(on_disk) < 1_000, "it never stood still: there is nothing to see here"
    return on_disk


def test_a_terminal_that_stops_reading_never_shows_more_than_is_on_disk(tmp_path: Path) -> None:
    with opened(tmp_path) as terminal:
        before, shown = stalled(terminal, tmp_path), 0
        end = time.monotonic() + 60
        while len(now := logged(tmp_path)) < len(before) + 20:  # what was typed meanwhile is taken, too
            terminal.read(0.02)
            shown = max([shown, *(int(found) for found in re.findall(r"(\d+) \d\d:\d\d  ", terminal.text))])
            assert shown <= len(logged(tmp_path))
            assert time.monotonic() < end
        assert now[: len(before)] == before
        assert shown >= 4


def test_a_terminal_that_stops_reading_and_then_goes_ends_it(tmp_path: Path) -> None:
    with opened(tmp_path) as terminal:
        before = stalled(terminal, tmp_path)
        assert closed(terminal) == 129
    assert logged(tmp_path)[: len(before)] == before


def test_a_fault_in_what_paints_ends_in_one_line_and_loses_nothing(tmp_path: Path) -> None:
    before_any = Terminal(["--version"])
    before_any.end()
    with opened(tmp_path, program=(sys.executable, "-m", "tests.screens.faulty")) as terminal:
        terminal.key(["5"])
        terminal.wait("Logged")
        terminal.send("666")
        assert terminal.end() == 1
        Sane(terminal, before_any.modes).check()
        said = bytes(terminal.raw).rpartition(b"\x1b[?1049l")[2].decode()
        assert "stepper stopped by a fault of its own" in said
        assert said.count("\n") == 1
        assert b"Traceback" not in terminal.raw
        assert b"Invented Person" not in terminal.raw
    before_any.kill()
    (log,) = tmp_path.glob("crash-*.log")
    assert log.stat().st_mode & 0o777 == 0o600
    assert "4711" not in log.read_text()
    assert len(answers(tmp_path)) == 1
    with at(tmp_path) as again:
        again.key(["11"])
        again.wait("> 666_")
