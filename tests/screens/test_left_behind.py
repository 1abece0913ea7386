"""What stays on a terminal after the program was left: nothing of a patient, also without a second screen.

The emulator here has no second screen, as some terminals and some settings of those that share one have none: what the
program does not take off itself stays.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pyte
import pytest

from stepper.screens.app import ChairApp
from tests.samples import FOLDER
from tests.screens.test_app import settled, shown
from tests.session.locked import PIN, pins
from tests.session.stations import seated
from tests.terminal import Terminal

CTRL_Q = "\x11"
OPEN = f"2**{PIN}"
SECOND_SCREEN, GIVEN_BACK = b"\x1b[?1049h", b"\x1b[?1049l"
CLOCK = "2026-03-02T11:00:00+01:00/20"
OF_A_PATIENT = ("4711", "Shaping", "single canal", "central incisor", "35/", "40/4", "REPLAY")


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A data folder with a session in the middle of shaping, and a PIN."""
    chair = seated(tmp_path / "sessions", "shaping")
    chair.session.leave()
    pins(tmp_path / "pins.toml", {2: PIN})
    return tmp_path


@contextlib.contextmanager
def opened(data: Path, *program: str) -> Iterator[Terminal]:
    """A program at a terminal, with the session open and a line half typed."""
    with Terminal(["chair", "--dir", str(data)], env={"STEPPER_TEST_CLOCK": CLOCK}, program=program) as at:
        at.wait("Locked since")
        at.send(f"{OPEN}\r")
        at.wait("lock the screen")
        at.send("11\r")
        at.wait("Shaping")
        at.send("40/4")
        at.wait("> 40/4_")
        yield at


@pytest.fixture
def terminal(data: Path) -> Iterator[Terminal]:
    """The program itself."""
    with opened(data, sys.executable, "-m", "stepper") as at:
        yield at


def left(terminal: Terminal) -> list[str]:
    """What can be read after it was left: on the screen, and by scrolling back, also on terminals that keep more."""
    scrolled = pyte.HistoryScreen(80, 24, history=10_000, ratio=1.0)
    pyte.ByteStream(scrolled).feed(bytes(terminal.raw))
    back = ["".join(row[at].data for at in sorted(row)) for row in scrolled.history.top]
    before, _, shown = bytes(terminal.raw).partition(SECOND_SCREEN)
    rest = shown.rpartition(GIVEN_BACK)[2]
    assert b"\x1b[2J" not in shown, "some terminals keep for scrolling back what is cleared at once"
    return [*scrolled.display, *back, before.decode(), rest.decode()]


def nothing_of_a_patient(terminal: Terminal) -> None:
    found = "\n".join(left(terminal))
    assert not [word for word in OF_A_PATIENT if word in found], found


def test_leaving_a_locked_screen_shows_nothing_and_the_next_start_is_locked(terminal: Terminal, data: Path) -> None:
    held = (data / "sessions").glob("*.jsonl")
    before = {path: path.read_bytes() for path in held}
    for _ in range(4):
        terminal.send("\x7f")
    terminal.send("/14\r")
    terminal.wait("Locked since")
    terminal.send("2**47")
    terminal.send(CTRL_Q)
    assert terminal.end() == 0
    nothing_of_a_patient(terminal)
    assert "Locked" not in terminal.text
    assert "2**47" not in "\n".join(left(terminal))
    for path, content in before.items():
        assert path.read_bytes().startswith(content), "nothing is lost"
    with Terminal(["chair", "--dir", str(data)], env={"STEPPER_TEST_CLOCK": CLOCK}) as again:
        again.wait("Locked since")
        again.send("1\r")
        again.wait("And the PIN?")
        assert not [word for word in OF_A_PATIENT if word in again.text]


def test_leaving_an_open_screen_leaves_nothing_either(terminal: Terminal) -> None:
    terminal.send(CTRL_Q)
    assert terminal.end() == 0
    nothing_of_a_patient(terminal)
    assert terminal.text.strip() in ("", "u"), "the emulator draws the end of a sequence that it does not know"


def test_nor_does_a_signal_that_ends_it(terminal: Terminal) -> None:
    os.kill(terminal.pid, signal.SIGTERM)
    assert terminal.end() == 128 + signal.SIGTERM
    nothing_of_a_patient(terminal)


def test_nor_does_a_fault_of_its_own(data: Path) -> None:
    with opened(data, sys.executable, "-m", "tests.screens.faulty") as at:
        at.send("\x7f" * 4 + "666")
        assert at.end() == 1
        nothing_of_a_patient(at)
        assert "a fault of its own" in at.words


async def test_what_is_painted_once_more_on_the_way_out_is_empty(tmp_path: Path) -> None:
    chair = seated(tmp_path, "shaping")
    app = ChairApp(chair.lobby, tmp_path)
    async with app.run_test() as pilot:
        await settled(pilot)
        assert "Shaping" in shown(app)
        app.end(0)
        assert not shown(app).strip()


def test_nor_stopping_it_for_a_while_and_then_it_stands_again(terminal: Terminal) -> None:
    os.kill(terminal.pid, signal.SIGTSTP)
    deadline = time.monotonic() + 10
    while GIVEN_BACK not in terminal.raw:
        terminal.read(0.05)
        assert time.monotonic() < deadline
    assert not [word for word in OF_A_PATIENT if word in terminal.text], terminal.text
    os.kill(terminal.pid, signal.SIGCONT)
    assert "40/4" in terminal.wait("Shaping")


def test_nor_does_a_replay_that_ends_by_its_menu(data: Path) -> None:
    path = FOLDER / "plain-single-canal.jsonl"
    with Terminal(["replay", str(path), "--dir", str(data)], env={"STEPPER_TEST_CLOCK": CLOCK}) as at:
        at.wait("REPLAY")
        at.key(["/", "5"])
        assert at.end() == 0
        nothing_of_a_patient(at)


def test_a_replay_on_another_folder_is_locked_by_the_pins_there(data: Path) -> None:
    (data / "practice.toml").write_text("lock_after_min = 1\n")
    path = FOLDER / "plain-single-canal.jsonl"
    with Terminal(["replay", str(path), "--dir", str(data)]) as at:
        at.wait("Locked since")
        at.send(f"{OPEN}\r")
        at.wait("REPLAY entry 0")
        at.send("5\r")
        at.wait("REPLAY entry 5")
        at.send("/14\r")
        at.wait("Locked since")
        assert "REPLAY" not in at.text
        at.send(f"{OPEN}\r")
        at.wait("REPLAY entry 5")
        at.send(CTRL_Q)
        assert at.end() == 0
