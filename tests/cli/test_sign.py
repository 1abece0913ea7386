"""`stepper key` and `stepper sign` on a terminal: what is asked, what is refused, and that nothing is half done."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from stepper.cli.main import main
from stepper.record.clock import SystemClock
from stepper.record.journal import Journal
from stepper.record.keys import LIST, read_keys
from stepper.record.places import SECRETS
from tests.cli.typing_in import Answer, called
from tests.session.test_signing import WORDS, closed, lines_of, worth
from tests.terminal import Terminal

Run = Callable[..., int]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Run:
    """Run a command as at a terminal; `typed` are the answers to its questions, and none may be left over."""

    def go(*arguments: str, typed: tuple[Answer, ...] = ()) -> int:
        return called(monkeypatch, [*arguments, "--dir", str(tmp_path)], typed)

    return go


def make_key(run: Run) -> int:
    return run("key", "--person", "1", "--initials", "AB", typed=(WORDS, WORDS))


def test_a_key_is_made_for_a_person_of_the_practice(
    run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert make_key(run) == 0
    key = read_keys(tmp_path).of(1)
    assert key is not None and key.initials == "AB"
    out, err = capsys.readouterr()
    assert key.id in out and err == "" and WORDS not in out


@pytest.mark.parametrize(
    ("arguments", "typed", "said"),
    [
        (
            ("--person", "77", "--initials", "AB"),
            (),
            "--person 77: nobody in practice.toml has this number; 1, 2, 3 are allowed.",
        ),
        (("--person", "1", "--initials", ""), (), "--initials '': 1 to 8 signs are allowed."),
        (("--person", "1", "--initials", "x" * 9), (), "1 to 8 signs are allowed."),
        (("--person", "1", "--initials", "a\x1bb"), (), "1 to 8 signs are allowed."),
        (("--person", "1", "--initials", "AB"), ("short",), "has at least 8 characters; no key was made."),
        (("--person", "1", "--initials", "AB"), (WORDS, WORDS + "x"), "The two are not the same; no key was made."),
        (("--person", "1", "--initials", "AB"), (EOFError,), "Left; nothing was changed."),
        (("--person", "1", "--initials", "AB"), (WORDS, KeyboardInterrupt), "Left; nothing was changed."),
    ],
)
def test_a_key_is_refused_in_one_sentence(
    run: Run,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
    typed: tuple[str | type[BaseException], ...],
    said: str,
) -> None:
    assert run("key", *arguments, typed=typed) == 2
    out, err = capsys.readouterr()
    assert said in err and out == ""
    assert not (tmp_path / LIST).exists() and not (tmp_path / SECRETS).exists()


def test_the_note_is_read_and_the_session_signed(run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = closed(tmp_path)
    make_key(run)
    capsys.readouterr()
    assert run("sign", str(path), "--person", "1", typed=("yes", WORDS)) == 0
    out, err = capsys.readouterr()
    assert "NOTE OF A ROOT CANAL VISIT" in out
    assert out.index("A record-keeping aid") < out.index("What a root canal record should hold\nThe list: from memory;")
    assert out.index("What a root canal record should hold") < out.index("I have read this record and confirm it")
    assert "I have read this record and confirm it" in out
    assert "Nothing more can be entered." in out and err == ""
    assert worth(path, tmp_path).holds


def test_stops_that_stand_are_read_and_said_yes_to_or_nothing_is_signed(
    run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = closed(tmp_path)
    make_key(run)
    cone = next(one for one in reversed(lines_of(path)) if one["kind"] == "answer" and "cone" in one["values"])
    wrong = {**cone["values"]["cone"], "size": cone["values"]["cone"]["size"] + 5}
    journal = Journal.resume(path, SystemClock()).journal
    journal.append("correction", {"of": cone["seq"], "how": "keyed_wrong", "values": {"cone": wrong}}, 2)
    journal.close()
    before = path.read_bytes()
    capsys.readouterr()
    assert run("sign", str(path), "--person", "1", typed=("no",)) == 2
    out, err = capsys.readouterr()
    assert "Stops that stand, and are signed as they stand:\n  " in out
    assert "does not go with master apical file" in out.split("Stops that stand")[1]
    assert err == "stepper: They were not confirmed; nothing was signed.\n"
    assert path.read_bytes() == before
    assert run("sign", str(path), "--person", "1", typed=("yes", "yes", "yes", WORDS)) == 0
    assert worth(path, tmp_path).holds


def test_who_has_no_key_or_a_wrong_passphrase_signs_nothing(
    run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = closed(tmp_path)
    before = path.read_bytes()
    assert run("sign", str(path), "--person", "1") == 2
    assert "--person 1: has no key; stepper key makes one." in capsys.readouterr().err
    make_key(run)
    assert run("sign", str(path), "--person", "1", typed=("yes", "not the passphrase")) == 2
    assert "This is not the passphrase of person 1; nothing was signed." in capsys.readouterr().err
    assert run("sign", str(path), "--person", "1", typed=("yes", KeyboardInterrupt)) == 2
    assert run("sign", str(path), "--person", "1", typed=("y",)) == 2
    assert "They were not confirmed; nothing was signed." in capsys.readouterr().err
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "command", [["key", "--person", "1", "--initials", "AB"], ["sign", "x.jsonl", "--person", "1"]]
)
def test_without_a_terminal_nothing_is_asked(
    command: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("yes\n" + WORDS + "\n"))
    assert main(command) == 2
    assert "asks on a terminal; there is none here." in capsys.readouterr().err


def test_through_the_real_terminal_the_passphrase_never_shows(tmp_path: Path) -> None:
    path = closed(tmp_path)
    with Terminal(["key", "--person", "1", "--initials", "AB", "--dir", str(tmp_path)]) as terminal:
        for asked in ("Passphrase:", "The same again:"):
            terminal.wait(asked)
            terminal.send(f"{WORDS}\r")
        assert terminal.end() == 0
        assert WORDS not in terminal.raw.decode()
    with Terminal(["sign", str(path), "--person", "1", "--dir", str(tmp_path)], rows=60) as terminal:
        terminal.wait("Type yes to confirm them:")
        terminal.send("yes\r")
        terminal.wait("Passphrase:")
        terminal.send(f"{WORDS}\r")
        terminal.wait("Nothing more can be entered.")
        assert terminal.end() == 0
        assert WORDS not in terminal.raw.decode()
    assert worth(path, tmp_path).holds
