"""What is shown at once after a line: never anything else than what the whole says of it right after."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from stepper.session.view import ChairView, Tone
from tests.drive import Chair, script

SCRIPTS = Path(__file__).parents[1] / "scripts"
ANSWER = ("prompt", "armed", "readback", "saying", "saying_tone", "band")
"""The members of a view that answer a line; the others are there at a glance."""


def keyed(tmp_path: Path, name: str) -> list[tuple[ChairView, ChairView | None, ChairView]]:
    """Key a script; give after each line the whole before it, the answer and the whole after it."""
    at, told = Chair(tmp_path), []
    before = at.lobby.view()
    for line in script(SCRIPTS / f"{name}.keys"):
        at.lobby.enter(line)
        answer, whole = at.lobby.answer(before), at.lobby.view()
        told.append((before, answer, whole))
        before = whole
    return told


@pytest.mark.parametrize("name", ["plain_single", "four_canals", "wrong_cone"])
def test_the_whole_says_the_same_of_the_line(tmp_path: Path, name: str):
    told = keyed(tmp_path, name)
    answers = 0
    for before, answer, whole in told:
        if answer is None:
            continue
        answers += 1
        assert answer == replace(before, **{part: getattr(whole, part) for part in ANSWER})
        assert (answer.saying_tone, answer.band, answer.covered, answer.page) == (Tone.GOOD, None, False, None)
        assert (answer.title, answer.subtitle, answer.banner) == (whole.title, whole.subtitle, whole.banner)
    assert answers > 5, "a quick answer is the rule where rows are logged"


@pytest.mark.parametrize("name", ["plain_single", "four_canals", "wrong_cone"])
def test_a_blind_question_a_band_and_another_place_change_the_whole_at_once(tmp_path: Path, name: str):
    told = keyed(tmp_path, name)
    for before, answer, whole in told:
        moved = [one.current for one in before.steps] != [one.current for one in whole.steps]
        moved |= [one.current for one in before.canals] != [one.current for one in whole.canals]
        if before.covered or whole.covered or whole.band or whole.page or moved or whole.over:
            assert answer is None
    assert any(whole.covered for _, _, whole in told)


def test_a_blind_question_is_covered_whatever_was_said_before_it(tmp_path: Path):
    at = Chair(tmp_path)
    at.open()
    whole = at.key("2/")
    assert whole.prompt.blind
    at.session.room.say("Logged", Tone.GOOD)
    assert at.lobby.answer(replace(whole, covered=False)) is None


def test_a_practice_tooth_is_shown_whole(tmp_path: Path):
    at = Chair(tmp_path)
    at.key("4")
    assert at.lobby.session is not None
    assert at.lobby.answer(at.lobby.view()) is None
