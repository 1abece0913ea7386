"""The clocks, from a case and a moment alone: what starts each, what ends it, and what no clock may be moved by."""

from __future__ import annotations

import datetime as dt

import pytest
from msgspec import structs

from stepper.case.clocks import Lapse, Timed, Timing, came_to_step, happened, keyed, lapse, timings
from stepper.facts import entries as kinds
from stepper.kinds.rules.computed import ComputedValue
from stepper.kinds.shape import read_table
from stepper.kinds.tables import Sealer, WithinADay
from stepper.protocol.models import Protocol
from stepper.record.clock import Moment, since_1970_us
from tests.case.visit import Visit, at_access, at_fill
from tests.cases import protocol


def after(visit: Visit, seconds: int = 0) -> Moment:
    """The moment so many seconds after the last entry."""
    last = keyed(visit.entries[-1])
    return structs.replace(last, wall_us=last.wall_us + seconds * 1_000_000, mono_us=last.mono_us + seconds * 1_000_000)


def clocks(visit: Visit, seconds: int = 0, canal: int = 1) -> dict[Timed, Timing]:
    case = visit.case()
    return {one.timed: one for one in timings(case, canal, after(visit, seconds), came_to_step(case))}


def seconds(visit: Visit, timed: Timed, later: int = 0, canal: int = 1) -> int | None:
    """What a clock shows; None where it does not run."""
    found = clocks(visit, later, canal).get(timed)
    return found.lapse.seconds if found is not None else None


def with_working_min(minutes: int) -> Protocol:
    """The protocol of a practice that entered the working time of its resin sealer."""
    items = [
        structs.replace(one, working_min=WithinADay(minutes)) if isinstance(one, Sealer) else one
        for one in protocol().item
    ]
    return structs.replace(protocol(), item=tuple(items))


def with_least_solution(minutes: int) -> Protocol:
    """The protocol of a practice whose rule wants solution in the canal for so long."""
    raw = {"id": "short_rinse", "kind": "computed", "weight": "tell", "value": "solution_minutes", "below": minutes}
    rule = read_table(ComputedValue, {**raw, "text": "{canal}: {value} minutes."})
    last = protocol().step[-1]
    return structs.replace(protocol(), step=(*protocol().step[:-1], structs.replace(last, rule=(*last.rule, rule))))


def test_they_come_in_the_order_in_which_they_are_needed() -> None:
    visit = at_fill()
    visit.answer("sealing", 1, sealer_lot="7003")
    visit.rinse()
    assert list(clocks(visit)) == [Timed.SEALER, Timed.SOLUTION, Timed.DAM, Timed.STEP, Timed.VISIT]


def test_the_visit_runs_from_its_opening() -> None:
    visit = Visit()
    assert seconds(visit, Timed.VISIT, 61) == 61
    visit.wait(5)
    visit.answer("diagnosis", complaint="biting")
    assert seconds(visit, Timed.VISIT) == 320


def test_the_step_runs_from_when_one_came_to_it() -> None:
    visit = at_access()
    go = visit.log(kinds.Go, step="length", canal=1, last=False)
    assert came_to_step(visit.case()) == keyed(visit.entries[go])
    visit.log(kinds.Go, step="length", canal=1, last=False)
    assert came_to_step(visit.case()) == keyed(visit.entries[go]), "to where one is, is no coming"
    visit.declare("flare", 1, "not_done")
    visit.log(kinds.Go, step="length", canal=1, last=False)
    assert came_to_step(visit.case()) == keyed(visit.entries[go]), "another step declared, and one stayed"
    done = visit.declare("length", 1)
    assert came_to_step(visit.case()) == keyed(visit.entries[done]), "one went on from what was declared"
    back = visit.log(kinds.Go, step="length", canal=1, last=False)
    assert came_to_step(visit.case()) == keyed(visit.entries[back]), "and came back"
    assert came_to_step(Visit().case()) == keyed(Visit().entries[0])


def test_the_dam_runs_while_it_is_on_and_stands_still_once_it_is_off() -> None:
    visit = Visit()
    assert Timed.DAM not in clocks(visit)
    visit.answer("isolation", dam="on", tight="yes", clamped="46", through="1")
    assert seconds(visit, Timed.DAM, 7) == 7
    visit.wait(10)
    visit.answer("isolation", 0, 2, dam="off")
    assert seconds(visit, Timed.DAM) == seconds(visit, Timed.DAM, 600) == 620
    assert clocks(visit)[Timed.DAM].stopped
    visit.answer("isolation", 0, 3, dam="on", tight="yes", clamped="46", through="1")
    assert seconds(visit, Timed.DAM, 3) == 3
    assert not clocks(visit)[Timed.DAM].stopped
    visit.answer("isolation", 0, 4, dam="on", tight="sealed", clamped="46", through="1")
    assert seconds(visit, Timed.DAM) == 20, "said once more, it goes on"


def test_a_dam_that_was_keyed_wrong_was_never_on_and_one_measured_anew_was() -> None:
    visit = Visit()
    on = visit.answer("isolation", dam="on", tight="yes", clamped="46", through="1")
    visit.correct(on, dam="off")
    assert Timed.DAM not in clocks(visit)
    visit = Visit()
    on = visit.answer("isolation", dam="on", tight="yes", clamped="46", through="1")
    visit.wait(5)
    visit.correct(on, anew=True, dam="off")
    assert (seconds(visit, Timed.DAM, 900), clocks(visit)[Timed.DAM].stopped) == (320, True)


def test_the_solution_runs_from_its_last_rinse_until_the_canal_is_dry() -> None:
    visit = at_access()
    visit.agree()
    assert Timed.SOLUTION not in clocks(visit)
    visit.rinse("hypochlorite_3")
    visit.wait(2)
    visit.rinse("edta_17")
    running = clocks(visit, 9)[Timed.SOLUTION]
    assert (running.lapse, running.item and running.item.id) == (Lapse(9), "edta_17")
    assert Timed.SOLUTION not in clocks(visit, canal=2), "another canal's is none of this one"
    visit.dry("wet")
    assert seconds(visit, Timed.SOLUTION) == 20, "still wet"
    visit.dry("dry")
    assert Timed.SOLUTION not in clocks(visit)
    visit.rinse("saline")
    assert seconds(visit, Timed.SOLUTION, 4) == 4


def test_the_solution_of_a_canal_that_joins_is_in_both_and_a_dressing_ends_it() -> None:
    visit = at_access()
    visit.rinse("hypochlorite_3", canal=2)
    visit.join(2, 1)
    assert seconds(visit, Timed.SOLUTION, canal=1) == seconds(visit, Timed.SOLUTION, canal=2) == 20
    visit.answer("dressing", 1, material="calcium_hydroxide")
    assert Timed.SOLUTION not in clocks(visit, canal=1)
    assert Timed.SOLUTION in clocks(visit, canal=2)


def test_what_happened_minutes_ago_started_its_clock_then() -> None:
    visit = at_access()
    visit.wait(10)
    seq = visit.rinse("hypochlorite_3", ago=5)
    assert seconds(visit, Timed.SOLUTION) == 300
    visit.correct(seq, solution="saline")
    assert seconds(visit, Timed.SOLUTION) == 320, "a correction of what it was leaves when it was"
    assert clocks(visit)[Timed.SOLUTION].item == protocol().by_id("saline")
    at = happened(visit.case(), seq)
    assert keyed(visit.entries[seq]).wall - at.wall == dt.timedelta(minutes=5)


def test_the_sealer_runs_from_its_lot_until_the_canal_is_filled() -> None:
    visit = at_fill()
    assert Timed.SEALER not in clocks(visit)
    lot = visit.answer("sealing", 1, sealer_lot="7003")
    assert seconds(visit, Timed.SEALER, 65) == 65
    assert Timed.SEALER not in clocks(visit, canal=2)
    visit.correct(lot, sealer_lot="7004")
    assert seconds(visit, Timed.SEALER) == 20, "another number, the same mix"
    anew = visit.correct(lot, anew=True, sealer_lot="7005")
    assert seconds(visit, Timed.SEALER) == 0, f"mixed anew in entry {anew}"
    visit.answer("sealing", 1, fill="filled")
    assert Timed.SEALER not in clocks(visit)


def test_a_sealer_that_was_not_keyed_is_not_timed() -> None:
    visit = at_fill()
    visit.answer("sealing", 1, sealer_lot="-/")
    assert Timed.SEALER not in clocks(visit)


@pytest.mark.parametrize(("minutes", "later", "reached"), [(None, 9000, False), (20, 1199, False), (20, 1200, True)])
def test_the_working_time_is_the_practices_own_or_none(minutes: int | None, later: int, reached: bool) -> None:
    visit = at_fill()
    visit.plan = with_working_min(minutes) if minutes else visit.plan
    visit.answer("sealing", 1, sealer_lot="7003")
    running = clocks(visit, later)[Timed.SEALER]
    assert (running.limit_min, running.reached) == (minutes, reached)
    assert running.lapse == Lapse(later)


def test_the_least_solution_time_counts_from_the_first_rinse() -> None:
    visit = at_access()
    visit.plan = with_least_solution(20)
    visit.rinse("hypochlorite_3")
    visit.wait(19)
    visit.rinse("hypochlorite_3")
    assert not clocks(visit, 39)[Timed.SOLUTION].reached
    assert clocks(visit, 40)[Timed.SOLUTION].reached
    assert clocks(visit, 40)[Timed.SOLUTION].limit_min == 20
    visit.plan = protocol()
    assert clocks(visit, 9000)[Timed.SOLUTION].limit_min is None


NOW = Moment(since_1970_us(dt.datetime(2026, 3, 2, 8, 0, tzinfo=dt.UTC)), "+01:00", "", 5_000_000_000, "one")


def test_asleep_counts_and_a_wall_clock_that_is_set_does_not() -> None:
    woke = structs.replace(NOW, mono_us=NOW.mono_us + 3600_000_000)
    assert lapse(NOW, woke) == Lapse(3600), "an hour asleep is an hour, though the wall stood still"
    for days in (-4000, -1, 1, 4000):
        set_anew = structs.replace(woke, wall_us=NOW.wall_us + days * 86_400_000_000, offset="-09:30")
        assert lapse(NOW, set_anew) == Lapse(3600)


def test_across_a_restart_only_the_wall_tells_and_says_about() -> None:
    other = structs.replace(NOW, boot="two", mono_us=7, wall_us=NOW.wall_us + 12 * 60_000_000)
    assert lapse(NOW, other) == Lapse(720, about=True)
    assert lapse(other, NOW) == Lapse(None, about=True), "a wall clock that went back tells nothing"
    visit = at_access()
    visit.rinse("hypochlorite_3")
    visit.boot = "boot-2"
    visit.wait(3)
    visit.rinse("edta_17", canal=2)
    assert clocks(visit)[Timed.SOLUTION].lapse == Lapse(200, about=True)
    assert clocks(visit, canal=2)[Timed.SOLUTION].lapse == Lapse(0)


def test_entries_that_no_keyboard_would_make_do_no_harm() -> None:
    visit = Visit()
    on = visit.answer("isolation", dam="on", tight="yes", clamped="46", through="1")
    value = visit.values("isolation", {"dam": "off"})
    visit.log(kinds.Correction, of=on + 1, how="measured_anew", values=value)
    visit.log(kinds.Correction, of=999, how="measured_anew", values=value)
    assert seconds(visit, Timed.DAM) == 40
