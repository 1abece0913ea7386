"""What of a record is drawn of a canal: bounds, stops, the files, the cone, and the words where there are no bounds."""

from __future__ import annotations

from decimal import Decimal

import pytest

from stepper.note.drawing import draw
from stepper.note.drawn import FILES_DRAWN, STOPS_DRAWN, scene_of
from stepper.note.scene import Profile, Scene, Stop
from tests.case.second import begun, brought, file
from tests.case.visit import Visit
from tests.kinds.values import visit
from tests.kinds.values_gauged import as_designed, gauge
from tests.note.scenes import legend, tapered

D = Decimal

CAVEAT = "Round, straight canal assumed. A ledge, a curve, debris or an oval canal make {} wrong."


def scene(log: Visit, canal: int = 1, span: str = "16") -> Scene:
    case = log.case()
    found = scene_of(case, case.told.canals[canal], D(span))
    for mm in ("4", "16"):  # whatever is drawn has room
        rows = draw(scene_of(case, case.told.canals[canal], D(mm)))
        assert max(map(len, rows)) <= 78
    return found


def instrument(name: str, sign: str, size: str, taper: str, short: str = "0") -> Profile:
    return Profile(name, sign, D(short), tapered(D(size) / 100, D(taper)))


def test_nothing_was_done_yet():
    assert scene(visit(), canal=2) == Scene("ML", None)


def test_bounds_stops_and_what_holds_if_a_file_was_held_at_its_tip():
    log = visit()
    as_designed(log)
    found = scene(log)
    assert (found.canal, found.length_mm, found.span_mm) == ("MB", D("20.5"), D(16))
    # 0.28 + 0.02 x; from 0.8 mm up the 35 proves 0.314 + 0.02 x, from 2.1 mm up the cut 0.23 + 0.06 x. At most 0.434 as
    # far as 0.2 mm, where the 35 may rest.
    up = (("0", "0.28"), ("0.8", "0.296"), ("0.8", "0.33"), ("2.1", "0.356"), ("16", "1.19"))
    assert found.lower == tuple((D(x), D(width)) for x, width in up)
    assert [found.most_mm(D(x)) for x in ("0", "0.2", "0.3")] == [D("0.434"), D("0.434"), None]
    assert found.tip_held_mm == D("0.37")
    assert found.stops == (Stop("35/.02", D("0.5"), D("0.35")),)
    assert found.profiles == (instrument("cut 25/.06", "A", "25", "0.06"),)
    assert found.caveat == CAVEAT.format("both")
    assert found.no_bounds == ""


def test_the_span_asked_for_is_drawn():
    log = visit()
    as_designed(log)
    assert scene(log, span="4").span_mm == 4


def test_while_nothing_was_held_one_bound_is_wrong_where_the_model_is():
    log = visit()
    gauge(log, "30-0")
    found = scene(log)
    assert (found.upper, found.tip_held_mm, found.stops) == ((), None, ())
    assert found.caveat == CAVEAT.format("this")


def test_after_a_cut_the_caveat_says_that_files_have_cut_since():
    log = visit()
    as_designed(log)
    log.file("40/4-0")
    found = scene(log)
    assert found.caveat == f"Bounds as gauged; files have cut since. {CAVEAT.format('both')}"
    assert found.lower[0] == (D(0), D("0.28"))


def test_a_contradiction_is_said_and_not_drawn():
    log = visit()
    log.file("40/4-0")
    gauge(log, "30-0*")
    found = scene(log)
    assert (found.lower, found.upper, found.tip_held_mm, found.caveat) == ((), (), None, "")
    assert found.stops == (Stop("30/.02", D(0), D("0.3")),)
    assert found.no_bounds == (
        "In a round, straight canal these cannot all be true: 40/.04 cut and 30/.02-0 held. "
        "Worth reading again; no bounds are given."
    )
    assert found.no_bounds in legend(draw(found))


@pytest.mark.parametrize("apex", ["open", "resorbed"])
def test_an_open_apex_is_said(apex: str):
    log = visit()
    as_designed(log)
    log.answer("length", 1, apex=apex)
    found = scene(log)
    assert (found.lower, found.upper, found.stops, found.caveat) == ((), (), (), "")
    assert found.no_bounds.startswith(f"No bounds are reckoned from gauging: the apex is {apex},")
    assert found.no_bounds in legend(draw(found))


def test_the_last_stops_are_drawn_and_not_too_many():
    log = visit()
    gauge(log, *(f"80/2-{2 + number / 4}" for number in range(STOPS_DRAWN + 40)))
    found = scene(log)
    assert len(found.stops) == STOPS_DRAWN
    assert found.stops[-1].short_mm == 2 + D(STOPS_DRAWN + 39) / 4


# Files.


def test_the_master_apical_file_stands_before_the_files_that_cut():
    log = visit()
    log.file("25/8-14", step="flare")
    log.file("25/4-0")
    log.file("35/4-0")
    log.file("10/2-0", "patency")
    log.master("35/4")
    assert scene(log).profiles == (
        instrument("master apical file 35/.04", "M", "35", "0.04"),
        instrument("cut 25/.08", "A", "25", "0.08", "14"),
        instrument("cut 25/.04", "B", "25", "0.04"),
    )


def test_short_of_length_the_master_apical_files_size_is_a_file_like_any_other():
    log = visit()
    log.file("35/4-0.5")
    log.master("35/4")
    assert [one.tip_short_mm for one in scene(log).profiles] == [D(0), D("0.5")]


def test_the_last_files_are_drawn_each_once_where_it_went_last():
    log = visit()
    for one in ("15/4-0", "20/4-0", "25/4-0", "30/4-0", "20/4-0", "30/4-1"):
        log.file(one)
    names = [(one.name, one.sign, one.tip_short_mm) for one in scene(log).profiles]
    assert len(names) == FILES_DRAWN
    assert names == [("cut 30/.04", "A", D(0)), ("cut 20/.04", "B", D(0)), ("cut 30/.04", "D", D(1))]


def test_a_longer_length_leaves_a_file_where_it_was():
    log = visit()
    log.file("25/4-0")
    log.agree("21.5")
    assert scene(log).profiles == (instrument("cut 25/.04", "A", "25", "0.04", "1"),)


def test_files_of_a_first_visit_are_drawn_once_the_length_is_agreed():
    log = begun(brought(files=[file(25, "19.5")], master=None))
    assert scene(log).profiles == ()
    log.agree()
    assert scene(log).profiles == (instrument("cut 25/.04", "A", "25", "0.04", "1"),)


def test_stock_files_are_drawn_as_the_stock_has_them_and_none_without_a_taper():
    log = visit()
    log.file("0/78-0")
    log.file("0/77-1")
    log.master("0/76")
    varies = ((D(0), D("0.25")), (D(3), D("0.49")), (D(16), D("0.88")))
    assert scene(log).profiles == (
        Profile("master apical file 25/.08", "M", D(0), varies),
        Profile("cut 30/.04", "A", D(1), tapered(D("0.3"), D("0.04"), D(10))),
    )


# The cone.


def cones(log: Visit) -> list[Profile]:
    return [one for one in scene(log).profiles if one.sign == "C"]


def test_a_cone_is_drawn_where_it_is_foretold_until_it_sits():
    log = visit()
    log.master("35/4")
    log.answer("cone_fit", 1, 1, cone="40/4")
    assert cones(log) == [instrument("cone 40/.04, foretold", "C", "40", "0.04", "1.25")]
    log.answer("cone_fit", 1, 1, seat="-1", tug_back="yes")
    assert cones(log) == [instrument("cone 40/.04", "C", "40", "0.04", "1")]
    log.answer("cone_fit", 1, 1, trimmed="45/4")
    assert cones(log) == [instrument("cone 45/.04", "C", "45", "0.04", "1")]


def test_the_cone_of_the_last_fit_is_drawn_whatever_came_of_it():
    log = visit()
    log.master("35/4")
    log.fit("35/4")
    log.answer("cone_fit", 1, 2, cone="30/4")
    assert cones(log) == [instrument("cone 30/.04, foretold", "C", "30", "0.04", "-1.25")]
    log.answer("cone_fit", 1, 3, cone="-/")
    assert cones(log) == []


def test_a_cone_that_nothing_foretells_is_not_drawn():
    log = visit()
    log.answer("cone_fit", 1, 1, cone="40/4")
    assert cones(log) == []
    log.master("15/1")
    assert cones(log) == []
