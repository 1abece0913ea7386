"""A short random walk: the gate against the oracle, and broken gates seen by it."""

from __future__ import annotations

import pytest

from stepper.case import alarms, carried, fold, gate, put
from stepper.facts.state import Canal
from tests.gate import walked
from tests.machine.__main__ import main
from tests.machine.planted import PLANTED
from tests.machine.run import run
from tests.machine.score import ENOUGH, WANTED, Score, total


def test_the_gate_and_the_oracle_agree_after_every_entry() -> None:
    score = run(1500, seed=5)
    assert score.violations == []
    assert score.fills > 5
    assert score.shut > 2


@pytest.mark.parametrize("clause", ["cone_fit", "dry", "rinse", "clear"])
def test_a_gate_without_a_clause_is_a_violation(monkeypatch: pytest.MonkeyPatch, clause: str) -> None:
    monkeypatch.setitem(gate.CLAUSES, clause, lambda _: None)
    assert run(2000, seed=5, stop_at=1).violations


@pytest.mark.parametrize(
    ("bug", "seed"),  # seeds that come upon it soon; `python -m tests.gate` plants all of them, with one seed
    [
        ("a carried length counts as confirmed", 1),
        ("a carried master apical file outlives another length", 2),
        ("a file of an earlier visit is forgotten", 1),
        ("a rinse through a joined canal reopens nothing", 7),
        ("a late entry opens a gate without the yes", 4),
        ("a keyed-wrong correction opens a gate without the yes", 1),
        ("an ask that is owed counts as answered", 1),
        ("an incident passes the asks", 1),
    ],
)
def test_the_walk_notices_a_planted_bug(bug: str, seed: int) -> None:
    assert walked(PLANTED[bug], seed) is not None


def test_what_is_planted_is_taken_out_again() -> None:
    before = _functions()
    for planting in PLANTED.values():
        with planting():
            assert _functions() != before
        assert _functions() == before


def _functions() -> list[dict[str, object]]:
    return [dict(vars(one)) for one in (alarms, carried, fold, gate, put, Canal)]


def test_a_long_run_has_to_draw_every_kind_of_event() -> None:
    score = Score(steps=ENOUGH)
    score.drawn.update(WANTED - {"ending"})
    assert score.missing() == ["ending"]
    score.drawn.update(["ending"])
    assert score.missing() == []
    assert Score(steps=ENOUGH - 1).missing() == []


def test_several_processes_add_up() -> None:
    one, other = Score(steps=3, fills=1, violations=["a"]), Score(steps=4, shut=2, violations=["b"])
    one.drawn.update(["void"])
    other.drawn.update(["void", "close"])
    both = total([one, other])
    assert (both.steps, both.fills, both.shut, both.violations) == (7, 1, 2, ["a", "b"])
    assert both.drawn == {"void": 2, "close": 1}


def test_the_command_walks_in_several_processes(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--steps", "1200", "--seed", "5", "--jobs", "2"]) == 0
    printed = capsys.readouterr().out
    assert printed.startswith("steps 120")
    assert "violations 0" in printed


def test_the_command_fails_where_no_fill_is_reached(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--steps", "10"]) == 1
    assert "no fill was reached" in capsys.readouterr().out


def test_the_command_fails_on_a_violation(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setitem(gate.CLAUSES, "dry", lambda _: None)
    assert main(["--steps", "2000", "--seed", "5"]) == 1
    assert "the oracle" in capsys.readouterr().out
