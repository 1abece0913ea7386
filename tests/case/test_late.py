"""Late entries: their place in the order, when one is late, shutting at once and opening on the clinician's yes."""

from __future__ import annotations

import datetime as dt

import pytest
from msgspec.structs import replace

from stepper.case.gate import shut
from stepper.facts import entries as kinds
from tests.case.looking import is_open, of, outcome, reasons
from tests.cases import Log, examined, fill, fitted, opened, ready, shaped


def irrigate(log: Log, row: int, item: str, *, canal: int = 1, ago: int | None = None) -> int:
    return log.answer(
        "irrigation", canal, row, ago=ago, solution=item, volume="2", needle_depth="-3", needle="needle_30_side"
    )


def test_the_log_of_the_tests_is_open() -> None:
    assert is_open(ready())


def test_a_late_entry_shuts_at_once_and_stays_shut_when_confirmed() -> None:
    log = ready()
    seq = log.answer("drying", 1, 2, ago=None, point_depth="0", dryness="wet", damp_mm="3", blood="none")
    assert seq not in log.case().late
    log = ready()
    log.wait(30)
    log.answer("diagnosis", row=1, restorable="yes")
    seq = log.answer("shaping", 1, 3, ago=1, file="40/4-0", purpose="cut")
    assert seq in log.case().late
    assert {"master_apical_file", "cone_fit", "dry", "rinse"} <= set(reasons(log))
    log.confirm(seq)
    assert "master_apical_file" in reasons(log)


def test_a_late_entry_opens_only_when_the_clinician_has_confirmed_it() -> None:
    log = opened(examined(Log()))
    shaped(log)
    log.answer("cone_fit", 1, row=0, technique="single_cone", sealer="resin_sealer")
    log.wait(5)
    log.answer("cone_fit", 1, cone="35/4", seat="0", tug_back="yes", cone_image="seated")
    seq = log.answer("drying", 1, ago=3, point_depth="0", dryness="dry", blood="none")
    assert seq in log.case().late and log.case().unconfirmed == (seq,)
    assert set(reasons(log)) == {"dry"} and "not confirmed" in reasons(log)["dry"]
    log.confirm(seq)
    assert is_open(log) and log.case().unconfirmed == ()


def test_an_entry_keyed_minutes_late_is_not_late_when_nothing_of_its_canal_came_since() -> None:
    log = opened(examined(Log()))
    fitted(shaped(log))
    log.entries.pop()
    log.wait(5)
    shaped(log, 2)  # another canal's business does not make it late
    seq = log.answer("cone_fit", 1, ago=5, cone="35/4", seat="0", tug_back="yes", cone_image="seated")
    assert seq not in log.case().late and is_open(log)


def test_a_correction_of_another_canal_does_not_make_an_entry_late() -> None:
    log = opened(examined(Log()))
    fitted(shaped(log))
    log.entries.pop()
    shaped(log, 2)
    log.correct(of(log, "length.electronic", 2), electronic="20.4")
    seq = log.answer("cone_fit", 1, ago=1, cone="35/4", seat="0", tug_back="yes", cone_image="seated")
    assert seq not in log.case().late


def test_a_correction_of_its_own_canal_makes_an_entry_late() -> None:
    log = opened(examined(Log()))
    fitted(shaped(log))
    log.entries.pop()
    log.wait(5)
    log.correct(of(log, "length.electronic", 1), electronic="20.4", anew=True)
    seq = log.answer("cone_fit", 1, ago=2, cone="35/4", seat="0", tug_back="yes", cone_image="seated")
    assert seq in log.case().late


def test_a_late_entry_is_late_by_its_place_not_by_when_the_other_late_one_was_keyed() -> None:
    log = opened(examined(Log()))
    log.wait(60)
    shaped(log, 2)
    first = log.answer("length", 1, 1, ago=50, electronic="20")
    second = log.answer("length", 1, 2, ago=10, electronic="20.5")
    assert log.case().late == set()
    assert log.case().places[first] < log.case().places[second]


def test_what_the_fill_rested_on_is_late_when_keyed_after_the_fill() -> None:
    log = ready()
    fill(log)
    seq = log.answer("drying", 1, 2, point_depth="0", dryness="wet", damp_mm="2", blood="none")
    assert seq in log.case().late
    assert outcome(log) == "filled"
    assert log.answer("dressing", 1, material="other") not in log.case().late


def test_measured_anew_after_the_fill_is_late_too() -> None:
    log = ready()
    seq = fill(log)
    anew = log.correct(of(log, "drying.dryness", 1), anew=True, dryness="dry")
    assert anew in log.case().late and anew in log.case().unconfirmed
    log.confirm(log.correct(seq, fill="--"))
    assert "sure" not in reasons(log)
    assert log.case().sure.role("dryness", 1).seq != anew  # type: ignore[union-attr]


def test_two_late_entries_stand_in_the_order_of_their_moments() -> None:
    log = opened(examined(Log()))
    log.wait(60)
    log.answer("length", 1, row=0, estimate="20")
    later = log.answer("shaping", 1, 1, ago=10, file="30/4-0", purpose="cut")
    earlier = log.answer("shaping", 1, 2, ago=20, file="25/4-0", purpose="cut")
    assert log.case().places[earlier] < log.case().places[later]
    assert [use.size for use in log.case().told.canals[1].files] == [25, 30]


def test_moments_before_this_boot_stand_in_their_order_after_the_boot_before() -> None:
    log = opened(examined(Log()))
    before = len(log.entries) - 1
    log.boot, log.elapsed_s = "boot-2", 60
    log.log(kinds.Resume, app="test")
    resumed = len(log.entries) - 1
    later = log.answer("shaping", 1, 1, ago=10, file="30/4-0", purpose="cut")
    earlier = log.answer("shaping", 1, 2, ago=20, file="25/4-0", purpose="cut")
    places = log.case().places
    assert places[before] < places[earlier] < places[later] < places[resumed]


def test_moments_before_the_session_stand_in_their_order_and_are_not_taken_for_stale() -> None:
    log = Log()
    later = log.answer("time_out", ago=10, patient_number="4711", tooth_on_image="46")
    earlier = log.answer("time_out", ago=20, patient_number="4712", tooth_on_image="46")
    case = log.case()
    assert case.places[earlier] < case.places[later] < (0, 0, 1)
    assert case.told.role("patient_check", 0).seq == later  # type: ignore[union-attr]
    log = ready()
    fresh = Log()
    fresh.answer("time_out", ago=60, patient_number="4711", tooth_on_image="46", tooth_in_mouth="46")
    for one in log.entries[1:]:
        if isinstance(one, kinds.Answer) and one.step != "time_out":
            fresh.log(kinds.Answer, step=one.step, canal=one.canal, row=one.row, values=one.values)
    assert is_open(fresh)


def test_an_entry_after_the_clock_was_set_back_keeps_its_place() -> None:
    log = ready()
    back = replace(log.entries[-1], t=log.entries[-1].t - dt.timedelta(days=2))
    log.entries[-1] = back
    assert is_open(log)
    assert log.case().places[back.seq] == (back.seq, 0, back.seq)


def test_entries_of_another_boot_stand_by_their_numbers() -> None:
    log = opened(examined(Log()))
    log.boot, log.elapsed_s = "boot-2", 0  # the machine was started again: its clock counts from 0 anew
    fitted(shaped(log))
    assert is_open(log)


@pytest.mark.parametrize(("ago", "expected"), [(1, "filled"), (15, "filled_outside")])
def test_a_fill_keyed_late_is_judged_where_it_happened_too(ago: int, expected: str) -> None:
    log = opened(examined(Log()))
    shaped(log)
    log.wait(10)
    fitted(log)
    log.wait(3)
    log.answer("sealing", 1, sealer_lot="7003")
    seq = log.answer("sealing", 1, ago=ago, fill="filled")
    assert outcome(log) == expected
    assert log.case().fills[seq] is (expected == "filled")


def test_a_late_fill_is_judged_with_the_corrections_that_came_after_its_moment() -> None:
    log = opened(examined(Log()))
    fitted(shaped(log))
    wrong = of(log, "shaping.master", 1)
    log.entries[wrong] = replace(log.entries[wrong], values=log.values("shaping", {"master": "40/4"}))
    log.wait(30)
    log.answer("diagnosis", row=1, restorable="yes")
    log.confirm(log.correct(wrong, master="35/4"))
    assert is_open(log)
    log.answer("sealing", 1, ago=20, fill="filled")
    assert outcome(log) == "filled"


def test_a_late_fill_does_not_count_what_was_measured_anew_after_its_moment() -> None:
    log = opened(examined(Log()))
    shaped(log)
    log.answer("drying", 1, point_depth="0", dryness="wet", damp_mm="2", blood="none")
    log.answer("cone_fit", 1, row=0, technique="single_cone", sealer="resin_sealer")
    log.answer("cone_fit", 1, cone="35/4", seat="0", tug_back="yes", cone_image="seated")
    log.wait(30)
    log.correct(of(log, "drying.dryness", 1), anew=True, dryness="dry")
    assert is_open(log)
    log.answer("sealing", 1, ago=20, fill="filled")
    assert outcome(log) == "filled_outside"


def test_a_yes_said_before_an_entry_is_none_for_it() -> None:
    log = ready()
    fill_of = of(log, "shaping.master", 1)
    ahead = len(log.entries) + 1
    log.confirm(ahead)
    assert log.correct(fill_of, master="40/4") == ahead
    assert ahead in log.case().unconfirmed


def test_a_fact_keyed_late_from_before_its_canal_was_named_is_kept() -> None:
    log = examined(Log())
    log.wait(30)
    opened(log)
    seq = log.answer("shaping", 1, 7, ago=20, file="45/4-0", purpose="cut")
    fitted(shaped(log))
    assert seq in log.case().late
    assert "master_apical_file" in reasons(log)


def late_canal() -> tuple[Log, int]:
    """A premolar with canal B; an entry keyed late names L too."""
    log = opened(examined(Log(tooth="45")), "b")
    log.wait(30)
    log.answer("isolation", tight="yes")
    return log, log.answer("access", row=1, ago=20, canals="b+l")


def test_a_canal_that_only_an_unconfirmed_entry_names_is_not_filled() -> None:
    log, late = late_canal()
    assert late in log.case().late
    fitted(shaped(log, 2), 2)
    assert "clear" in reasons(log, 2) and all("not confirmed" in one for one in reasons(log, 2).values())
    assert set(shut(log.case(), 9)) == {"clear"}
    log.confirm(late)
    assert reasons(log, 2) == {}


def test_a_canal_whose_number_another_one_has_without_the_unconfirmed_entry_is_not_filled() -> None:
    log, late = late_canal()
    log.answer("access", row=1, canals="b+d")
    fitted(shaped(log, 2), 2)
    case = log.case()
    assert (case.told.canals[2].name, case.sure.canals[2].name) == ("L", "D")
    assert all("not confirmed" in one for one in reasons(log, 2).values()) and "clear" in reasons(log, 2)
    log.confirm(late)
    assert is_open(log, 2)
