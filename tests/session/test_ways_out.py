"""Every listed way out of every remark and of every conversation: nowhere is the assistant stuck."""

from __future__ import annotations

import importlib
import pkgutil
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from stepper.case.gate import CLAUSES
from stepper.facts.remarks import Weight
from stepper.protocol.roles import ALARM_NAMES
from stepper.session import modes
from stepper.session.modes.asking import Asking
from stepper.session.modes.menu import Menu
from tests.cases import protocol
from tests.drive import Chair
from tests.session.plausible import asking, goes_on, home, mode
from tests.session.stops import STOPS
from tests.session.table import CASES
from tests.session.wandering import a_line, wander
from tests.session.ways import Case, Mend, Way, is_so, kinds_since, speaking, stands


def name(case: Case) -> str:
    return " ".join((case.clause or case.rule or case.mode.__name__, case.at, *case.keys[-2:]))


def ways() -> Iterator[object]:
    for case in CASES:
        for way in case.ways:
            yield pytest.param(case, way, id=f"{name(case)} | {' '.join(key or 'Enter' for key in way.keys)}")


def mends() -> Iterator[object]:
    for case in CASES:
        for mend in case.mends:
            yield pytest.param(case, mend, id=f"{name(case)} | {' '.join(mend.keys[:4])}")


@pytest.mark.parametrize(("case", "way"), ways())
def test_the_way_out(tmp_path: Path, case: Case, way: Way) -> None:
    chair = case.provoked(tmp_path)
    assert type(mode(chair)) is case.mode
    assert not case.rule or case.rule in speaking(chair)
    entries = len(chair.case.entries)
    view = chair.key(*way.keys)
    assert kinds_since(chair, entries) == way.logged
    assert view.prompt.title.startswith(way.at)
    if case.rule or case.clause:
        assert stands(chair, case) == way.left
    if way.over:
        assert chair.lobby.session is None
        return
    assert type(mode(chair)) is way.into
    assert not asking(chair) or goes_on(chair)


@pytest.mark.parametrize("case", CASES, ids=name)
def test_every_listed_number_is_tried(tmp_path: Path, case: Case) -> None:
    prompt = case.provoked(tmp_path).session.view().prompt
    listed = {one.number for one in prompt.choices}
    tried = {way.keys[0] for way in case.ways}
    assert case.mode is Asking or case.more or listed <= tried, "each number that is listed"
    assert not prompt.offer or "" in tried, "Enter, where it is offered"
    assert "0 " not in prompt.then or "0" in tried, "0, where it is said to lead back"


@pytest.mark.parametrize(("case", "mend"), mends())
def test_the_shortest_mending(tmp_path: Path, case: Case, mend: Mend) -> None:
    chair = case.provoked(tmp_path)
    chair.key(*mend.after)
    assert asking(chair)
    assert not is_so(chair, case, mend.so) or mend.so == "logged"
    chair.key(*mend.keys)
    assert is_so(chair, case, mend.so)
    assert asking(chair)


def test_every_rule_that_stops_or_asks_has_a_case() -> None:
    rules = {rule.id for step in protocol().step for rule in step.rule if rule.weight is not Weight.TELL}
    assert {case.rule for case in CASES} - {""} == rules | ALARM_NAMES


def test_every_clause_of_the_gate_has_a_case() -> None:
    assert {case.clause for case in CASES} - {""} == set(CLAUSES)


def conversations() -> set[type]:
    """The classes of the package whose prompt is shown and which take a line."""
    found = [importlib.import_module(f"{modes.__name__}.{one.name}") for one in pkgutil.iter_modules(modes.__path__)]
    classes = [one for module in found for one in vars(module).values() if isinstance(one, type)]
    return {one for one in classes if one.__module__.startswith(modes.__name__) and hasattr(one, "take")}


def test_every_conversation_has_a_case() -> None:
    assert len(conversations()) > 20
    assert {case.mode for case in CASES} == conversations()


def test_what_holds_an_act_back_can_be_mended() -> None:
    stops = {case.rule for case in CASES if case.rule in ALARM_NAMES or case in STOPS} - {""}
    filled = {case.rule for case in CASES for mend in case.mends if mend.so == "filled"}
    assert filled >= ALARM_NAMES
    assert {case.rule for case in CASES if case.mends} >= stops
    assert all(case.mends for case in CASES if case.clause)


LINES = 220
"""How many lines are keyed in each random visit."""


@pytest.mark.parametrize("seed", range(8))
def test_from_wherever_one_is_the_way_leads_back_and_the_visit_can_be_left(tmp_path: Path, seed: int) -> None:
    draw = random.Random(seed)
    chair, station = wander(draw, tmp_path)
    keyed = [station]
    for _ in range(LINES):
        chance = draw.random()
        if chance < 0.08:
            waits = 1 + len(chair.session._under) + len(chair.session.room.queue)
            assert home(chair, 4 * waits, on_way=keyed.append), keyed
        elif chance < 0.14:
            assert comes_back_from_leaving(chair), keyed
        elif chance < 0.2 and asking(chair):
            assert goes_on(chair), keyed
        else:
            keyed.append(a_line(draw, chair))
            chair.key(keyed[-1])
        if chair.lobby.session is None:
            chair, station = wander(draw, tmp_path)
            keyed = [station]
    chair.key(*(() if isinstance(mode(chair), Menu) else ("/",)), *draw.choice((("8", "2"), ("9", "1", "2"))))
    assert chair.lobby.session is None, keyed


def comes_back_from_leaving(chair: Chair) -> bool:
    """Ask to leave from wherever one is, stay, and tell whether the same is asked as before."""
    if isinstance(mode(chair), Menu):
        return True
    before, entries = chair.session.view().prompt, len(chair.case.entries)
    asked = chair.key("/", "8").prompt
    chair.key("1")
    return asked.title == "Leave" and chair.session.view().prompt == before and len(chair.case.entries) == entries
