"""What the canals of a first visit bring along: what would open a gate only where it is confirmed."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import asdict, fields, replace

from stepper.case.carry import carry, unfinished
from stepper.facts.carried import CarriedCanal, CarriedFill, CarriedJoin, CarriedLength, CarriedMaster
from stepper.facts.entries import Answer, Carried
from stepper.facts.entry import Entry
from stepper.facts.record import read_as, written
from stepper.facts.values import Choice
from tests.case.looking import folded, keys, of, same
from tests.case.second import after, begun, brought, confirmed, dressed
from tests.case.visit import Visit, at_access, at_fill, one_by_one
from tests.cases import fill


def first(visit: Visit, canal: int = 1) -> CarriedCanal:
    """What one canal brings along."""
    return next(one for one in carry(visit.case()) if one.canal == canal)


def masters(visit: Visit) -> tuple[CarriedMaster | None, str]:
    """The master apical file that is carried, and what is said of one that is not."""
    one = first(visit)
    return one.master, next((words for words in one.left_out if words.startswith("master")), "")


def test_a_dressed_canal_brings_its_length_point_files_and_master_with_their_entries() -> None:
    visit = dressed()
    one = first(visit)
    assert (one.name, one.outcome, one.left_out) == ("MB", "dressed", ())
    assert one.length == CarriedLength(mm=Decimal("20.5"), of=of(visit, "length.working_length", 1))
    assert one.reference is not None
    assert one.reference.value == Choice(options=("mesiobuccal_cusp",))
    assert one.reference.of == of(visit, "length.reference", 1)
    assert one.master == CarriedMaster(size=35, taper=Decimal("0.04"), of=of(visit, "shaping.master", 1))
    cuts = [(use.size, use.short_mm, use.absolute_mm, use.purpose, use.against, use.of) for use in one.files]
    assert cuts == [
        (25, Decimal(0), Decimal("20.5"), "cut", False, of(visit, "shaping.file", 1, nth=0)),
        (35, Decimal(0), Decimal("20.5"), "cut", False, of(visit, "shaping.file", 1, nth=1)),
    ]
    assert (one.fill, one.joins) == (None, None)


def test_every_canal_has_one_and_each_says_how_many_follow() -> None:
    found = carry(dressed().case())
    assert [(one.canal, one.name, one.more) for one in found] == [(1, "MB", 2), (2, "ML", 1), (3, "D", 0)]
    assert found[1] == CarriedCanal(canal=2, name="ML", more=1)


def test_a_stock_file_keeps_its_number() -> None:
    visit = at_access()
    visit.agree()
    visit.file("0/64-0")
    visit.master("0/64")
    one = first(visit)
    assert [use.stock for use in one.files] == [64]
    assert one.master is not None and one.master.stock == 64


def test_what_is_carried_goes_through_the_log_as_it_is() -> None:
    for one in carry(dressed().case()):
        members = written(one)
        entry = {name: getattr(begun().entries[0], name) for name in ("t", "off", "tz", "mono_us", "boot", "by")}
        read = read_as(Carried, {**entry, "seq": 1, "kind": "carried", **members})
        assert {name: getattr(read, name) for name in CarriedCanal.__struct_fields__} == asdict(one)
        assert members.get("length", {}).get("mm", "20.5") == "20.5", "decimals are text"


def test_a_carried_entry_has_what_every_entry_has() -> None:
    carried, every = ({one.name: one.type for one in fields(kind)} for kind in (Carried, Entry))
    assert carried.items() >= every.items()


# ---- How it ended --------------------------------------------------------------------------------


def test_a_fill_is_carried_with_what_its_gate_said() -> None:
    visit = at_fill()
    seq = fill(visit)
    one = first(visit)
    assert (one.outcome, one.fill) == ("filled", CarriedFill(gate_open=True, of=seq))
    outside = at_access()
    seq = fill(outside, outside=True)
    one = first(outside)
    assert (one.outcome, one.fill) == ("filled_outside", CarriedFill(gate_open=False, of=seq))


@pytest.mark.parametrize("ended", ["not_treated", "blocked", "fragment", "left_undressed"])
def test_a_stated_outcome_is_carried(ended: str) -> None:
    visit = at_access()
    visit.answer("closing", 1, outcome=ended)
    assert first(visit).outcome == ended


def test_a_join_is_carried() -> None:
    visit = at_access()
    visit.join(2, 1, "17")
    one = first(visit, 2)
    assert (one.outcome, one.joins) == ("joins", CarriedJoin(into=1, at_mm=Decimal(17)))


def test_a_visit_is_unfinished_until_every_canal_ended_for_good() -> None:
    visit = at_fill(1)
    fill(visit)
    visit.answer("closing", 2, outcome="blocked")
    assert unfinished(visit.case())
    visit.answer("dressing", 3, material="calcium_hydroxide", pellet="cotton")
    assert unfinished(visit.case())
    visit.join(3, 1)
    assert not unfinished(visit.case())


# ---- What is not confirmed -----------------------------------------------------------------------


def test_an_unconfirmed_length_is_left_out_with_the_master_apical_file() -> None:
    visit = dressed()
    mended = visit.correct(of(visit, "length.working_length", 1), working_length="21")
    one = first(visit)
    assert (one.length, one.master) == (None, None)
    assert "working length 21 mm: the clinician has not confirmed it" in one.left_out
    assert "master apical file 35/.04: its length is not carried over" in one.left_out
    visit.confirm(mended)
    one = first(visit)
    assert one.length == CarriedLength(mm=Decimal(21), of=mended)
    assert one.left_out == () and one.master is not None


def test_where_the_length_is_not_confirmed_the_files_count_only_against() -> None:
    visit = dressed()
    visit.correct(of(visit, "length.working_length", 1), working_length="21")
    files = first(visit).files
    assert {(use.size, use.absolute_mm) for use in files} == {
        (size, Decimal(mm)) for size in (25, 35) for mm in ("20.5", "21.0")
    }
    assert all(use.against for use in files)


def test_an_unconfirmed_reference_point_is_left_out_with_the_length() -> None:
    visit = dressed()
    mended = visit.correct(of(visit, "length.reference", 1), reference="distobuccal_cusp")
    one = first(visit)
    assert (one.reference, one.length, one.master) == (None, None, None)
    assert [words.split(":")[0] for words in one.left_out] == [
        "reference point",
        "working length 20.5 mm",
        "master apical file 35/.04",
    ]
    visit.confirm(mended)
    assert first(visit).left_out == ()


def test_an_unconfirmed_master_apical_file_is_left_out() -> None:
    visit = dressed()
    mended = visit.correct(of(visit, "shaping.master", 1), master="25/4")
    assert masters(visit) == (None, "master apical file 25/.04: the clinician has not confirmed it")
    visit.confirm(mended)
    master, words = masters(visit)
    assert master is not None and (master.size, words) == (25, "")


def test_a_late_file_counts_only_against_until_it_is_confirmed() -> None:
    visit = dressed()
    visit.wait(10)
    late = visit.file("45/4-0", ago=11)
    one = first(visit)
    assert [(use.size, use.against) for use in one.files] == [(25, False), (35, False), (45, True)]
    assert one.left_out[-1] == ("files 45/.04: the clinician has not confirmed them; they can only shut the gate")
    assert "wider" in confirmed(after(visit)).why()["master_apical_file"], "it shuts, as it did at the first visit"
    visit.confirm(late)
    assert all(not use.against for use in first(visit).files)


def test_a_file_corrected_away_shuts_until_that_is_confirmed() -> None:
    visit = dressed()
    wrong = visit.file("45/4-0")
    visit.master()
    mended = visit.correct(wrong, file="30/4-0")
    assert "master_apical_file" in confirmed(after(visit)).shut()
    visit.confirm(mended)
    assert confirmed(after(visit)).why() == {}


def test_a_file_outside_the_chain_counts_only_against_and_nothing_is_said_of_it() -> None:
    visit = dressed()
    visit.file("20/4-0", outside=True)
    one = first(visit)
    assert [use.against for use in one.files] == [False, False, True]
    assert one.left_out == ()


def test_a_fill_that_is_not_confirmed_counts_as_one() -> None:
    visit = at_fill()
    visit.wait(10)
    late = visit.answer("sealing", 1, ago=1, fill="filled")
    visit.correct(late, fill="--")
    one = first(visit)
    assert one.fill is not None and one.outcome == "filled"
    assert any("counts as filled" in words for words in one.left_out)
    assert "clear" in confirmed(after(visit)).shut()


def test_an_unconfirmed_outcome_is_left_out_and_the_canal_open_for_work() -> None:
    visit = at_access()
    said = visit.answer("closing", 1, outcome="left_undressed")
    visit.correct(said, outcome="blocked")
    one = first(visit)
    assert one.outcome is None
    assert one.left_out == ("how it ended: the clinician has not confirmed it",)


def test_of_a_canal_that_is_not_confirmed_nothing_is_certain() -> None:
    visit = at_access("mb+ml")
    visit.shape(canal=2)
    visit.correct(of(visit, "access.canals"), canals="mb+d")
    one = first(visit, 2)
    assert one.left_out[0] == "the canal itself: the clinician has not confirmed it"
    assert (one.name, one.length, one.master) == ("D", None, None)
    assert all(use.against for use in one.files)


# ---- The master apical file has to be in force ---------------------------------------------------


def test_one_that_did_not_hold_at_the_last_length_is_left_out() -> None:
    visit = dressed()
    visit.agree("20.5")
    assert masters(visit) == (None, "master apical file 35/.04: it did not hold at the length agreed last")
    visit.master()
    assert masters(visit)[0] is not None


def test_one_declared_outside_the_chain_is_left_out() -> None:
    visit = dressed()
    visit.master(outside=True)
    assert masters(visit)[0] is None


def test_one_without_a_length_is_left_out() -> None:
    visit = dressed()
    visit.answer("length", 1, 9, reference="distobuccal_cusp")
    assert masters(visit)[0] is None
    assert first(visit).length is None


def test_an_ask_about_the_shape_that_nobody_answered_leaves_it_out() -> None:
    visit = at_access()
    visit.agree()
    visit.answer("gauging", 1, gauge="35-0", held="held")
    visit.file("35/4-0")
    visit.master()
    master, words = masters(visit)
    assert master is None and "asked and not answered" in words and "gauging" in words
    visit.owe(keys(visit, "over_gauge")[0])
    assert masters(visit)[0] is None, "owed is not answered"
    visit.depart(keys(visit, "over_gauge")[0])
    assert masters(visit)[0] is not None


def test_an_ask_about_a_later_step_or_another_canal_does_not() -> None:
    visit = dressed()
    visit.answer("drying", 1, row=1, point_depth="0", dryness="dry", blood="pus")
    visit.answer("gauging", 2, gauge="35-0", held="held")
    visit.master("30/4", canal=2)
    assert keys(visit, "over_gauge")
    assert masters(visit)[0] is not None
    of_the_tooth = at_access("mb+ml")
    of_the_tooth.shape()
    assert keys(of_the_tooth, "fewer_canals")
    assert masters(of_the_tooth)[0] is not None


# ---- Visit after visit ---------------------------------------------------------------------------


def test_what_was_left_alone_is_carried_on_from_the_carried_entries() -> None:
    second = after(dressed())
    one = first(second)
    before = first(dressed())
    assert one.length == CarriedLength(mm=Decimal("20.5"), of=1)
    assert one.reference is not None and before.reference is not None
    assert one.reference.value == before.reference.value
    assert one.master == replace(before.master, of=1) if before.master else False
    assert [use.of for use in one.files] == [1, 1]
    assert one.outcome is None


def test_what_was_confirmed_is_carried_on_and_what_was_void_is_not() -> None:
    same_length = confirmed(after(dressed()))
    assert first(same_length).length == CarriedLength(
        mm=Decimal("20.5"), of=of(same_length, "length.working_length", 1)
    )
    assert first(same_length).master is not None
    other = confirmed(after(dressed()), "22")
    assert first(other).length is not None and first(other).master is None
    assert [use.absolute_mm for use in first(other).files] == [Decimal("20.5")] * 2


def test_files_of_both_visits_are_carried_on() -> None:
    second = confirmed(after(dressed()))
    second.file("40/4-0")
    assert [use.size for use in first(second).files] == [25, 35, 40]


def test_a_carried_fill_is_carried_on() -> None:
    one = first(begun(brought(outcome="filled", fill={"gate_open": True, "of": 60})))
    assert (one.outcome, one.fill) == ("filled", CarriedFill(gate_open=True, of=1))


# ---- Whatever happened at the first visit --------------------------------------------------------

Act = Callable[[Visit], object]


def corrected(nth: int, **typed: str) -> Act:
    """A correction of one of the answers that hold a question, keyed wrong, if there is one."""

    def act(visit: Visit) -> None:
        name = next(iter(typed))
        found = [one.seq for one in visit.entries if isinstance(one, Answer) and one.canal == 1 and name in one.values]
        if found:
            visit.correct(found[nth % len(found)], **typed)

    return act


def said_yes(visit: Visit) -> None:
    """The clinician's yes to the last of what waits."""
    waiting = visit.case().unconfirmed
    if waiting:
        visit.confirm(waiting[-1])


def row(visit: Visit) -> int:
    return visit.row_after("length", 1)


ACTS: tuple[Act, ...] = (
    lambda visit: visit.agree("20.5"),
    lambda visit: visit.agree("21"),
    lambda visit: visit.answer("length", 1, row(visit), working_length="-/"),
    lambda visit: visit.answer("length", 1, row(visit), reference="mesiobuccal_cusp"),
    lambda visit: visit.answer("length", 1, row(visit), working_length="20.5", reference="distobuccal_cusp"),
    lambda visit: visit.file("35/4-0"),
    lambda visit: visit.file("30/4-0", ago=2),
    lambda visit: visit.file("45/4-0"),
    lambda visit: visit.file("45/4-1", "patency"),
    lambda visit: visit.file("35/4-0", outside=True),
    lambda visit: visit.master("35/4"),
    lambda visit: visit.master("30/4", outside=True),
    lambda visit: visit.wait(3),
    corrected(0, working_length="20.5"),
    corrected(-1, working_length="21"),
    corrected(-1, file="35/4-0"),
    corrected(0, file="25/4-0"),
    corrected(-1, master="35/4"),
    corrected(-1, reference="mesiobuccal_cusp"),
    said_yes,
)


def shaped_by(acts: list[Act]) -> Visit:
    visit = at_access("mb")
    for act in acts:
        act(visit)
    return visit


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(ACTS), max_size=9), st.sampled_from(["20.5", "21"]))
def test_no_master_apical_file_holds_at_the_second_visit_that_did_not_at_the_first(acts: list[Act], mm: str) -> None:
    """The length confirmed and nothing declared anew: clause 3 can only hold if it held when the first visit ended."""
    visit = shaped_by(acts)
    second = confirmed(after(visit, "mb"), mm)
    if "master_apical_file" not in second.shut():
        assert "master_apical_file" not in visit.shut()
        assert "length" not in visit.shut()
    assert same(one_by_one(second), folded(second))


@settings(max_examples=100, deadline=None)
@given(st.lists(st.sampled_from(ACTS), max_size=9))
def test_no_file_that_shut_the_gate_at_the_first_visit_is_lost(acts: list[Act]) -> None:
    """The master apical file declared anew at a confirmed length: a wider cut to length of either reading shuts it."""
    visit = shaped_by(acts)
    second = after(visit, "mb")
    second.agree("20.5")
    second.file("20/4-0")
    second.master("20/4")
    views = (visit.case().told, visit.case().sure)
    wide = [
        use
        for view in views
        for use in view.canals[1].files
        if use.purpose == "cut" and use.size > 20 and use.absolute_mm == Decimal("20.5")
    ]
    if wide and "length" not in second.shut():
        assert "wider" in second.why()["master_apical_file"]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(ACTS), max_size=9))
def test_all_is_carried_and_nothing_said_where_nothing_waits_for_the_clinician(acts: list[Act]) -> None:
    visit = shaped_by(acts)
    while visit.case().unconfirmed:
        said_yes(visit)
    case = visit.case()
    one = first(visit)
    canal = case.told.canals[1]
    assert (one.length is None) == (canal.length is None)
    assert [use.size for use in one.files] == [use.size for use in canal.files]
    assert not [words for words in one.left_out if "confirmed" in words]
