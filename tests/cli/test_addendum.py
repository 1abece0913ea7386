"""`stepper addendum` on a terminal: what is asked, what is refused, and that the signed file stays as it is."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest

from stepper.cli.main import main
from stepper.record.register import read_register
from tests.cli.test_sign import Run, make_key, run
from tests.cli.typing_in import Answer
from tests.session.test_signing import WORDS, closed, lines_of, worth
from tests.terminal import Terminal

__all__ = ["run"]

SAYS = "The patient rang: tender to bite for a day, then nothing."


@pytest.fixture
def path(run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A session signed by person 1 of the practice."""
    made = closed(tmp_path)
    assert make_key(run) == 0
    assert run("sign", str(made), "--person", "1", typed=("yes", WORDS)) == 0
    capsys.readouterr()
    return made


def behind(path: Path) -> Path:
    return path.with_name(f"{path.stem}.2.jsonl")


def test_a_paragraph_is_shown_back_added_and_signed(
    run: Run, path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = path.read_bytes()
    assert run("addendum", str(path), "--person", "1", typed=(f"  {SAYS} ", "yes")) == 0
    out, err = capsys.readouterr()
    signed = lines_of(path)[-1]["at"]
    assert out.startswith(f"Patient 60247, tooth 33: signed by Clinician 1 (AB) at {signed}.\n  {SAYS}\n")
    assert f"Added in {behind(path).name}. It is not signed yet: stepper sign {behind(path)} signs it." in out
    assert err == "" and path.read_bytes() == before
    last = lines_of(behind(path))[-1]
    assert (last["kind"], last["text"], last["said_by"], last["name"], last["by"]) == (
        "addendum",
        SAYS,
        1,
        "Clinician 1",
        1,
    )
    assert read_register(path.parent).sessions[behind(path).stem].entries == 2
    assert run("sign", str(behind(path)), "--person", "1", typed=(WORDS,)) == 0
    out = capsys.readouterr().out
    assert SAYS in " ".join(out.split()) and "NOT SIGNED: The addendum is not signed." in " ".join(out.split())
    assert worth(behind(path), tmp_path).holds and path.read_bytes() == before


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("",), "Nothing was typed; nothing was added."),
        (("   ",), "Nothing was typed; nothing was added."),
        ((EOFError,), "Left; nothing was changed."),
        ((SAYS, KeyboardInterrupt), "Left; nothing was changed."),
        ((SAYS, "y"), "It was not confirmed; nothing was added."),
        ((SAYS, ""), "It was not confirmed; nothing was added."),
        (("x" * 4001,), "The addendum has 4001 signs; at most 4000 are allowed. Nothing was added."),
        (("tender\x1b[2Jto bite",), "The addendum holds a sign that cannot be printed"),
        (("tender\udcff",), "The addendum holds a sign that cannot be printed"),
    ],
)
def test_what_is_not_typed_or_not_confirmed_is_not_added(
    run: Run, path: Path, capsys: pytest.CaptureFixture[str], typed: tuple[Answer, ...], said: str
) -> None:
    assert run("addendum", str(path), "--person", "1", typed=typed) == 2
    assert said in capsys.readouterr().err
    assert not behind(path).exists()


def test_the_longest_paragraph_in_the_widest_signs_is_taken(run: Run, path: Path) -> None:
    assert run("addendum", str(path), "--person", "1", typed=("\N{CJK UNIFIED IDEOGRAPH-4E00}" * 4000, "yes")) == 0
    assert len(str(lines_of(behind(path))[-1]["text"])) == 4000


@pytest.mark.parametrize("sid", ["there-is-none", "unsigned"])
def test_only_a_session_that_is_signed_takes_one(
    run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str], sid: str
) -> None:
    path = closed(tmp_path) if sid == "unsigned" else tmp_path / f"{sid}.jsonl"
    before = sorted(tmp_path.rglob("*.jsonl"))
    assert run("addendum", str(path), "--person", "1") == 2
    why = "is not signed: an addendum comes after a signature." if sid == "unsigned" else "cannot be read: No such file"
    out, err = capsys.readouterr()
    assert why in err and out == ""
    assert sorted(tmp_path.rglob("*.jsonl")) == before


def test_a_person_that_the_practice_does_not_know_adds_nothing(
    run: Run, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("addendum", str(path), "--person", "77") == 2
    assert "--person 77: nobody in practice.toml has this number; 1, 2, 3 are allowed." in capsys.readouterr().err


def test_what_is_signed_is_not_signed_again_but_told_by_whom(
    run: Run, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = path.read_bytes()
    assert run("sign", str(path), "--person", "1") == 2
    at = lines_of(path)[-1]["at"]
    said = f"Session {path.stem} is signed by Clinician 1 (AB) at {at}: what comes now is an addendum"
    assert f"{said}, which stepper addendum begins." in capsys.readouterr().err
    assert path.read_bytes() == before


def test_without_a_terminal_nothing_is_asked(
    path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{SAYS}\nyes\n"))
    assert main(["addendum", str(path), "--person", "1"]) == 2
    assert "stepper addendum asks on a terminal; there is none here." in capsys.readouterr().err
    assert not behind(path).exists()


def test_through_the_real_program(path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = path.read_bytes()
    with Terminal(["addendum", str(path), "--person", "1", "--dir", str(tmp_path)]) as terminal:
        terminal.wait("Enter alone leaves")
        terminal.send(f"{SAYS}\r")
        terminal.wait("Type yes to add it as said by Clinician 1:")
        terminal.send("yes\r")
        terminal.wait("It is not signed yet")
        assert terminal.end() == 0
    with Terminal(["sign", str(behind(path)), "--person", "1", "--dir", str(tmp_path)], rows=60) as terminal:
        terminal.wait("Passphrase:")
        terminal.send(f"{WORDS}\r")
        terminal.wait("Nothing more can be entered.")
        assert terminal.end() == 0
    assert path.read_bytes() == before
    assert main(["check", str(path), str(behind(path)), "--dir", str(tmp_path), "--json"]) == 0
    told = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [one["signed"] for one in told] == [True, True]
