"""How a canal ended, as the record tells it: what was done comes before what was stated."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from stepper.kinds.outcome import outcome_of, treated, without_outcome
from tests.case.looking import is_open, of, outcome, reasons
from tests.cases import Log, examined, fill, fitted, opened, ready, shaped


def test_a_canal_has_no_outcome_to_begin_with() -> None:
    case = opened(examined(Log())).case()
    assert [outcome_of(case.told, canal) for canal in (1, 2, 3)] == [None] * 3
    assert [one.number for one in without_outcome(case.told)] == [1, 2, 3]
    assert not treated(case.told, 1)


def test_filled_through_an_open_gate() -> None:
    log = ready()
    fill(log)
    assert outcome(log) == "filled" and outcome(log, 2) is None
    assert set(reasons(log)) == {"clear"}


@pytest.mark.parametrize("missing", ["drying", "cone_fit", "irrigation", "isolation", "time_out", "set_up"])
def test_filled_while_the_gate_was_shut_is_outside_the_chain(missing: str) -> None:
    log = ready()
    log.entries = [
        replace(one, step="no_such_step") if getattr(one, "step", "") == missing else one for one in log.entries
    ]
    assert not is_open(log)
    fill(log)
    assert outcome(log) == "filled_outside"


def test_filled_outside_stays_so_when_what_was_missing_is_keyed_and_confirmed() -> None:
    log = opened(examined(Log()))
    shaped(log)
    seq = fill(log)
    fitted(log)
    log.confirm(*log.case().unconfirmed)
    assert log.case().fills[seq] is False and outcome(log) == "filled_outside"


def test_an_act_logged_outside_the_chain_is_not_filled_even_through_an_open_gate() -> None:
    log = ready()
    log.answer("sealing", 1, fill="filled", outside=True)
    assert outcome(log) == "filled_outside"


def test_a_second_fill_is_outside_the_chain() -> None:
    log = ready()
    fill(log)
    log.answer("sealing", 1, fill="filled")
    assert outcome(log) == "filled_outside"


def test_a_second_fill_that_is_said_to_have_come_first_is_outside_the_chain_too() -> None:
    log = ready()
    log.wait(20)
    fill(log)
    log.answer("sealing", 1, ago=5, fill="filled")
    assert outcome(log) == "filled_outside"


def test_the_same_fill_measured_anew_is_no_second_one() -> None:
    log = ready()
    log.correct(fill(log), anew=True, fill="filled")
    assert outcome(log) == "filled"


def test_a_fill_of_a_canal_that_is_not_there_fills_none() -> None:
    log = ready()
    seq = log.answer("sealing", 7, fill="filled")
    assert log.case().fills[seq] is False
    log.found(7, "late")
    assert outcome(log, 7) == "filled_outside"


def test_a_fill_that_waits_for_the_yes_is_filled_meanwhile() -> None:
    log = ready()
    log.wait(20)
    log.answer("dressing", 1, material="other")
    seq = log.answer("sealing", 1, ago=5, fill="filled")
    assert seq in log.case().late
    assert outcome(log) == "filled" and "clear" in reasons(log)


@pytest.mark.parametrize("absent", ["--", "-/", "-."])
def test_a_fill_not_done_is_no_outcome(absent: str) -> None:
    log = ready()
    seq = log.answer("sealing", 1, fill=absent)
    assert seq not in log.case().fills
    assert outcome(log) is None and is_open(log)


def test_dressed_then_filled() -> None:
    log = ready()
    log.answer("dressing", 1, material="calcium_hydroxide")
    assert outcome(log) == "dressed"
    fill(log)
    assert outcome(log) == "filled"


def test_what_was_stated_comes_before_the_dressing_and_after_the_fill() -> None:
    log = ready()
    log.answer("dressing", 1, material="calcium_hydroxide")
    log.answer("closing", 1, outcome="blocked")
    assert outcome(log) == "blocked"
    log.answer("closing", 1, outcome="--")
    assert outcome(log) == "dressed"
    log.answer("closing", 1, outcome="fragment")
    fill(log)
    assert outcome(log) == "filled"


def test_a_canal_that_joins_says_so_and_the_main_one_does_not() -> None:
    log = ready()
    log.join(2, 1)
    assert outcome(log, 2) == "joins" and outcome(log, 1) is None
    assert treated(log.case().told, 1) and not treated(log.case().told, 2)


def test_a_dressing_by_mistake_is_none() -> None:
    log = ready()
    seq = log.answer("dressing", 1, material="calcium_hydroxide")
    log.correct(seq, material="--")
    assert outcome(log) is None
    assert of(log, "dressing.material", 1) == seq
