"""The start screen's form: one answer a line, or several in one; the yes is always a line of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.drive import Chair


def test_all_of_it_goes_into_one_line_and_the_yes_into_another(tmp_path: Path) -> None:
    chair = Chair(tmp_path)
    view = chair.key("1", "4711**36**1**2")
    assert view.prompt.question.startswith("Patient 4711, tooth 36")
    assert chair.lobby.session is None
    chair.key("1")
    assert (chair.case.told.patient, chair.case.told.tooth, chair.case.keyed_by) == ("4711", "36", 2)


def test_answers_before_a_refused_one_are_kept(tmp_path: Path) -> None:
    chair = Chair(tmp_path)
    view = chair.key("1", "4711**39**1**2")
    assert "no such tooth" in view.saying
    assert view.prompt.question == "Tooth"
    view = chair.key("36**1**2")
    assert view.prompt.question.startswith("Patient 4711, tooth 36")


@pytest.mark.parametrize("line", ["4711**36**1**2**1", "1**1"])
def test_the_yes_is_never_part_of_a_line(tmp_path: Path, line: str) -> None:
    chair = Chair(tmp_path)
    chair.key("1", *([] if line.startswith("4711") else ["4711**36**1**2"]))
    view = chair.key(line)
    assert chair.lobby.session is None
    assert "1 on a line of its own opens the session" in view.saying
    assert view.prompt.question.startswith("Patient 4711")


def test_canals_before_an_answer_mean_nothing_here(tmp_path: Path) -> None:
    chair = Chair(tmp_path)
    view = chair.key("1", "12*4711**36")
    assert view.prompt.question == "Patient number"
    assert view.saying
