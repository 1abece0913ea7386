"""Slips while a list or a conversation lies over the question, at the start screen, and lines struck too early."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepper.case.judge import Standing, judge
from stepper.kinds.outcome import outcome_of
from stepper.session.modes.asking import Asking
from stepper.session.modes.looking import LookBack
from stepper.session.modes.remarking import AskAgain, _Once
from tests.drive import Chair
from tests.session.plausible import asking
from tests.session.stations import OTHER, VISIT, seated
from tests.session.table import CASES, EACH_CONVERSATION
from tests.session.ways import UNSAID, Case, kinds_since
from tests.slips.lists import IN_LISTS, MEANT_FOR_THE_QUESTION, ONLY_SAID, START, InList, Said

CONVERSATIONS = [pytest.param(case, id=case.mode.__name__) for case in EACH_CONVERSATION if case.mode is not Asking]
OPENED_BY_RULES = [
    pytest.param(case, id=" ".join((case.clause or case.rule, case.mode.__name__, *case.keys[-1:])))
    for case in CASES
    if case.rule or case.clause
]


def filled(chair: Chair) -> set[int]:
    told = chair.case.told
    return {number for number in told.canals if outcome_of(told, number) == "filled"}


@pytest.mark.parametrize("case", CONVERSATIONS)
def test_a_line_meant_for_the_question_is_refused_in_words_while_a_list_lies_over_it(
    tmp_path: Path, case: Case
) -> None:
    chair = case.provoked(tmp_path)
    kept, before = chair.path.read_bytes(), chair.session.view().prompt
    digits = ("99",) if case.mode in (AskAgain, _Once) else ()
    for struck in [line for line in MEANT_FOR_THE_QUESTION if line not in digits]:
        view = chair.key(struck)
        assert chair.path.read_bytes() == kept, struck
        assert view.saying, struck
        if case.mode is LookBack:
            if asking(chair):
                assert "was not taken" in view.saying
                chair.key("-")
        else:
            assert view.prompt == before, struck


@pytest.mark.parametrize("slip", IN_LISTS, ids=lambda one: f"{one.mode.__name__} {one.struck or 'Enter'} {one.station}")
def test_a_slip_in_a_list(tmp_path: Path, slip: InList) -> None:
    chair = seated(tmp_path, slip.station)
    asked = chair.session.view().prompt
    chair.key(*slip.keys)
    entries = len(chair.case.entries)
    view = chair.key(slip.struck)
    assert view.prompt.title.startswith(slip.at)
    assert slip.says in f"{view.saying} | {view.prompt.question}"
    assert kinds_since(chair, entries) == slip.logged
    entries = len(chair.case.entries)
    view = chair.key(*slip.back)
    assert asking(chair)
    assert kinds_since(chair, entries) in ("", "owe")
    assert chair.lobby.session is not None
    assert slip.keys[:1] != ("/",) or view.prompt == asked


@pytest.mark.parametrize("said", ONLY_SAID, ids=lambda one: f"{one.kind} {one.station} {' '.join(one.keys)}")
def test_what_a_conversation_logs_is_said_with_canal_and_value(tmp_path: Path, said: Said) -> None:
    chair = seated(tmp_path, said.station)
    view = chair.key(*said.keys)
    assert said.words in view.saying
    assert said.kind in [one.kind for one in chair.case.entries[-4:]]
    if said.again:
        entries = len(chair.case.entries)
        chair.key(*said.again)
        assert any(one.kind not in UNSAID for one in chair.case.entries[entries:])


@pytest.mark.parametrize(("before", "struck", "words"), START)
def test_a_slip_at_the_start_screen(tmp_path: Path, before: tuple[str, ...], struck: str, words: str) -> None:
    chair = Chair(tmp_path / "sessions")
    chair.key(*before)
    view = chair.key(struck)
    assert words in view.saying
    assert chair.lobby.session is None
    assert not list(tmp_path.rglob("*.jsonl"))


def test_what_the_form_was_told_is_read_back_once_more_and_taken_back_in_one_line(tmp_path: Path) -> None:
    chair = Chair(tmp_path / "sessions")
    view = chair.key("1", "411", "12", "1", "2")
    assert view.prompt.question.startswith("Patient 411, tooth 12, ")
    assert chair.key("11").prompt.question == "Patient number", "anything but 1 asks anew"
    assert chair.key("4711").prompt.question == "Tooth"
    assert not list(tmp_path.rglob("*.jsonl"))


@pytest.mark.parametrize("station", [*VISIT, *OTHER])
def test_no_act_is_done_by_one_line(tmp_path: Path, station: str) -> None:
    for struck in (*"0123456789", "11", "22", "1**1", "0*1", "1*1", "12*1", "+", "/", "/6", "/8", "/9", "-", "--", ""):
        chair = seated(tmp_path / station / (struck.replace("/", "s") or "Enter"), station)
        were_filled = filled(chair)
        entries = len(chair.case.entries)
        chair.key(struck)
        assert chair.lobby.session is not None, struck
        assert not {"close", "void", "ending", "confirm", "departure"} & {
            one.kind for one in chair.case.entries[entries:]
        }
        assert filled(chair) == were_filled
        chair.session.leave()


@pytest.mark.parametrize("case", OPENED_BY_RULES)
@pytest.mark.parametrize("struck", ["1", "2", "3", "0", "", "1**1", "0**1", "25/4-0", "11", "/"])
def test_a_line_struck_while_a_remark_opens_does_not_pass_it(tmp_path: Path, case: Case, struck: str) -> None:
    """The next answer follows at once, as one strikes ahead: no reason is logged, no gate opens, and it is said."""
    chair = case.provoked(tmp_path)
    entries, spoken, were_filled = len(chair.case.entries), chair.session.view().prompt, filled(chair)
    view = chair.key(struck)
    new = [one for one in chair.case.entries[entries:] if one.kind not in UNSAID]
    assert not {"departure", "confirm", "close", "void", "ending"} & {one.kind for one in new}
    assert not {one.standing for one in judge(chair.case) if one.remark.rule == case.rule} & {Standing.PASSED}
    assert filled(chair) == were_filled
    assert view.saying or view.prompt != spoken
    if new and case.mode not in (AskAgain, _Once):
        assert view.saying, "what was made of it is said"
