"""The file of PINs: never a PIN in it, its owner's alone, whole or as before, and refused where it is damaged."""

from __future__ import annotations

import os
import stat
import tomllib
from pathlib import Path

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.facts.record import read_as, written
from stepper.session import pins
from stepper.session.pins import MAX_BYTES, BadPins, Pin, fits, hashed, is_pin, keep, read_pins

GOOD = {"person": 2, "n": 2, "r": 1, "p": 1, "salt": "0" * 32, "scrypt": "a" * 64}


def cheap(person: int, pin: str) -> Pin:
    return hashed(person, pin, n=2, r=1, p=1)


def refused(path: Path) -> str:
    with pytest.raises(BadPins) as caught:
        read_pins(path)
    return str(caught.value)


def test_scrypt_is_what_the_standard_says():
    """RFC 7914, section 12, second vector (from memory; only its first bytes are compared).

    Scrypt of `password` under the salt `NaCl`, N 1024, r 8, p 16, begins fdbabe1c9d347200.
    """
    assert pins._scrypt("password", b"NaCl", 1024, 8, 16).hex().startswith("fdbabe1c9d347200")


def test_what_is_kept_opens_for_that_person_and_that_pin_alone(tmp_path: Path):
    path = tmp_path / "pins.toml"
    keep(path, 2, "4711")
    read = read_pins(path)
    assert list(read) == [2]
    assert fits(read, 2, "4711")
    assert not fits(read, 2, "4712")
    assert not fits(read, 3, "4711")
    assert not fits({}, 2, "4711")


def test_the_file_is_its_owners_alone_and_holds_no_pin(tmp_path: Path):
    path = tmp_path / "pins.toml"
    keep(path, 2, "86420975")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert b"86420975" not in path.read_bytes()
    assert [one.name for one in tmp_path.iterdir()] == ["pins.toml"]
    (one,) = tomllib.loads(path.read_text())["pin"]
    assert (one["person"], one["n"] * one["r"] * 128) == (2, 16 * 2**20), "16 MB a try"


def test_a_file_that_others_could_read_is_mended(tmp_path: Path):
    path = tmp_path / "pins.toml"
    path.write_text(tomli_w.dumps({"pin": [GOOD]}))
    path.chmod(0o644)
    read_pins(path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_the_same_pin_looks_different_each_time():
    assert hashed(2, "4711", n=2, r=1, p=1) != hashed(2, "4711", n=2, r=1, p=1)


def test_others_stay_when_one_is_changed_or_taken_away_and_the_file_goes_with_the_last(tmp_path: Path):
    path = tmp_path / "pins.toml"
    path.write_text(tomli_w.dumps({"pin": [written(cheap(3, "3333")), written(cheap(1, "1111"))]}))
    keep(path, 2, "2222")
    assert sorted(read_pins(path)) == [1, 2, 3]
    keep(path, 2, None)
    keep(path, 3, None)
    assert fits(read_pins(path), 1, "1111")
    keep(path, 1, None)
    assert not path.exists()
    assert read_pins(path) == {}


def test_what_a_crash_left_behind_is_no_hindrance(tmp_path: Path):
    (tmp_path / ".pins.toml.new").write_text("half")
    keep(tmp_path / "pins.toml", 2, "4711")
    assert [one.name for one in tmp_path.iterdir()] == ["pins.toml"]


def test_it_is_the_new_file_or_the_one_before(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = tmp_path / "pins.toml"
    path.write_text(tomli_w.dumps({"pin": [written(cheap(1, "1111"))]}))
    before = path.read_bytes()

    def full(handle: int) -> None:  # noqa: ARG001 - it is what the system calls it with
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fdatasync", full)
    with pytest.raises(BadPins, match=r"pins\.toml cannot be written: No space left on device\."):
        keep(path, 2, "4711")
    assert path.read_bytes() == before


def test_a_damaged_file_is_not_written_over(tmp_path: Path):
    path = tmp_path / "pins.toml"
    path.write_text("[[pin]]\n")
    with pytest.raises(BadPins, match="damaged"):
        keep(path, 2, "4711")
    assert path.read_text() == "[[pin]]\n"


@pytest.mark.parametrize(
    "changed",
    [
        {"person": 0},
        {"person": "2"},
        {"person": True},
        {"n": 3},
        {"n": 2**16},
        {"n": 1},
        {"n": 2**15, "r": 16},
        {"r": 0},
        {"p": -1},
        {"n": 2, "r": 1, "p": 2**30},
        {"salt": "0" * 31},
        {"salt": "g" * 32},
        {"scrypt": ""},
        {"scrypt": "A" * 64},
        {"pin": "4711"},
        {"n": None},
        {"scrypt": None},
    ],
    ids=str,
)
def test_a_table_that_the_command_never_writes_is_damage(tmp_path: Path, changed: dict[str, object]):
    table = {name: value for name, value in {**GOOD, **changed}.items() if value is not None}
    path = tmp_path / "pins.toml"
    path.write_text(tomli_w.dumps({"pin": [table]}))
    assert refused(path) == "pins.toml is damaged."


def test_the_table_that_they_were_made_from_is_none(tmp_path: Path):
    path = tmp_path / "pins.toml"
    path.write_text(tomli_w.dumps({"pin": [GOOD]}))
    assert list(read_pins(path)) == [2]


@pytest.mark.parametrize(
    "content",
    [b"", b"# only a remark\n", b"pin = []\n", b"pin = 3\n", b"\xff", b"[[pin]", b"pin = " + b"[" * 5000, b"x = 1\n"],
)
def test_a_file_that_holds_no_pins_is_damaged_and_not_taken_for_nobodys(tmp_path: Path, content: bytes):
    path = tmp_path / "pins.toml"
    path.write_bytes(content)
    assert refused(path) == "pins.toml is damaged."


def test_what_is_too_long_twice_or_no_file_gets_a_sentence(tmp_path: Path):
    path = tmp_path / "pins.toml"
    path.write_bytes(b"#" * (MAX_BYTES + 1))
    assert refused(path) == "pins.toml is damaged."
    path.write_text(tomli_w.dumps({"pin": [GOOD, GOOD]}))
    assert refused(path) == "pins.toml is damaged: a person has two PINs in it."
    path.unlink()
    path.mkdir()
    assert refused(path) == "pins.toml cannot be read: is not a file."
    (tmp_path / "round").symlink_to("round")
    assert refused(tmp_path / "round").startswith("round cannot be read: ")


def test_cut_off_anywhere_it_is_damaged(tmp_path: Path):
    path = tmp_path / "pins.toml"
    whole = tomli_w.dumps({"pin": [written(cheap(1, "1111"))]}).rstrip("\n").encode()
    for size in range(len(whole)):
        path.write_bytes(whole[:size])
        assert "damaged" in refused(path)


@given(
    st.integers(1, 2**17),
    st.integers(1, 40),
    st.integers(1, 2**20),
    st.sampled_from([2**exponent for exponent in range(18)]),
)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_whatever_costs_are_taken_scrypt_can_bear(any_n: int, r: int, p: int, power: int):
    for n in (any_n, power):
        try:
            kept = read_as(Pin, {**GOOD, "n": n, "r": r, "p": p})
        except ValueError:
            continue
        assert not fits({2: kept}, 2, "4711")


@pytest.mark.parametrize("typed", ["0000", "12345678", "04711"])
def test_four_to_eight_digits_are_a_pin(typed: str):
    assert is_pin(typed)


@pytest.mark.parametrize("typed", ["", "123", "123456789", "12a4", "1 34", "-1234", "12.4", "٤٧١١", "1234\n"])
def test_nothing_else_is(typed: str):
    assert not is_pin(typed)
