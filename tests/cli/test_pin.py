"""`stepper pin`: set, changed and taken away on a terminal; every refusal one sentence that changes nothing."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import tomli_w

from stepper.cli.main import main
from stepper.session import pins
from stepper.session.pins import fits, read_pins
from tests.cli.typing_in import Answer, called

Run = Callable[..., int]


@pytest.fixture
def typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run the command as at a terminal, with what is typed at its questions; none may be left over."""

    def run(*options: str, keys: tuple[Answer, ...] = (), person: str = "2") -> int:
        monkeypatch.setattr(pins, "_P", 1)
        return called(monkeypatch, ["pin", "--person", person, "--dir", str(tmp_path), *options], keys)

    return run


def opens(folder: Path, person: int, pin: str) -> bool:
    return fits(read_pins(folder / "pins.toml"), person, pin)


def test_a_pin_is_set(typed: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert typed(keys=("4711", "4711")) == 0
    assert opens(tmp_path, 2, "4711")
    out, err = capsys.readouterr()
    assert err == ""
    assert out.startswith("The PIN of person 2 is set. The screen locks after 10 min without a key")
    assert "4711" not in out


def test_who_changes_it_has_to_know_it(typed: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    typed(keys=("4711", "4711"))
    assert typed(keys=("4712",)) == 2
    assert "That is not the PIN; nothing was changed." in capsys.readouterr().err
    assert opens(tmp_path, 2, "4711")
    assert typed(keys=("4711", "5812", "5812")) == 0
    assert opens(tmp_path, 2, "5812")


def test_it_is_taken_away_after_it_was_asked_for(
    typed: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    typed(keys=("4711", "4711"))
    assert typed("--remove", keys=("1111",)) == 2
    assert opens(tmp_path, 2, "4711")
    capsys.readouterr()
    assert typed("--remove", keys=("4711",)) == 0
    assert capsys.readouterr().out.startswith("The PIN of person 2 is taken away.")
    assert not (tmp_path / "pins.toml").exists()
    assert typed("--remove") == 2
    assert "--person 2: has no PIN" in capsys.readouterr().err


def test_somebody_who_has_left_can_have_it_taken_away(typed: Run, tmp_path: Path) -> None:
    typed(keys=("4711", "4711"))
    people = [{"number": 7, "role": "clinician", "name": "Cee"}, {"number": 8, "role": "assistant", "name": "Aye"}]
    (tmp_path / "practice.toml").write_text(tomli_w.dumps({"person": people}))
    assert typed() == 2, "nor a new one"
    assert typed("--remove", keys=("4711",)) == 0
    assert not (tmp_path / "pins.toml").exists()


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        (("123",), "a PIN is 4 to 8 digits"),
        (("123456789",), "a PIN is 4 to 8 digits"),
        (("",), "a PIN is 4 to 8 digits"),
        (("47a1",), "a PIN is 4 to 8 digits"),
        (("٤٧١١",), "a PIN is 4 to 8 digits"),
        (("4711", "4712"), "The two are not the same"),
        ((EOFError,), "Left"),
        (("4711", KeyboardInterrupt), "Left"),
    ],
)
def test_what_is_no_pin_twice_is_refused(
    typed: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str], keys: tuple[str, ...], said: str
) -> None:
    assert typed(keys=keys) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.strip().count("\n") == 0
    assert said in err
    assert "nothing was changed" in err
    assert "4711" not in err
    assert not (tmp_path / "pins.toml").exists()


@pytest.mark.parametrize(
    ("person", "said"),
    [
        ("7", "nobody in practice.toml has this number; 1, 2"),
        ("two", "invalid int value"),
        ("-1", "nobody in practice"),
    ],
)
def test_a_person_who_is_nobody_is_refused(
    typed: Run, capsys: pytest.CaptureFixture[str], person: str, said: str
) -> None:
    assert typed(person=person) == 2
    assert said in capsys.readouterr().err


def test_the_lock_may_be_off(typed: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "practice.toml").write_text("lock_after_min = 0\n")
    assert typed(keys=("4711", "4711")) == 0
    assert "never locks" in capsys.readouterr().out


def test_damaged_files_are_told_and_left(typed: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "pins.toml").write_text("pin = 3\n")
    assert typed() == 2
    assert capsys.readouterr().err == (
        f"stepper: pins.toml is damaged. pins.toml lies in {tmp_path}; once it is taken away, PINs are set anew.\n"
    )
    assert (tmp_path / "pins.toml").read_text() == "pin = 3\n"
    (tmp_path / "practice.toml").write_text("lock_after_min = 241\n")
    assert typed() == 2
    assert "practice.toml: lock_after_min" in capsys.readouterr().err


def test_it_asks_on_a_terminal_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("4711\n4711\n"))
    assert main(["pin", "--person", "2", "--dir", str(tmp_path)]) == 2
    assert "asks on a terminal; there is none here." in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
