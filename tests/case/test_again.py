"""Folding a log entry by entry leaves the same case as folding it again from its first entry, whatever was logged."""

from __future__ import annotations

import copy
from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepper.case import fold
from stepper.case.fold import _catch_up
from stepper.case.gate import shut
from stepper.case.judge import judge
from stepper.facts.entries import Answer, Correction
from tests.case.looking import outcome
from tests.case.visit import Visit, at_access, at_fill, one_by_one
from tests.cases import fill

Act = Callable[[Visit, int, int | None], object]

FILES = ("10/2-0", "25/4-0", "35/4-0", "40/4-0.5", "35/4+0.5")
SIZES = ("30/4", "35/4", "40/4", "35/2", "--")
PURPOSES = ("cut", "recapitulate", "patency", "scout")
ITEMS = ("edta_17", "hypochlorite_3", "saline", "chlorhexidine_2", "--")
CHOICES = (
    ("single_cone", "resin_sealer"),
    ("cold_lateral", "resin_sealer"),
    ("warm_vertical", "calcium_silicate_sealer"),
)


def _file(purpose: str, file: str) -> Act:
    return lambda visit, canal, ago: visit.file(file, purpose, canal, ago=ago)


def _master(size: str) -> Act:
    return lambda visit, canal, ago: visit.master(size, canal, ago=ago)


def _rinse(item: str) -> Act:
    return lambda visit, canal, ago: visit.rinse(item, canal=canal, ago=ago)


def _dry(found: str) -> Act:
    return lambda visit, canal, ago: visit.dry(found, canal=canal, ago=ago)


def _fit(cone: str) -> Act:
    return lambda visit, canal, ago: visit.fit(cone, canal, ago=ago)


def _choose(technique: str, sealer: str) -> Act:
    return lambda visit, canal, _: visit.choose(technique, sealer, canal)


def _tooth(step: str, **typed: str) -> Act:
    return lambda visit, _, ago: visit.answer(step, ago=ago, **typed)


def _correct(back: int, anew: bool) -> Act:
    """Say, as keyed wrong or measured anew, that one of the last answers has no first fact."""

    def act(visit: Visit, _: int, __: int | None) -> None:
        answers = [one for one in visit.entries if isinstance(one, Answer | Correction)]
        target = answers[max(len(answers) - back, 0)]
        name = sorted(target.values)[0]
        if name not in ("patient", "tooth"):
            visit.correct(target.seq, anew=anew, **{name: "-/"})

    return act


def _confirm(visit: Visit, _: int, __: int | None) -> None:
    waiting = visit.case().unconfirmed
    if waiting:
        visit.confirm(waiting[0])


def _drop(visit: Visit, canal: int, _: int | None) -> None:
    visit.hold("drying", canal, visit.row_after("drying", canal) - 1 or 1, drops=True)


ACTS: list[Act] = [
    *(_file(purpose, file) for purpose in PURPOSES for file in FILES),
    *(_master(size) for size in SIZES),
    *(_rinse(item) for item in ITEMS),
    *(_dry(found) for found in ("dry", "wet", "-/")),
    *(_fit(cone) for cone in SIZES),
    *(_choose(*pair) for pair in CHOICES),
    *(_correct(back, anew) for back in range(1, 12) for anew in (False, True)),
    _tooth("isolation", dam="off"),
    _tooth("isolation", dam="on"),
    _tooth("diagnosis", allergies="epoxy"),
    _tooth("diagnosis", allergies="none"),
    _tooth("time_out", patient_number="4712"),
    _tooth("time_out", patient_number="4711"),
    lambda visit, canal, ago: visit.agree("20", canal, ago=ago),
    lambda visit, canal, _: visit.join(canal, 3 - canal, "17"),
    lambda visit, canal, _: visit.declare("drying", canal),
    lambda visit, _, __: visit.found(4, "MM"),
    lambda visit, _, __: visit.correct(0, patient="4712"),
    lambda visit, canal, ago: fill(visit, canal, ago=ago),
    _confirm,
    _confirm,
    _drop,
]

STEPS = st.lists(
    st.tuples(
        st.sampled_from(ACTS), st.sampled_from((1, 2)), st.sampled_from((None, None, None, 1, 3)), st.integers(0, 2)
    ),
    min_size=1,
    max_size=8,
)


@settings(max_examples=80, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(STEPS)
def test_folded_one_by_one_is_folded_again(steps: list[tuple[Act, int, int | None, int]]) -> None:
    visit = at_fill(1, 2)
    for act, canal, ago, minutes in steps:
        visit.wait(minutes)
        act(visit, canal, ago)
    as_keyed = one_by_one(visit)
    again = copy.copy(as_keyed)
    again.behind = True
    _catch_up(again)
    assert again.told is not as_keyed.told
    assert as_keyed.told == again.told
    assert as_keyed.sure == again.sure
    assert judge(as_keyed) == judge(again)
    for canal in as_keyed.told.canals:
        assert shut(as_keyed, canal) == shut(again, canal)


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(STEPS)
def test_a_canal_is_filled_only_if_its_gate_was_open_when_the_act_was_logged(
    steps: list[tuple[Act, int, int | None, int]],
) -> None:
    visit = at_fill(1, 2)
    for act, canal, ago, minutes in steps:
        visit.wait(minutes)
        act(visit, canal, ago)
    for canal in (1, 2):
        shut_before = bool(visit.why(canal))
        seq = visit.answer("sealing", canal, fill="filled")
        assert visit.case().fills[seq] is not shut_before
        assert outcome(visit, canal) == ("filled_outside" if shut_before else "filled")


def test_a_canal_that_was_gone_and_came_back_is_joined_as_when_it_is_folded_again() -> None:
    visit = at_access("mb+ml+d")
    named = next(one.seq for one in reversed(visit.entries) if isinstance(one, Answer) and "canals" in one.values)
    visit.join(1, 3)
    gone = visit.correct(named, canals="mb+ml")
    visit.found(3, "D")
    visit.confirm(gone)
    visit.shape(canal=1)
    visit.finish(1)
    visit.file("20/4-0", canal=3)
    as_keyed = one_by_one(visit)
    assert shut(as_keyed, 1) == shut(visit.case(), 1)
    assert {"cone_fit", "dry", "rinse"} <= set(shut(as_keyed, 1)), "the file in canal 3 was in the part that they share"
    again = copy.copy(as_keyed)
    again.behind = True
    _catch_up(again)
    assert (again.told, again.sure) == (as_keyed.told, as_keyed.sure)


def test_an_entry_in_order_folds_nothing_again_whatever_was_confirmed_before(monkeypatch: pytest.MonkeyPatch) -> None:
    visit = at_fill(1, 2)
    late = visit.answer("irrigation", 1, 9, ago=1, solution="edta_17", volume="2")
    other = visit.answer("irrigation", 2, 9, ago=1, solution="edta_17", volume="2")
    visit.confirm(late)
    case = one_by_one(visit)
    assert case.unconfirmed == (other,)
    folded: list[bool] = []
    again = fold._folded
    monkeypatch.setattr(fold, "_folded", lambda *of, **how: (folded.append(how["sure"]), again(*of, **how))[1])
    before = len(visit.entries)
    visit.answer("diagnosis", row=1, restorable="yes")
    fold.apply(case, visit.entries[before])
    assert folded == []
    visit.confirm(other)
    fold.apply(case, visit.entries[-1])
    assert folded == [], "all is confirmed: what is sure is what was told"
    assert case.sure is case.told
