"""What a volume of local anaesthetic came to. Labels and handbook as in test_dose."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given as drawn
from hypothesis import settings

from stepper.sums.dose import forecast, given, percent
from tests.sums.test_dose import ARTICAINE, BUPIVACAINE, LB_KG, LIDOCAINE, MEPIVACAINE, D, agents, volumes, weights


def test_150_lb_eleven_cartridges_of_lidocaine():
    """Example 18, published, FOUND: eleven cartridges of 1.8 mL are 396 mg and 198 µg."""
    came_to = given(LIDOCAINE, D("19.8"), 150 * LB_KG)
    assert (came_to.mg, came_to.cartridges, came_to.epinephrine_ug) == (D(396), D(11), D(198))
    assert came_to.maximum_mg == 7 * 150 * LB_KG
    assert came_to.basis.startswith("7 mg/kg at ")
    assert percent(came_to.share) == 84  # 83.1, rounded up


def test_the_lowest_maximum_is_named():
    assert given(MEPIVACAINE, D("1.7"), D(80)).basis == "cap, at most 400 mg"
    assert given(MEPIVACAINE, D("1.7"), D(50)).basis == "6.6 mg/kg at 50 kg"
    assert given(LIDOCAINE, D("1.8"), D(90)).basis == "cap, below 500 mg"
    assert given(BUPIVACAINE, D("1.8"), D(60)).basis == "cap, at most 90 mg"


def test_what_is_not_known_is_said():
    came_to = given(ARTICAINE, D("1.7"), None)
    assert (came_to.share, came_to.maximum_mg, came_to.basis) == (None, None, "")
    assert came_to.gaps == (
        "Weight not known and no cap listed: no maximum of articaine 4 % is known, none was compared.",
    )
    assert "the cap alone was compared" in given(LIDOCAINE, D("1.8"), None).gaps[0]


def test_a_volume_below_nought_and_a_weight_of_nought_are_refused():
    with pytest.raises(ValueError, match="a volume is 0 mL or more"):
        given(LIDOCAINE, D("-0.1"), D(70))
    with pytest.raises(ValueError, match="a weight is above 0 kg"):
        given(LIDOCAINE, D("1.8"), D(0))


@pytest.mark.parametrize(("share", "said"), [("0", 0), ("0.001", 1), ("0.5", 50), ("1", 100), ("1.0001", 101)])
def test_per_cent_is_rounded_up(share: str, said: int):
    assert percent(D(share)) == said


@settings(deadline=None)
@drawn(agents, volumes, weights)
def test_it_is_what_the_forecast_of_nothing_more_says(agent, ml: Decimal, weight: Decimal | None):
    came_to, known = given(agent, ml, weight), forecast(agent, ml, D(0), weight, None)
    assert (came_to.mg, came_to.share, came_to.maximum_mg) == (known.after_mg, known.share, known.maximum_mg)
    assert came_to.cartridges * agent.cartridge_ml == pytest.approx(ml)
    if came_to.share is not None:
        assert (percent(came_to.share) > 100) is (came_to.share > 1)
