"""Solutions that must not meet, and the final rinse."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.clash import Clash, clash_with, final_rinse_gap, in_order

# Basrani et al. 2007, FOUND: with 2.0 % chlorhexidine the colour changes from 0.023 % hypochlorite and a precipitate
# forms from 0.19 %. What the precipitate is made of is disputed, so it is not named.
PRECIPITATE = Clash(
    "hypochlorite",
    "chlorhexidine",
    "Hypochlorite and chlorhexidine stain and form a precipitate: flush between them.",
    "Basrani et al. 2007",
)
# Grawehr et al. 2003, FOUND: the mix keeps 0.06 % available chlorine where the water control has 0.50 %.
CHLORINE_LOST = Clash("edta", "hypochlorite", "EDTA uses up the chlorine of hypochlorite.", "Grawehr et al. 2003")
CLASHES = (CHLORINE_LOST, PRECIPITATE)
FAMILIES = ("hypochlorite", "chlorhexidine", "edta", "saline", "water", "alcohol")
families = st.sampled_from(FAMILIES)


@pytest.mark.parametrize(("previous", "coming"), [("hypochlorite", "chlorhexidine"), ("chlorhexidine", "hypochlorite")])
def test_hypochlorite_and_chlorhexidine_clash_in_either_order(previous: str, coming: str):
    """Worked example 25: 0.10 % already discolours and 0.20 % precipitates, so strengths in use (0.5-6 %) always do."""
    found = clash_with(previous, coming, False, CLASHES)
    assert found is PRECIPITATE
    assert found.source == "Basrani et al. 2007"
    assert "flush between" in found.text


def test_a_flush_between_is_the_way_out():
    assert clash_with("hypochlorite", "chlorhexidine", True, CLASHES) is None


@pytest.mark.parametrize(
    ("previous", "coming"),
    [
        (None, "chlorhexidine"),
        ("saline", "chlorhexidine"),
        ("hypochlorite", "hypochlorite"),
        ("edta", "chlorhexidine"),
        ("hypochlorite", "water"),
    ],
)
def test_no_clash(previous: str | None, coming: str):
    assert clash_with(previous, coming, False, CLASHES) is None


def test_the_pair_that_meets_is_the_one_named():
    assert clash_with("hypochlorite", "edta", False, CLASHES) is CHLORINE_LOST


def test_no_clash_is_known_but_the_protocols():
    assert clash_with("hypochlorite", "chlorhexidine", False, ()) is None


@given(families, families, st.booleans())
def test_order_makes_no_difference(a: str, b: str, flushed: bool):
    assert clash_with(a, b, flushed, CLASHES) is clash_with(b, a, flushed, CLASHES)


@pytest.mark.parametrize(
    ("used", "needed", "gap"),
    [
        ([], ["hypochlorite", "edta"], ("hypochlorite", "edta")),
        (["edta"], ["hypochlorite", "edta"], ("hypochlorite",)),
        (["edta", "hypochlorite"], ["hypochlorite", "edta"], ()),
        (["saline", "hypochlorite", "saline", "edta"], ["hypochlorite", "edta"], ()),
        (["hypochlorite", "edta"], ["hypochlorite", "edta", "hypochlorite"], ("hypochlorite",)),
        (["hypochlorite", "edta", "hypochlorite"], ["hypochlorite", "edta", "hypochlorite"], ()),
        ([], [], ()),
    ],
)
def test_what_the_final_rinse_lacks(used: list[str], needed: list[str], gap: tuple[str, ...]):
    assert final_rinse_gap(used, needed) == gap


@pytest.mark.parametrize(
    ("used", "needed", "ordered"),
    [
        (["hypochlorite", "edta"], ["hypochlorite", "edta"], True),
        (["edta", "hypochlorite"], ["hypochlorite", "edta"], False),
        (["edta", "hypochlorite", "saline", "edta"], ["hypochlorite", "edta"], True),
        (["hypochlorite"], ["hypochlorite", "edta"], False),
        (["hypochlorite", "edta"], ["hypochlorite", "edta", "hypochlorite"], False),
        (["edta"], [], True),
    ],
)
def test_order_of_the_final_rinse(used: list[str], needed: list[str], ordered: bool):
    assert in_order(used, needed) is ordered


@given(st.lists(families, max_size=8), st.lists(families, max_size=4))
def test_what_was_used_in_order_lacks_nothing(used: list[str], needed: list[str]):
    if in_order(used, needed):
        assert final_rinse_gap(used, needed) == ()
    assert in_order(used + needed, needed)
    assert final_rinse_gap(used + list(final_rinse_gap(used, needed)), needed) == ()
