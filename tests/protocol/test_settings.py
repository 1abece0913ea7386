"""The practice's settings: what is read, what is written first, and what takes the place of the protocol's."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.protocol.settings import (
    MAX_BYTES,
    BadSettings,
    Settings,
    read_settings,
    settings_text,
    settled,
)
from tests.cases import protocol

NAME = "practice.toml"
PEOPLE = """
[[person]]
number = 7
role = "clinician"
name = "Clinician 7"

[[person]]
number = 8
role = "assistant"
name = "Assistant 8"
"""
NO_SEALER = """
[[item]]
category = "solution"
number = 1
id = "hypochlorite_3"
label = "Sodium hypochlorite 3 %"
family = "hypochlorite"
strength = "3 %"
"""


def bad(text: str) -> str:
    with pytest.raises(BadSettings) as caught:
        read_settings(text, NAME)
    return str(caught.value)


def test_empty_settings_are_the_defaults():
    assert read_settings("", NAME) == Settings()
    assert (Settings().sound, Settings().theme, Settings().heading) == (True, "dark", "")


def test_settings_are_read():
    text = 'heading = "The practice"\nsound = false\ntheme = "light"\nlock_after_min = 240\n'
    got = read_settings(text + PEOPLE, NAME)
    assert (got.heading, got.sound, got.theme, got.lock_after_min) == ("The practice", False, "light", 240)
    assert [(one.number, one.role, one.name) for one in got.person] == [
        (7, "clinician", "Clinician 7"),
        (8, "assistant", "Assistant 8"),
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("sound = 1", "sound must be true or false, without quotes"),
        ('sound = "false"', "sound must be true or false, without quotes"),
        ('theme = "blue"', "theme 'blue' is not allowed; allowed: 'dark' or 'light'"),
        ("heading = 3", "heading must be text in quotes"),
        ('headin = "x"', "headin is not a key here; did you mean 'heading'?"),
        ("lock_after_min = -1", "lock_after_min must be at least 0"),
        ("lock_after_min = 241", "lock_after_min must be at most 240"),
        ("lock_after_min = 2.5", "lock_after_min must be a whole number, without quotes"),
        ("lock_after_min = true", "lock_after_min must be a whole number, without quotes"),
        ("sound = ", "not TOML: Invalid value (at end of document)"),
        ("person = 3", "person must be a list in [ ]"),
        (
            PEOPLE.replace("assistant", "nurse"),
            "person 8, role 'nurse' is not allowed; allowed: 'clinician' or 'assistant'",
        ),
        (
            NO_SEALER.replace("solution", "solutoin"),
            "item hypochlorite_3, category 'solutoin' is unknown; did you mean 'solution'?",
        ),
    ],
)
def test_a_mistake_gets_one_sentence(text: str, said: str):
    assert bad(text) == f"practice.toml: {said}."


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=100))
def test_any_text_is_settings_or_a_sentence(text: str):
    try:
        read_settings(text, NAME)
    except BadSettings as error:
        assert str(error).startswith(NAME)


def test_the_first_file_holds_the_protocols_people_and_belongs_to_its_owner(tmp_path: Path):
    path = tmp_path / NAME
    text = settings_text(path, protocol())
    assert path.read_text(encoding="utf-8") == text
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert read_settings(text, NAME) == Settings(person=protocol().person)
    assert settled(protocol(), read_settings(text, NAME)) == protocol()


def test_a_file_that_is_there_is_taken_as_it_is(tmp_path: Path):
    path = tmp_path / NAME
    path.write_text("sound = false\n", encoding="utf-8")
    assert settings_text(path, protocol()) == "sound = false\n"
    assert path.read_text(encoding="utf-8") == "sound = false\n"


def test_what_is_no_readable_file_gets_a_sentence(tmp_path: Path):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "latin").write_bytes(b"\xe9")
    (tmp_path / "long").write_bytes(b"#" * (MAX_BYTES + 1))
    (tmp_path / "round").symlink_to("round")
    said = {
        "": f"{tmp_path.name}: cannot be read: is not a file.",
        "pipe": "pipe: cannot be read: is not a file.",
        "latin": "latin: is not UTF-8 text.",
        "long": "long: longer than 256 KB; settings are shorter.",
        "round": "round: cannot be read: Too many levels of symbolic links.",
        "none/deeper": "deeper: cannot be written: No such file or directory.",
    }
    for name, sentence in said.items():
        with pytest.raises(BadSettings) as caught:
            settings_text(tmp_path / name, protocol())
        assert str(caught.value) == sentence


def test_people_and_stock_take_the_place_of_the_protocols():
    changed = settled(protocol(), read_settings(PEOPLE, NAME))
    assert [one.number for one in changed.person] == [7, 8]
    assert changed.item == protocol().item
    assert changed.step == protocol().step


def test_nothing_set_changes_nothing():
    assert settled(protocol(), Settings()) is protocol()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (PEOPLE.replace("assistant", "clinician"), "nobody is an assistant; each of the two needs a number"),
        (PEOPLE.replace("number = 8", "number = 7"), "person 7, number 7 stands twice; it must be unique"),
        (
            NO_SEALER,
            "step anaesthesia, question agent, option has nothing to choose from; give options, or an `among` that the"
            " tables fill",
        ),
    ],
)
def test_what_does_not_go_with_the_protocol_is_refused(text: str, said: str):
    with pytest.raises(BadSettings) as caught:
        settled(protocol(), read_settings(text, NAME))
    assert str(caught.value) == f"practice.toml does not go with the protocol: {said}."
