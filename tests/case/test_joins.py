"""Canals that join: what happens in the shared part happens to both, whenever the join was noticed."""

from __future__ import annotations

import pytest

from tests.case.looking import is_open, outcome, reasons, reopened
from tests.cases import Log, examined, fill, fitted, opened, shaped


def together(canals: tuple[int, ...] = (1, 2)) -> Log:
    """Canals that were shaped, then rinsed, then dried and fitted, each step in all of them: all gates are open."""
    log = opened(examined(Log()))
    for canal in canals:
        shaped(log, canal)
    for canal in canals:
        for row, item in enumerate(("edta_17", "hypochlorite_3"), start=3):
            rinse(log, canal, item, row)
    for canal in canals:
        fitted(log, canal)
    return log


def cut(log: Log, canal: int, depth: str, purpose: str = "cut", row: int = 9) -> int:
    return log.answer("shaping", canal, row, file=f"20/4{depth}", purpose=purpose)


def rinse(log: Log, canal: int, item: str = "hypochlorite_3", row: int = 9) -> int:
    return log.answer("irrigation", canal, row, solution=item, volume="2", needle_depth="-3", needle="needle_30_side")


def test_joining_alone_shuts_nothing() -> None:
    log = together()
    log.join(2, 1, "17")
    assert is_open(log, 1) and is_open(log, 2)


def test_a_join_noticed_late_reopens_what_was_fitted_before_the_other_was_cut() -> None:
    log = together((1,))
    shaped(log, 2)
    assert is_open(log, 1)
    log.join(2, 1, "17")
    assert {"cone_fit", "dry", "rinse"} <= set(reasons(log, 1))


@pytest.mark.parametrize("when", ["before", "after"])
def test_a_cut_in_the_shared_part_reopens_both_even_if_the_join_is_noticed_later(when: str) -> None:
    log = together()
    if when == "before":
        log.join(2, 1, "17")
    cut(log, 2, "-0")
    if when == "after":
        log.join(2, 1, "17")
    assert {"cone_fit", "dry", "rinse"} <= set(reasons(log, 1))
    assert {"cone_fit", "dry", "rinse"} <= set(reasons(log, 2))
    assert {"irrigation", "drying", "cone_fit"} <= reopened(log, 1)
    assert {"irrigation", "drying", "cone_fit"} <= reopened(log, 2)


@pytest.mark.parametrize("when", ["before", "after"])
def test_a_cut_above_the_join_reopens_its_own_canal_only(when: str) -> None:
    log = together()
    base = reopened(log, 1)
    log.join(2, 1, "17") if when == "before" else None
    cut(log, 2, "-6")  # 14.5 mm from its reference point
    log.join(2, 1, "17") if when == "after" else None
    assert {"cone_fit", "dry", "rinse"} <= set(reasons(log, 2))
    assert "cone_fit" not in reasons(log, 1)
    assert reopened(log, 1) - base <= {"drying", "cone_fit"}


def test_where_the_join_lies_in_the_main_canal_is_not_known_so_any_file_of_it_may_have_been_there() -> None:
    log = together()
    log.join(2, 1, "17")
    cut(log, 1, "-6")
    assert {"cone_fit", "dry", "rinse"} <= set(reasons(log, 2))


def test_a_join_of_unknown_depth_shares_everything() -> None:
    log = together()
    log.join(2, 1)
    cut(log, 2, "-6")
    assert {"cone_fit", "dry", "rinse"} <= set(reasons(log, 1))


@pytest.mark.parametrize("when", ["before", "after"])
def test_a_rinse_in_one_reopens_the_drying_of_both(when: str) -> None:
    log = together()
    log.join(2, 1, "17") if when == "before" else None
    rinse(log, 2)
    log.join(2, 1, "17") if when == "after" else None
    assert set(reasons(log, 1)) == {"dry"} and set(reasons(log, 2)) == {"dry"}
    assert "drying" in reopened(log, 1)


def test_a_patency_file_in_the_shared_part_reopens_the_drying_of_both() -> None:
    log = together()
    log.join(2, 1, "17")
    cut(log, 2, "-0", purpose="patency")
    assert set(reasons(log, 1)) == {"dry"} and set(reasons(log, 2)) == {"dry"}


def test_the_final_rinse_of_one_is_not_the_final_rinse_of_the_other() -> None:
    log = together()
    log.join(2, 1, "17")
    cut(log, 2, "-0")
    for row, item in enumerate(("edta_17", "hypochlorite_3"), start=10):
        rinse(log, 2, item, row)
    assert "rinse" not in reasons(log, 2)
    assert "rinse" in reasons(log, 1)


def test_canals_that_join_in_a_row_are_all_together() -> None:
    log = together((1, 2, 3))
    log.join(3, 2)
    log.join(2, 1)
    rinse(log, 3)
    assert all(set(reasons(log, canal)) == {"dry"} for canal in (1, 2, 3))


def test_a_ring_of_joins_is_no_endless_one() -> None:
    log = together()
    log.join(1, 2)
    log.join(2, 1)
    rinse(log, 1)
    assert set(reasons(log, 2)) == {"dry"}


def test_a_join_with_a_canal_that_is_not_there_is_none() -> None:
    log = together()
    log.join(2, 8)
    log.join(8, 1)
    assert is_open(log, 1) and is_open(log, 2) and outcome(log, 2) is None


def test_the_joining_canal_has_an_outcome_and_keeps_its_fill() -> None:
    log = together()
    log.join(2, 1, "17")
    assert outcome(log, 2) == "joins" and outcome(log, 1) is None
    fill(log, 1)
    assert outcome(log, 1) == "filled"
    assert is_open(log, 2)
