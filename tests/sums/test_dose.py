"""Local anaesthetic forecasts against labels, the handbook's table and published worked examples.

Each figure says where it is from; the numbers of the worked examples are those of the project's own collection.
"Label" is the United States label of the drug, FOUND; "handbook" is the Handbook of Local Anesthesia, Table 4-4, FOUND
(edition not shown).
"""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.dose import Agent, Forecast, forecast, total_share

D = Decimal
LB_KG = D("0.45359237")  # exact by definition
HEALTHY_UG, CARDIAC_UG = D(200), D(40)  # epinephrine 0.2 and 0.04 mg, FOUND

# Label and handbook: 7 mg/kg, and below 500 mg; 1.8 mL as the handbook counts.
LIDOCAINE = Agent("lidocaine", "lidocaine 2 %", D(20), D(7), D(500), True, D(10), D("1.8"))
# Label: 7 mg/kg, no cap listed; 1.7 mL.
ARTICAINE = Agent("articaine", "articaine 4 %", D(40), D(7), None, False, D(10), D("1.7"))
# Handbook: 6.6 mg/kg, 400 mg; label: 1.7 mL.
MEPIVACAINE = Agent("mepivacaine", "mepivacaine 3 %", D(30), D("6.6"), D(400), False, D(0), D("1.7"))
# Label and handbook: 8 mg/kg, 600 mg.
PRILOCAINE = Agent("prilocaine", "prilocaine 4 %", D(40), D(8), D(600), False, D(0), D("1.8"))
# Label: 90 mg, no maximum per kg.
BUPIVACAINE = Agent("bupivacaine", "bupivacaine 0.5 %", D(5), None, D(90), False, D(5), D("1.8"))

volumes = st.integers(0, 400).map(lambda tenths: D(tenths) / 10)
weights = st.none() | st.integers(8, 150).map(Decimal)
agents = st.sampled_from([LIDOCAINE, ARTICAINE, MEPIVACAINE, PRILOCAINE, BUPIVACAINE])


def fresh(agent: Agent, weight_kg: Decimal | None = None, epinephrine_limit_ug: Decimal | None = None) -> Forecast:
    """Before anything was given: what is left is all there is."""
    return forecast(agent, D(0), D(0), weight_kg, epinephrine_limit_ug)


def tenths(value: Decimal | None) -> Decimal:
    assert value is not None
    return value.quantize(D("0.1"), ROUND_HALF_UP)


def test_150_lb_healthy_adult_lidocaine():
    """Example 18, published, FOUND: 13 cartridges by the drug, 11 by epinephrine, and 11 is the limit."""
    weight = 150 * LB_KG
    assert fresh(LIDOCAINE, weight).cartridges_left == 13
    assert fresh(LIDOCAINE, weight, HEALTHY_UG).cartridges_left == 11
    eleven = forecast(LIDOCAINE, D("18.0"), D("1.8"), weight, HEALTHY_UG)
    assert (eleven.after_mg, eleven.over, eleven.cartridges_left) == (D(396), False, 0)
    assert forecast(LIDOCAINE, D("19.8"), D("1.8"), weight, HEALTHY_UG).over
    assert not forecast(LIDOCAINE, D("19.8"), D("1.8"), weight, None).over


def test_150_lb_lidocaine_by_the_cautious_figures():
    """Example 18, published, FOUND: 2 mg/lb and a cap of 300 mg make 8 cartridges, 288 mg."""
    cautious = replace(LIDOCAINE, max_mg_per_kg=2 / LB_KG, max_mg=D(300), strictly_below=False)
    assert fresh(cautious, 150 * LB_KG, HEALTHY_UG).cartridges_left == 8
    assert forecast(cautious, D("12.6"), D("1.8"), 150 * LB_KG, HEALTHY_UG).after_mg == D(288)


def test_150_lb_articaine():
    """Example 19, label, FOUND: 11.9 mL, 7 cartridges of 1.7 mL."""
    left = fresh(ARTICAINE, 150 * LB_KG)
    assert tenths(left.left_ml) == D("11.9")
    assert left.cartridges_left == 7


def test_the_cartridge_size_decides_how_many_are_left():
    """The same 150 lb with the handbook's 1.8 mL or the 2.2 mL of other countries (FOUND): fewer cartridges."""
    sizes = {ml: fresh(replace(ARTICAINE, cartridge_ml=D(ml)), 150 * LB_KG) for ml in ("1.7", "1.8", "2.2")}
    assert {ml: left.cartridges_left for ml, left in sizes.items()} == {"1.7": 7, "1.8": 6, "2.2": 5}
    assert len({left.left_ml for left in sizes.values()}) == 1


def test_20_kg_child_lidocaine():
    """Example 20, published, FOUND: 140 mg, 7 mL, 3.9 cartridges, 3 whole ones."""
    left = fresh(LIDOCAINE, D(20))
    assert (left.maximum_mg, left.left_ml, left.cartridges_left) == (D(140), D(7), 3)
    assert left.left_ml is not None
    assert tenths(left.left_ml / LIDOCAINE.cartridge_ml) == D("3.9")


def test_90_kg_adult_is_capped():
    """Example 21, teaching card, FOUND: 630 mg by weight, capped at 500 mg."""
    assert fresh(LIDOCAINE, D(90)).maximum_mg == D(500)


@pytest.mark.parametrize(
    ("pounds", "mg_per_ml", "mg", "cartridges"),
    [(20, 30, 60, "1.2"), (20, 20, 60, "1.8"), (30, 30, 90, "1.8"), (30, 20, 90, "2.6")],
)
def test_mepivacaine_child_table(pounds: int, mg_per_ml: int, mg: int, cartridges: str):
    """Example 22, label table, FOUND; the label's own formula gives 53 mg at 20 lb and disagrees with its table."""
    left = fresh(replace(MEPIVACAINE, mg_per_ml=D(mg_per_ml)), pounds * LB_KG)
    assert left.maximum_mg is not None
    assert left.maximum_mg.quantize(D(1)) == mg
    assert left.left_ml is not None
    assert tenths(left.left_ml / MEPIVACAINE.cartridge_ml) == D(cartridges)


@pytest.mark.parametrize(("cartridge", "fits"), [("1.8", "2.2"), ("1.7", "2.4")])
def test_cardiac_epinephrine_limit(cartridge: str, fits: str):
    """Example 23: limit of 0.04 mg FOUND, cartridges derived (2.2 and 2.35): 2 whole ones of either size."""
    left = fresh(replace(LIDOCAINE, cartridge_ml=D(cartridge)), D(70), CARDIAC_UG)
    assert left.cartridges_left == 2
    assert left.left_ml is not None
    assert tenths(left.left_ml / D(cartridge)) == D(fits)
    assert left.maximum_mg == D(490)


def test_a_cartridge_of_2_2_ml_at_1_in_80_000():
    """Example 24: 44 mg FOUND as an option, 27.5 µg derived; 12.5 µg/mL FOUND."""
    one = forecast(replace(LIDOCAINE, epinephrine_ug_per_ml=D("12.5")), D(0), D("2.2"), D(70), HEALTHY_UG)
    assert (one.after_mg, one.epinephrine_ug) == (D(44), D("27.5"))


@pytest.mark.parametrize(
    ("mg_per_ml", "cartridge", "mg"),
    [
        # 1.8 mL: FOUND. 1.7 mL: 34 and 51 FOUND, the rest derived.
        (20, "1.8", "36"),
        (40, "1.8", "72"),
        (30, "1.8", "54"),
        (5, "1.8", "9"),
        (20, "1.7", "34"),
        (30, "1.7", "51"),
        (40, "1.7", "68"),
        (5, "1.7", "8.5"),
    ],
)
def test_mg_in_one_cartridge(mg_per_ml: int, cartridge: str, mg: str):
    agent = replace(LIDOCAINE, mg_per_ml=D(mg_per_ml))
    one = forecast(agent, D(0), D(cartridge), None, None)
    two = forecast(agent, D(cartridge), D(cartridge), None, None)
    assert one.after_mg == two.given_mg == D(mg)
    assert two.after_mg == 2 * D(mg)


def test_below_500_mg_is_strict():
    """Label, FOUND: lidocaine is kept below 500 mg; 500 mg itself is over, and 10 cartridges of 2.5 mL are too many."""
    at_500 = forecast(LIDOCAINE, D("20"), D("5"), D(90), None)
    assert (at_500.after_mg, at_500.share, at_500.over) == (D(500), D(1), True)
    assert "Over the cap for lidocaine 2 %: 500 mg, where below 500 mg is allowed." in at_500.reasons
    assert not forecast(LIDOCAINE, D("20"), D("4.99"), D(90), None).over
    assert fresh(replace(LIDOCAINE, cartridge_ml=D("2.5")), D(90)).cartridges_left == 9
    assert at_500.cartridges_left == 0


def test_strictness_is_the_caps_alone():
    """Label, FOUND: below 500 mg, but up to 7 mg/kg."""
    assert not forecast(LIDOCAINE, D(0), D(7), D(20), None).over
    assert forecast(LIDOCAINE, D(0), D("7.01"), D(20), None).over


def test_a_cap_that_may_be_reached():
    """Label, FOUND: bupivacaine 90 mg whatever the weight; 10 cartridges of 9 mg reach it and are not over."""
    for weight in (None, D(40), D(120)):
        assert fresh(BUPIVACAINE, weight).cartridges_left == 10
        assert not forecast(BUPIVACAINE, D("16.2"), D("1.8"), weight, None).over
        assert forecast(BUPIVACAINE, D("18"), D("0.1"), weight, None).over


def test_prilocaine_is_reckoned_in_mg_per_kg():
    """Label, FOUND: 8 mg/kg below 70 kg; its 4 mg/lb would be 8.82 mg/kg. 600 mg: 15 mL, 8 cartridges."""
    assert fresh(PRILOCAINE, D(60)).maximum_mg == D(480)
    heavy = fresh(PRILOCAINE, D(80))
    assert (heavy.maximum_mg, heavy.left_ml, heavy.cartridges_left) == (D(600), D(15), 8)


def test_none_listed_is_neither_zero_nor_endless():
    """No maximum at all: nothing is over, and that nothing was compared is said."""
    unlisted = replace(ARTICAINE, max_mg_per_kg=None, epinephrine_ug_per_ml=D(0))
    result = forecast(unlisted, D(0), D(30), D(70), HEALTHY_UG)
    assert (result.maximum_mg, result.share, result.over) == (None, None, False)
    assert (result.cartridges_left, result.left_ml) == (None, None)
    assert result.reasons == ("No maximum of articaine 4 % is listed: none was compared.",)


def test_articaine_epinephrine_is_the_base():
    """1:100,000 is 10 µg of base a mL, 17 a cartridge of 1.7 mL; labels print 0.018 mg/mL of bitartrate (FOUND)."""
    assert forecast(ARTICAINE, D(0), D("1.7"), D(70), None).epinephrine_ug == D(17)


def test_without_a_weight_the_cap_alone_counts():
    result = forecast(LIDOCAINE, D("1.8"), D("1.8"), None, None)
    assert (result.maximum_mg, result.share) == (D(500), D("0.144"))
    assert "Weight not known: of the maxima of lidocaine 2 % the cap alone was compared." in result.reasons


def test_without_a_weight_or_a_cap_no_maximum_is_known():
    result = forecast(ARTICAINE, D(0), D("1.7"), None, HEALTHY_UG)
    assert (result.maximum_mg, result.share, result.over) == (None, None, False)
    assert (
        "Weight not known and no cap listed: no maximum of articaine 4 % is known, none was compared." in result.reasons
    )
    assert result.cartridges_left == 10  # 183 µg of epinephrine, 10.7 cartridges


def test_nothing_is_missed_when_the_weight_is_known():
    assert forecast(LIDOCAINE, D(0), D("1.8"), D(68), HEALTHY_UG).reasons == (
        "The maximum of lidocaine 2 % by weight (7 mg/kg at 68 kg): at most 476 mg.",
        "The cap for lidocaine 2 %: below 500 mg.",
        "The epinephrine limit: at most 200 µg.",
    )


def test_what_is_over_never_reads_as_equal():
    result = forecast(LIDOCAINE, D(0), D("7.00001"), D(20), None)
    assert result.reasons[0] == (
        "Over the maximum of lidocaine 2 % by weight (7 mg/kg at 20 kg): 140.01 mg, where at most 140 mg is allowed."
    )


@given(agents, volumes, volumes, weights, st.sampled_from([None, HEALTHY_UG, CARDIAC_UG]))
def test_what_is_left_may_be_given_and_one_more_may_not(agent, given_ml, next_ml, weight, limit):
    now = forecast(agent, given_ml, next_ml, weight, limit)
    if now.over or now.cartridges_left is None:
        return
    after_ml = given_ml + next_ml
    assert not forecast(agent, after_ml, now.cartridges_left * agent.cartridge_ml, weight, limit).over
    assert forecast(agent, after_ml, (now.cartridges_left + 1) * agent.cartridge_ml, weight, limit).over


@given(agents, volumes, volumes, weights)
def test_over_is_said_and_more_never_mends_it(agent, given_ml, next_ml, weight):
    now = forecast(agent, given_ml, next_ml, weight, HEALTHY_UG)
    assert now.over == any(reason.startswith("Over the ") for reason in now.reasons)
    if forecast(agent, given_ml, D(0), weight, HEALTHY_UG).over:
        assert now.over
        assert (now.cartridges_left, now.left_ml) == (0, D(0))


@given(agents, volumes, weights)
def test_only_the_total_counts(agent, volume, weight):
    at_once, in_two = (
        forecast(agent, D(0), volume, weight, None),
        forecast(agent, volume / 2, volume / 2, weight, None),
    )
    assert replace(at_once, given_mg=in_two.given_mg) == in_two


def test_shares_add_up():
    half = forecast(LIDOCAINE, D(0), D("12.5"), D(90), None).share
    third = forecast(BUPIVACAINE, D(0), D(6), D(90), None).share
    assert half == D("0.5")
    assert third is not None
    assert total_share([half, third]) == half + third
    assert total_share([]) == 0


def test_an_unknown_share_is_not_zero():
    assert total_share([D("0.5"), None]) is None


@pytest.mark.parametrize(
    ("given_ml", "next_ml", "weight", "sentence"),
    [
        ("-0.1", "0", "70", r"^-0\.1 mL is not allowed: a volume is 0 mL or more\.$"),
        ("0", "-1.8", "70", r"^-1\.8 mL is not allowed"),
        ("0", "1.8", "0", r"^A weight of 0 kg is not allowed: a weight is above 0 kg\.$"),
        ("0", "1.8", "-70", r"^A weight of -70 kg is not allowed"),
    ],
)
def test_impossible_volumes_and_weights(given_ml: str, next_ml: str, weight: str, sentence: str):
    with pytest.raises(ValueError, match=sentence):
        forecast(LIDOCAINE, D(given_ml), D(next_ml), D(weight), None)


@pytest.mark.parametrize(
    "wrong",
    [
        {"mg_per_ml": D(0)},
        {"cartridge_ml": D(0)},
        {"max_mg": D(0)},
        {"max_mg_per_kg": D(-7)},
        {"epinephrine_ug_per_ml": D(-10)},
    ],
)
def test_an_agent_that_cannot_be(wrong: dict[str, Decimal]):
    with pytest.raises(ValueError, match=r"^Agent lidocaine: .* a maximum that is not listed is left out\.$"):
        replace(LIDOCAINE, **wrong)
