"""Slips at kinds of question that the bundled protocol does not ask: a time of day, a text, a blind choice."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.facts.values import Text, TimeOfDay
from tests.drive import Chair
from tests.protocol.scraps import change, whole
from tests.session.stations import keyed, seated

ASKED = """[[step.question]]
id = "left_at"
kind = "time"
prompt = "Time of leaving"

[[step.question]]
id = "in_words"
kind = "text"
prompt = "In words"

[[step.question]]
id = "first_pack"
kind = "choice"
prompt = "Pack on the first tray"
option = [{ id = "red", label = "red pack" }, { id = "blue", label = "blue pack" }]

[[step.question]]
id = "second_pack"
kind = "choice"
prompt = "Pack on the second tray"
blind = "from the tray"
option = [{ id = "red", label = "red pack" }, { id = "blue", label = "blue pack" }]

"""
LAST = '[[step.question]]\nid = "prescribed"\n'


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bundled protocol with such questions at the end of the closing."""
    text, _ = change(whole(), "", LAST, ASKED + LAST)
    path = tmp_path_factory.mktemp("made") / "made.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture
def chair(tmp_path: Path, made: Path) -> Chair:
    """A chair at the time of leaving."""
    tooth, lines = keyed("closed")
    chair = Chair(tmp_path / "sessions", protocol=made)
    chair.open(tooth=tooth)
    chair.key(*lines)
    assert chair.session.view().prompt.question == "Time of leaving"
    return chair


@pytest.mark.parametrize(
    ("struck", "words"),
    [
        ("930", "type hours and two digits of minutes"),
        ("9.3", "type hours and two digits of minutes"),
        ("9.300", "type hours and two digits of minutes"),
        ("99.30", "no hour 99"),
        ("9.60", "no minute 60"),
        ("9-30", "type hours and two digits of minutes"),
        ("9*30", "There is no canal 9"),
        ("", "Type the answer first"),
    ],
)
def test_a_slip_in_a_time_is_refused(chair: Chair, struck: str, words: str) -> None:
    kept = chair.path.read_bytes()
    assert words in chair.key(struck).saying
    assert chair.path.read_bytes() == kept


@pytest.mark.parametrize(
    ("struck", "shown"),
    [("19.30", "19:30"), ("6.30", "06:30"), ("9.33", "09:33")],
)
def test_a_plausible_time_is_read_back_and_taken_back_in_two_lines(chair: Chair, struck: str, shown: str) -> None:
    assert shown in chair.key(struck).saying
    chair.key(".", "1**1**9.30", "1")
    fact = chair.case.told.fact("closing.left_at", 0)
    assert fact is not None
    assert fact.value == TimeOfDay(hour=9, minute=30)


@pytest.mark.parametrize("struck", ["25/4-0", "1", "9.30", "word", "a**--"])
def test_a_line_meant_for_another_question_is_read_back_as_text_and_taken_back(chair: Chair, struck: str) -> None:
    """A text takes what is typed: only the read-back tells. A keypad sign alone stays a command."""
    chair.key("9.30")
    assert struck in chair.key(struck).saying
    chair.key(".", "1**1**7", "1")
    fact = chair.case.told.fact("closing.in_words", 0)
    assert fact is not None
    assert fact.value == Text(value="7")


@pytest.mark.parametrize("struck", ["1**--", "--**1"])
def test_no_absence_among_several_answers_becomes_a_text(chair: Chair, struck: str) -> None:
    chair.key("9.30")
    kept = chair.path.read_bytes()
    assert "stands alone" in chair.key(struck).saying or "too many" in chair.session.view().saying
    assert chair.path.read_bytes() == kept


def test_what_could_answer_the_blind_question_that_comes_next_is_not_read_back(chair: Chair) -> None:
    chair.key("9.30", "word")
    view = chair.key("1")
    assert view.covered
    assert view.saying == "Logged."
    view = chair.key("2")
    assert not view.covered
    assert view.saying == "Logged blue pack"


def test_nor_is_the_tooth_before_it_is_counted_again(tmp_path: Path) -> None:
    view = seated(tmp_path, "isolation").key("1**1**11**1")
    assert view.covered
    assert view.saying == "Logged dam on, tight yes"
