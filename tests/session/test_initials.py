"""Initials in the place of the number, where there are letters: whose they are, and how they open the screen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.cli.locked import locked_lobby
from stepper.protocol.settings import BadSettings, read_settings, settled
from stepper.record.keys import new_key
from stepper.screens.desk import Desk
from stepper.session.initials import NOBODY, named
from stepper.session.locking import FREE_TRIES, KEY_IN
from tests.drive import Chair
from tests.session.locked import PIN, Locked, pins

WRONG = "Number or PIN is wrong."


def at_door(folder: Path, initials: Mapping[int, str], given: dict[int, str] | None = None) -> Locked:
    return Locked(Chair(folder), folder / "pins.toml", given=given or {2: PIN}, initials=dict(initials))


@pytest.mark.parametrize("typed", ["AB", "ab", "aB", "A.B.", "a. b."])
def test_initials_open_it_in_any_case(tmp_path: Path, typed: str) -> None:
    at = at_door(tmp_path, {1: "CD", 2: "AB"})
    assert "number or initials" in at.desk.view().prompt.hint
    assert not at.key(f"{typed}**{PIN}").masked


@pytest.mark.parametrize("kept", ["Äß", "a\u0308ss", "Ä. SS"])
def test_letters_of_any_alphabet_are_the_same_in_any_writing(tmp_path: Path, kept: str) -> None:
    at = at_door(tmp_path, {2: kept})
    assert not at.key(f"äß**{PIN}").masked


def test_the_number_opens_it_all_the_same(tmp_path: Path) -> None:
    assert not at_door(tmp_path, {2: "AB"}).key(f"2**{PIN}").masked


def test_the_pin_can_come_in_a_line_of_its_own(tmp_path: Path) -> None:
    at = at_door(tmp_path, {2: "AB"})
    assert "And the PIN?" in at.key("ab").prompt.question
    assert not at.key(PIN).masked


def test_initials_of_nobody_are_no_other_than_a_wrong_pin(tmp_path: Path) -> None:
    at = at_door(tmp_path, {2: "AB", 9: "EF"})
    assert at.key(f"XY**{PIN}").saying == WRONG
    assert at.key(f"EF**{PIN}").saying == WRONG, "nor of somebody who has no PIN"
    assert "And the PIN?" in at.key("xy").prompt.question
    assert at.key(PIN).saying == WRONG
    assert at.key("AB**1111").saying == WRONG
    assert at.key(f"xy**{PIN}").saying.startswith(f"{WRONG} {FREE_TRIES} wrong tries")


def test_of_two_with_the_same_initials_the_number_is_asked_for(tmp_path: Path) -> None:
    at = at_door(tmp_path, {1: "ab", 2: "AB"}, {1: "2468", 2: PIN})
    for typed in (f"AB**{PIN}", "ab"):
        view = at.key(typed)
        assert view.masked
        assert view.saying == "2 people have these initials: type your number instead."
        assert "And the PIN?" not in view.prompt.question
    for _ in range(FREE_TRIES):
        at.key(f"AB**{PIN}")
    assert not at.key(f"2**{PIN}").masked, "which is no wrong try"


def test_where_only_one_of_them_has_a_pin_it_is_that_one(tmp_path: Path) -> None:
    assert not at_door(tmp_path, {1: "AB", 2: "AB"}).key(f"ab**{PIN}").masked


def test_where_nobody_has_initials_none_are_spoken_of(tmp_path: Path) -> None:
    at = at_door(tmp_path, {7: "AB"})
    assert at.desk.view().prompt.hint == KEY_IN
    assert "initials" not in KEY_IN


INITIALS = st.text("abAB", min_size=1, max_size=3)


@given(st.dictionaries(st.integers(1, 999), INITIALS, min_size=1, max_size=5), INITIALS)
def test_they_name_all_of_whom_they_are_the_initials_and_nobody_else(initials: dict[int, str], typed: str) -> None:
    expected = tuple(sorted(one for one, theirs in initials.items() if theirs.lower() == typed.lower()))
    assert named(typed, initials, initials) == (expected or (NOBODY,))


@given(st.text(max_size=12))
def test_whatever_else_is_typed_is_no_name_of_somebody(typed: str) -> None:
    assert named(typed, {1: "", 2: "AB"}, {1, 2}) in ((), (NOBODY,)) or typed.isdecimal() or "b" in typed.casefold()


PRACTICE = """
[[person]]
number = 1
role = "clinician"
name = "Cee Dee"
initials = "CD"

[[person]]
number = 2
role = "assistant"
name = "Aye Bee"
"""


def test_they_stand_in_practice_toml_and_need_not() -> None:
    assert [one.initials for one in read_settings(PRACTICE, "practice.toml").person] == ["CD", None]


@pytest.mark.parametrize("wrong", ["", "C D", "C1", "ABCDEFGHI", "*", "12"])
def test_what_is_no_initials_is_refused_in_words(wrong: str) -> None:
    with pytest.raises(BadSettings) as refused:
        read_settings(PRACTICE.replace('"CD"', f'"{wrong}"'), "practice.toml")
    assert "practice.toml" in str(refused.value)
    assert "initials" in str(refused.value)
    assert "1 to 8 letters" in str(refused.value)


def test_the_chair_takes_them_from_practice_toml_or_else_from_who_signs(tmp_path: Path) -> None:
    new_key(tmp_path, 1, "Cee Dee", "XX", "a long passphrase", "2026-03-02")
    new_key(tmp_path, 2, "Aye Bee", "A.B.", "a long passphrase", "2026-03-02")
    for line, opens in ((f"XX**{PIN}", False), (f"cd**{PIN}", True), ("ab**2468", True)):
        desk = at_chair(tmp_path, {1: PIN, 2: "2468"})
        desk.enter(line)
        assert desk.view().masked is not opens, line


def test_a_list_of_keys_that_cannot_be_read_keeps_nobody_out(tmp_path: Path) -> None:
    (tmp_path / "keys.toml").write_text("not a list of keys")
    for line in (f"cd**{PIN}", f"1**{PIN}"):
        desk = at_chair(tmp_path, {1: PIN})
        desk.enter(line)
        assert not desk.view().masked


def at_chair(folder: Path, given: dict[int, str]) -> Desk:
    """The start screen of that practice as the command makes it, the lock seen."""
    pins(folder / "pins.toml", given)
    house, settings = Chair(folder).lobby.house, read_settings(PRACTICE, "practice.toml")
    desk = locked_lobby(replace(house, settings=settings, protocol=settled(house.protocol, settings)), folder)
    assert desk.view().masked
    return desk
