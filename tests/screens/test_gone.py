"""Nothing lost by accident: keys that end other programs, stopped, resized, stalled, gone, a fault in what paints."""

from __future__ import annotations

import itertools
import os
import random
import re
import signal
import sys
import termios
import time
from pathlib import Path

import pytest

from tests.screens.keyed import FIRST, Sane, answers, at, logged, opened
from tests.terminal import Terminal

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
        while termios.tcgetattr(terminal.master)[3] & termios.ECHO:
            assert time.monotonic() < end
        assert b"\x1b" not in terminal.raw
        assert not termios.tcgetattr(terminal.master)[0] & termios.IXON
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
