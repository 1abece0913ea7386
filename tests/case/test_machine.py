"""A short random walk: the gate against the oracle, and a broken gate seen by it."""

from __future__ import annotations

import pytest

from stepper.case import gate
from tests.machine import run


def test_the_gate_and_the_oracle_agree_after_every_entry() -> None:
    score = run(1500, seed=5)
    assert score.violations == []
    assert score.fills > 5
    assert score.shut > 5


@pytest.mark.parametrize("clause", ["cone_fit", "dry", "rinse", "clear"])
def test_a_gate_without_a_clause_is_a_violation(monkeypatch: pytest.MonkeyPatch, clause: str) -> None:
    monkeypatch.setitem(gate.CLAUSES, clause, lambda _: None)
    assert run(2000, seed=5, stop_at=1).violations
