"""Every clause of the gate is guarded: taken out, the tests named after it fail."""

from __future__ import annotations

import pytest

from stepper.case.gate import CLAUSES
from tests.case.visit import at_fill
from tests.cases import fill
from tests.gate import clauses, noticing, the_tests, without


@pytest.mark.parametrize("clause", CLAUSES)
def test_the_loss_of_a_clause_is_noticed_by_its_own_tests(clause: str) -> None:
    own = {name for name in the_tests() if name.startswith(f"test_{clause}_")}
    noticed = set(noticing(clause))
    assert noticed & own
    assert [name for name in own if "_shut_" in name and name not in noticed] == []


def test_a_clause_taken_out_is_put_back() -> None:
    before = dict(CLAUSES)
    visit = at_fill()
    fill(visit)
    with pytest.raises(RuntimeError), without("clear"):
        assert visit.why() == {}
        raise RuntimeError
    assert before == CLAUSES
    assert visit.shut() == {"clear"}


def test_the_tests_are_whole_while_no_clause_is_out(capsys: pytest.CaptureFixture[str]) -> None:
    assert clauses() == 0
    printed = capsys.readouterr().out.splitlines()
    assert [line.partition(":")[0] for line in printed] == list(CLAUSES)


def test_a_clause_that_no_test_notices_is_told() -> None:
    assert noticing("lots", {"test_nothing": lambda: None}) == ()
    assert noticing("lots", {"test_something": lambda: [][0]}) == ("test_something",)
