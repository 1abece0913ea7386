"""What doses of local anaesthetics come to together, by shares and by the lowest maximum.

"Label" is the United States label of the drug, FOUND; "handbook" is the Handbook of Local Anesthesia, Table 4-4, FOUND
(edition not shown); that several agents are kept within the lower of two maxima is the handbook's rule, MEMORY-med.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepper.sums.dose import METHODS, Dose, forecast, percent, total
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
    volumes,
    weights,
)


def test_two_agents_by_shares_and_by_the_lowest_maximum():
    """By hand, 60 kg: 72 of 420 mg lidocaine and 54 of 396 mg mepivacaine; all 126 mg against 396 mg."""
    found = total(gave((LIDOCAINE, "3.6"), (MEPIVACAINE, "1.8")), D(60), HEALTHY_UG)
    assert found.mg == 126
    assert found.share_of_maximum == pytest.approx(D(72) / 420 + D(54) / 396)
    assert found.share_by_lowest_maximum == pytest.approx(D(126) / 396)
    assert (found.lowest_maximum_mg, found.epinephrine_ug, found.epinephrine_share) == (D(396), D(36), D("0.18"))
    assert not any(found.over(method) for method in METHODS)


def test_the_two_methods_can_disagree():
    """A little bupivacaine (90 mg) beside articaine at 70 kg: half the maximum by shares, over it by the lowest."""
    found = total(gave((ARTICAINE, "5.1"), (BUPIVACAINE, "1.8")), D(70))
    assert percent(found.share_of_maximum) == 52  # 204/490 + 9/90
    assert percent(found.share_by_lowest_maximum) == 237  # 213/90
    assert (found.over("shares"), found.over("lowest_maximum")) == (False, True)


def test_the_share_is_at_least_the_vasoconstrictors():
    """Example 23: 0.04 mg FOUND; two cartridges of 1.8 mL are 36 µg, 90 % of it, and 15 % of the drug's 490 mg."""
    found = total(gave((LIDOCAINE, "3.6")), D(70), CARDIAC_UG)
    assert found.share_of_maximum == found.epinephrine_share == D("0.9")
    assert [found.share(method) for method in METHODS] == [D("0.9"), D("0.9")]
    assert found.share_by_lowest_maximum == pytest.approx(D(72) / 490)  # of the agents alone, as it is called
    assert total(gave((LIDOCAINE, "3.6")), D(70)).share_of_maximum == pytest.approx(D(72) / 490)


def test_150_lb_lidocaine_epinephrine_is_the_limit():
    """Example 18, published, FOUND: the drug would allow 13 cartridges, 468 mg; epinephrine 11, 396 mg."""
    weight = 150 * LB_KG
    assert total(gave((LIDOCAINE, "19.8")), weight, HEALTHY_UG).mg == D(396)
    assert not total(gave((LIDOCAINE, "19.8")), weight, HEALTHY_UG).over("shares")
    assert total(gave((LIDOCAINE, "21.6")), weight, HEALTHY_UG).epinephrine_over
    assert total(gave((LIDOCAINE, "23.4")), weight).mg == D(468)
    assert not total(gave((LIDOCAINE, "23.4")), weight).over("shares")
    assert total(gave((LIDOCAINE, "25.2")), weight).over("shares")


def test_90_kg_adult_is_capped():
    """Example 21, teaching card, FOUND: 630 mg by weight, capped at 500 mg."""
    (part,) = total(gave((LIDOCAINE, "1.8")), D(90)).parts
    assert (part.maximum_mg, part.strict, part.basis) == (D(500), True, "cap, below 500 mg")


def test_a_cartridge_of_2_2_ml_at_1_in_80_000():
    """Example 24: 44 mg FOUND as an option, 27.5 µg derived; 12.5 µg/mL FOUND."""
    found = total(gave((replace(LIDOCAINE, epinephrine_ug_per_ml=D("12.5")), "2.2")), D(70))
    assert (found.mg, found.epinephrine_ug) == (D(44), D("27.5"))


def test_below_500_mg_is_strict():
    """Label, FOUND: lidocaine is kept below 500 mg; 500 mg itself is over; so is a cap that ties with mg/kg."""
    at_500 = total(gave((LIDOCAINE, "25")), D(90))
    assert (at_500.share_of_maximum, at_500.over("shares"), at_500.over("lowest_maximum")) == (D(1), True, True)
    assert not total(gave((LIDOCAINE, "24.99")), D(90)).over("shares")
    tied = replace(LIDOCAINE, max_mg=D(490))
    assert total(gave((tied, "24.5")), D(70)).over("shares")


def test_strictness_is_the_caps_alone():
    """Label, FOUND: below 500 mg, but up to 7 mg/kg."""
    assert not total(gave((LIDOCAINE, "7")), D(20)).over("shares")
    assert total(gave((LIDOCAINE, "7.01")), D(20)).over("shares")


def test_one_agent_that_has_to_stay_below_makes_the_whole_do_so():
    """Half of lidocaine's 500 mg and half of prilocaine's 600 mg: 1 exactly. Two that may reach theirs: allowed."""
    assert total(gave((LIDOCAINE, "12.5"), (PRILOCAINE, "7.5")), D(90)).over("shares")
    both = total(gave((BUPIVACAINE, "9"), (PRILOCAINE, "7.5")), D(90))
    assert (both.share_of_maximum, both.over("shares")) == (D(1), False)


@pytest.mark.parametrize(("lowest", "over"), [("500", True), ("499", False)])
def test_by_the_lowest_maximum_the_lowest_ones_strictness_counts(lowest: str, over: bool):
    """Canada's 500 mg of prilocaine (FOUND) ties with the strict 500 mg of lidocaine; 499 mg would be lower."""
    reached = replace(PRILOCAINE, max_mg=D(lowest))
    ml = (D(lowest) - 20) / 40
    assert total([Dose(LIDOCAINE, D(1)), Dose(reached, ml)], D(100)).over("lowest_maximum") is over


def test_a_cap_that_may_be_reached():
    """Label, FOUND: bupivacaine 90 mg whatever the weight."""
    for weight in (None, D(40), D(120)):
        assert not total(gave((BUPIVACAINE, "18")), weight).over("shares")
        assert total(gave((BUPIVACAINE, "18.1")), weight).over("shares")


def test_prilocaine_is_reckoned_in_mg_per_kg():
    """Label, FOUND: 8 mg/kg below 70 kg; its 4 mg/lb would be 8.82 mg/kg. 600 mg is 15 mL."""
    assert total(gave((PRILOCAINE, "1.8")), D(60)).lowest_maximum_mg == D(480)
    assert not total(gave((PRILOCAINE, "15")), D(80)).over("shares")


def test_none_listed_is_neither_zero_nor_endless():
    found = total(gave((UNLISTED, "30"), (MEPIVACAINE, "1.7")), D(70), HEALTHY_UG)
    assert (found.share_of_maximum, found.share_by_lowest_maximum, found.lowest_maximum_mg) == (None, None, None)
    assert not found.over("shares")
    assert found.gaps == ("No maximum of an agent is listed: none was compared.",)


def test_what_is_known_to_be_over_is_over_although_not_all_is_known():
    over_by_one = total(gave((UNLISTED, "1"), (MEPIVACAINE, "14")), D(70))
    assert over_by_one.share_of_maximum is None
    assert over_by_one.over("shares")
    by_all = total(gave((UNLISTED, "10"), (MEPIVACAINE, "1")), D(70))
    assert (by_all.over("shares"), by_all.over("lowest_maximum")) == (False, True)  # 430 mg, at most 400


def test_what_was_not_given_limits_nothing():
    found = total(gave((LIDOCAINE, "7.2"), (BUPIVACAINE, "0"), (UNLISTED, "0")), D(70))
    assert found.lowest_maximum_mg == D(490)
    assert found.share_by_lowest_maximum == pytest.approx(D(144) / 490)
    nothing = total([], D(70), HEALTHY_UG)
    assert (nothing.share_of_maximum, nothing.share_by_lowest_maximum, nothing.over("shares")) == (D(0), D(0), False)


def test_articaine_epinephrine_is_the_base():
    """1:100,000 is 10 µg of base a mL, 17 a cartridge of 1.7 mL; labels print 0.018 mg/mL of bitartrate (FOUND)."""
    assert total(gave((ARTICAINE, "1.7")), D(70)).epinephrine_ug == D(17)


def test_without_a_weight_the_cap_alone_counts():
    found = total(gave((LIDOCAINE, "3.6")))
    assert (found.lowest_maximum_mg, found.share_of_maximum) == (D(500), D("0.144"))
    assert found.gaps == (f"Weight not known: of the maxima of {LIDOCAINE.name} the cap alone was compared.",)


def test_without_a_weight_or_a_cap_no_maximum_is_known():
    found = total(gave((ARTICAINE, "1.7")), None, HEALTHY_UG)
    assert (found.share_of_maximum, found.over("shares")) == (None, False)
    words = f"Weight not known and no cap listed: no maximum of {ARTICAINE.name} is known, none was compared."
    assert found.gaps == (words,)


def test_before_and_after_the_next_volume():
    """Label, FOUND, 20 kg: 140 mg of articaine. One cartridge of 1.7 mL is 68 mg, the second 136 mg, the third over."""
    one = forecast([], Dose(ARTICAINE, D("1.7")), D(20), HEALTHY_UG)
    assert (one.before.mg, one.after.mg, one.passes("shares")) == (D(0), D(68), False)
    third = forecast(gave((ARTICAINE, "3.4")), Dose(ARTICAINE, D("1.7")), D(20), HEALTHY_UG)
    assert (third.before.over("shares"), third.after.over("shares"), third.passes("shares")) == (False, True, True)


def test_an_agent_without_epinephrine_does_not_pass_the_epinephrine_limit():
    given_before = gave((LIDOCAINE, "5.4"))
    plain = forecast(given_before, Dose(MEPIVACAINE, D("1.7")), D(70), CARDIAC_UG)
    assert (plain.after.over("shares"), plain.passes("shares")) == (True, False)
    assert forecast(given_before, Dose(BUPIVACAINE, D("0.1")), D(70), CARDIAC_UG).passes("shares")


@pytest.mark.parametrize(("share", "said"), [("0", 0), ("0.001", 1), ("0.5", 50), ("1", 100), ("1.0001", 101)])
def test_per_cent_is_rounded_up(share: str, said: int):
    assert percent(D(share)) == said


@settings(deadline=None)
@given(doses, weights, limits, st.randoms())
def test_the_order_does_not_matter(some, weight, limit, chance):
    shuffled = chance.sample(some, len(some))
    one, two = total(some, weight, limit), total(shuffled, weight, limit)
    assert set(one.parts) == set(two.parts)
    assert replace(one, parts=()) == replace(two, parts=())


@settings(deadline=None)
@given(doses, weights, limits)
def test_the_share_is_never_below_its_parts(some, weight, limit):
    found = total(some, weight, limit)
    least = max(part.share for part in found.parts) if found.parts else D(0)
    assert found.share_of_maximum >= max(found.epinephrine_share or D(0), least)
    assert found.share("lowest_maximum") >= found.share("shares")
    assert found.over("lowest_maximum") or not found.over("shares")


@settings(deadline=None)
@given(doses, weights, limits)
def test_over_and_shares_are_exact(some, weight, limit):
    """Reckoned once more in fractions from label and handbook: shares rounded up by less than the 27th digit."""
    found = total(some, weight, limit)
    mg = {dose.agent: Fraction(0) for dose in some}
    for dose in some:
        mg[dose.agent] += Fraction(dose.ml) * Fraction(dose.agent.mg_per_ml)
    by_share, strict = Fraction(0), False
    for agent, given_mg in mg.items():
        listed = [Fraction(agent.max_mg_per_kg) * Fraction(weight)] if agent.max_mg_per_kg else []
        listed += [Fraction(agent.max_mg)] if agent.max_mg else []
        by_share += given_mg / min(listed)
        strict = strict or (bool(given_mg) and agent.strictly_below and min(listed) == agent.max_mg)
    assert ("shares" in found.drugs_over) == (by_share > 1 or (strict and by_share == 1))
    if found.share_of_maximum != found.epinephrine_share:
        assert 0 <= Fraction(found.share_of_maximum) - by_share <= by_share / 10**26


@settings(deadline=None)
@given(agents, volumes, weights)
def test_only_the_total_of_an_agent_counts(agent, ml, weight):
    assert total([Dose(agent, ml)], weight) == total([Dose(agent, ml / 2), Dose(agent, ml / 2)], weight)


@pytest.mark.parametrize("ml", ["-0.1", "NaN", "Infinity", "1000.1", "1E-12", "1E-999999", "1E+99"])
def test_impossible_volumes(ml: str):
    with pytest.raises(ValueError, match=r"mL is not allowed: a volume is 0 to 1000 mL, no finer than a billionth"):
        Dose(LIDOCAINE, D(ml))


@pytest.mark.parametrize("kg", ["0", "-70", "NaN", "1000.1", "70.00000000001", "1E-999999"])
def test_impossible_weights(kg: str):
    with pytest.raises(ValueError, match=r"^A weight of .* kg is not allowed: a weight is above 0 and at most 1000 kg"):
        total([], D(kg))


@pytest.mark.parametrize("ug", ["0", "-1", "NaN"])
def test_impossible_epinephrine_limits(ug: str):
    with pytest.raises(ValueError, match=r"^An epinephrine limit of .* µg is not allowed: it is above 0 µg\.$"):
        total([], D(70), D(ug))


@pytest.mark.parametrize(
    "wrong",
    [
        {"mg_per_ml": D(0)},
        {"cartridge_ml": D(0)},
        {"max_mg": D(0)},
        {"max_mg_per_kg": D(-7)},
        {"epinephrine_ug_per_ml": D(-10)},
        {"max_mg": D("NaN")},
    ],
)
def test_an_agent_that_cannot_be(wrong: dict[str, Decimal]):
    with pytest.raises(ValueError, match=r"^Agent lidocaine-2-epi-100: .* a maximum that is not listed is left out\.$"):
        replace(LIDOCAINE, **wrong)
