"""What is left after what was given, in mL and whole cartridges; and what is said of what is over.

Labels and handbook as in test_dose.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import assume, settings
from hypothesis import given as drawn
from hypothesis import strategies as st

from stepper.sums.dose import Agent, Dose, total
from stepper.sums.dose_left import Left, left, outlook, reasons
from tests.sums.agents import (
    ARTICAINE,
    BUPIVACAINE,
    CARDIAC_UG,
    HEALTHY_UG,
    LB_KG,
    LIDOCAINE,
    MEPIVACAINE,
    PRILOCAINE,
    UNLISTED,
    D,
    agents,
    doses,
    gave,
    limits,
    weights,
)

methods = st.sampled_from(["shares", "lowest_maximum"])


def fresh(agent: Agent, weight_kg: Decimal | None, limit_ug: Decimal | None = None) -> Left:
    """Before anything was given: what is left is all there is, the same by both methods."""
    nothing = total([], weight_kg, limit_ug)
    one, other = left(nothing, agent, "shares"), left(nothing, agent, "lowest_maximum")
    assert one == other
    return one


def tenths(value: Decimal | None) -> Decimal:
    assert value is not None
    return value.quantize(D("0.1"), ROUND_HALF_UP)


def test_150_lb_healthy_adult_lidocaine():
    """Example 18, published, FOUND: 13 cartridges by the drug, 11 by epinephrine, and 11 is the limit."""
    assert fresh(LIDOCAINE, 150 * LB_KG).cartridges == 13
    assert fresh(LIDOCAINE, 150 * LB_KG, HEALTHY_UG).cartridges == 11


def test_150_lb_lidocaine_by_the_cautious_figures():
    """Example 18, published, FOUND: 2 mg/lb and a cap of 300 mg make 8 cartridges, 288 mg."""
    cautious = replace(LIDOCAINE, max_mg_per_kg=2 / LB_KG, max_mg=D(300), strictly_below=False)
    assert fresh(cautious, 150 * LB_KG, HEALTHY_UG).cartridges == 8


def test_150_lb_articaine():
    """Example 19, label, FOUND: 11.9 mL, 7 cartridges of 1.7 mL."""
    found = fresh(ARTICAINE, 150 * LB_KG)
    assert (tenths(found.ml), found.cartridges) == (D("11.9"), 7)


def test_the_cartridge_size_decides_how_many_are_left():
    """The same 150 lb with the handbook's 1.8 mL or the 2.2 mL of other countries (FOUND): fewer cartridges."""
    sizes = {ml: fresh(replace(ARTICAINE, cartridge_ml=D(ml)), 150 * LB_KG) for ml in ("1.7", "1.8", "2.2")}
    assert {ml: found.cartridges for ml, found in sizes.items()} == {"1.7": 7, "1.8": 6, "2.2": 5}


def test_20_kg_child_lidocaine():
    """Example 20, published, FOUND: 140 mg, 7 mL, 3.9 cartridges, 3 whole ones."""
    found = fresh(LIDOCAINE, D(20))
    assert found == Left(D(7), 3)
    assert tenths(found.ml / LIDOCAINE.cartridge_ml) == D("3.9")


@pytest.mark.parametrize(
    ("pounds", "mg_per_ml", "mg", "cartridges"),
    [(20, 30, 60, "1.2"), (20, 20, 60, "1.8"), (30, 30, 90, "1.8"), (30, 20, 90, "2.6")],
)
def test_mepivacaine_child_table(pounds: int, mg_per_ml: int, mg: int, cartridges: str):
    """Example 22, label table, FOUND; the label's own formula gives 53 mg at 20 lb and disagrees with its table."""
    found = fresh(replace(MEPIVACAINE, mg_per_ml=D(mg_per_ml)), pounds * LB_KG)
    assert (found.ml * mg_per_ml).quantize(D(1)) == mg
    assert tenths(found.ml / MEPIVACAINE.cartridge_ml) == D(cartridges)


@pytest.mark.parametrize(("cartridge", "fits"), [("1.8", "2.2"), ("1.7", "2.4")])
def test_cardiac_epinephrine_limit(cartridge: str, fits: str):
    """Example 23: limit of 0.04 mg FOUND, cartridges derived (2.2 and 2.35): 2 whole ones of either size."""
    found = fresh(replace(LIDOCAINE, cartridge_ml=D(cartridge)), D(70), CARDIAC_UG)
    assert found.cartridges == 2
    assert tenths(found.ml / D(cartridge)) == D(fits)


def test_prilocaine_eight_cartridges():
    """Label, FOUND: 600 mg from 75 kg on, 15 mL, 8 cartridges of 1.8 mL."""
    assert fresh(PRILOCAINE, D(80)) == Left(D(15), 8)


def test_bupivacaine_ten_cartridges_reach_the_cap():
    """Label, FOUND: 90 mg, 9 mg a cartridge."""
    assert fresh(BUPIVACAINE, D(70)) == Left(D(18), 10)


def test_below_a_strict_cap_the_last_drop_is_left_out():
    """Label, FOUND: lidocaine below 500 mg. 25 mL would reach it: ten cartridges of 2.5 mL are one too many."""
    found = fresh(replace(LIDOCAINE, cartridge_ml=D("2.5")), D(90))
    assert found == Left(D("24.999999999"), 9)


def test_what_is_left_of_two_agents_by_either_method():
    """By hand, 60 kg: lidocaine 3.6 mL (72 of 420 mg) and mepivacaine 1.8 mL (54 of 396 mg) were given."""
    found = total(gave((LIDOCAINE, "3.6"), (MEPIVACAINE, "1.8")), D(60), HEALTHY_UG)
    unused = 1 - D(72) / 420 - D(54) / 396
    assert left(found, MEPIVACAINE, "shares").ml == pytest.approx(unused * 396 / 30)
    assert left(found, MEPIVACAINE, "lowest_maximum") == Left(D(9), 5)  # (396 - 126) / 30
    assert left(found, LIDOCAINE, "shares").ml == pytest.approx(unused * 420 / 20)
    assert left(found, LIDOCAINE, "lowest_maximum").ml == D("13.5")


def test_the_agent_itself_may_lower_the_lowest_maximum():
    """By hand, 70 kg: 72 mg of articaine leave 18 mg of bupivacaine's 90, 3.6 mL; of articaine 418 mg, 10.45 mL."""
    found = total(gave((ARTICAINE, "1.8")), D(70), HEALTHY_UG)
    assert left(found, BUPIVACAINE, "lowest_maximum") == Left(D("3.6"), 2)
    assert left(found, ARTICAINE, "lowest_maximum") == Left(D("10.45"), 6)


def test_epinephrine_of_one_agent_is_left_to_no_other():
    """Cardiac, 0.04 mg FOUND: 30 µg are spent; 1 mL at 1:100,000 is left, 2 mL at 1:200,000, plain not bound by it."""
    found = total(gave((LIDOCAINE, "3")), D(70), CARDIAC_UG)
    assert left(found, ARTICAINE, "shares").ml == D(1)
    assert left(found, BUPIVACAINE, "shares").ml == D(2)
    assert left(found, MEPIVACAINE, "shares").ml > 10


def test_nothing_is_left_where_all_is_used_and_never_less():
    found = total(gave((ARTICAINE, "20")), D(20), CARDIAC_UG)
    for agent in (ARTICAINE, LIDOCAINE, MEPIVACAINE):
        assert left(found, agent, "shares") == left(found, agent, "lowest_maximum") == Left(D(0), 0)


def test_what_is_left_is_not_known_where_a_maximum_is_not():
    assert fresh(UNLISTED, D(70), HEALTHY_UG) == Left(None, None)
    assert fresh(ARTICAINE, None, HEALTHY_UG) == Left(None, None)
    after_unlisted = total(gave((UNLISTED, "1.8")), D(70))
    assert left(after_unlisted, MEPIVACAINE, "shares") == left(after_unlisted, MEPIVACAINE, "lowest_maximum")
    assert left(after_unlisted, MEPIVACAINE, "shares") == Left(None, None)


def test_before_the_next_cartridge_and_after_it():
    found = outlook(total(gave((ARTICAINE, "1.7")), D(20), HEALTHY_UG), ARTICAINE, "shares")
    assert found.left == Left(D("1.8"), 1)
    assert found.after.share("shares") == pytest.approx(D(136) / 140)
    assert found.after.mg == D(136)


def test_what_is_over_is_said_and_by_how_much():
    over = total(gave((MEPIVACAINE, "14"), (LIDOCAINE, "21")), D(100), HEALTHY_UG)
    epinephrine = "Over the epinephrine limit: 210 µg, where at most 200 µg is allowed."
    assert reasons(over, "shares") == (
        "Over the maximum: the agents' shares come to 189 %, where below 100 % is allowed.",  # 420/400 + 420/500
        epinephrine,
    )
    lowest = "Over the lowest maximum: 840 mg, where at most 400 mg is allowed."
    assert reasons(over, "lowest_maximum") == (lowest, epinephrine)
    known = total(gave((MEPIVACAINE, "14"), (UNLISTED, "1")), D(100))
    words = "Over the maximum: what is known alone comes to more than is allowed."
    assert reasons(known, "shares") == reasons(known, "lowest_maximum") == (words,)
    assert reasons(total(gave((MEPIVACAINE, "13")), D(100)), "shares") == ()


@settings(deadline=None)
@drawn(doses, agents, weights, limits, methods)
def test_what_is_left_may_be_given_to_the_last_drop_and_no_more(some, agent, weight, limit, method):
    found = total(some, weight, limit)
    assume(not found.over(method))
    ml = left(found, agent, method).ml
    assert ml is not None
    assert not total([*some, Dose(agent, ml)], weight, limit).over(method)
    assert total([*some, Dose(agent, ml + D("1E-9"))], weight, limit).over(method)


@settings(deadline=None)
@drawn(doses, agents, weights, limits, methods, st.sampled_from(["1.7", "1.8", "2.2", "0.9"]))
def test_whole_cartridges_are_as_many_as_fit(some, agent, weight, limit, method, cartridge):
    sold = replace(agent, cartridge_ml=D(cartridge))
    found = left(total(some, weight, limit), sold, method)
    assert found.cartridges * D(cartridge) <= found.ml < (found.cartridges + 1) * D(cartridge)


@settings(deadline=None)
@drawn(doses, agents, weights, limits)
def test_the_lowest_maximum_never_leaves_more(some, agent, weight, limit):
    found = total(some, weight, limit)
    assert left(found, agent, "lowest_maximum").ml <= left(found, agent, "shares").ml
