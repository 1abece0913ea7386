"""The columns of published maxima and what a cartridge holds, each with how it is known; the traps of the figures."""

from __future__ import annotations

from decimal import Decimal

import pytest

from stepper.sums.agents import (
    COLUMNS,
    DEFAULT_COLUMN,
    EPINEPHRINE_CARDIAC_UG,
    EPINEPHRINE_HEALTHY_UG,
    HANDBOOK_ML,
    SUPPLIED,
    published,
)
from stepper.sums.dose import Dose, own_maximum, total
from tests.sums.agents import LB_KG, D

IDS = [
    "lidocaine-2-epi-100",
    "articaine-4-epi-100",
    "articaine-4-epi-200",
    "mepivacaine-3",
    "prilocaine-4",
    "bupivacaine-0.5-epi-200",
]

LISTED: dict[str, dict[str, tuple[str | None, str | None]]] = {
    # US label and Handbook of Local Anesthesia, Table 4-4, FOUND (lidocaine's "below 500 mg" as quoted).
    "label-handbook": {
        "lidocaine-2-epi-100": ("7", "500"),
        "articaine-4-epi-100": ("7", None),
        "articaine-4-epi-200": ("7", None),
        "mepivacaine-3": ("6.6", "400"),
        "prilocaine-4": ("8", "600"),
        "bupivacaine-0.5-epi-200": (None, "90"),
    },
    # Canada, FOUND: lidocaine 7 / 500, articaine 500 mg, prilocaine 8 / 500, bupivacaine 2 / 200.
    "canada": {
        "lidocaine-2-epi-100": ("7", "500"),
        "articaine-4-epi-100": (None, "500"),
        "articaine-4-epi-200": (None, "500"),
        "prilocaine-4": ("8", "500"),
        "bupivacaine-0.5-epi-200": ("2", "200"),
    },
    # Other teaching texts, FOUND.
    "teaching-lower": {
        "lidocaine-2-epi-100": ("4.4", "300"),
        "mepivacaine-3": ("4.4", "300"),
        "prilocaine-4": ("6", "400"),
        "bupivacaine-0.5-epi-200": ("1.3", "90"),
    },
}


def test_the_agents_under_their_ids():
    assert list(SUPPLIED) == IDS
    assert list(COLUMNS) == list(LISTED)
    assert DEFAULT_COLUMN == "label-handbook"


@pytest.mark.parametrize("column", LISTED)
def test_a_column_lists_what_was_found_and_borrows_nothing(column: str):
    for agent in IDS:
        found = published(agent, column)
        per_kg, cap = LISTED[column].get(agent, (None, None))
        assert (found.max_mg_per_kg, found.max_mg) == (per_kg and D(per_kg), cap and D(cap)), agent


def test_every_figure_says_where_it_is_from_and_how_it_is_known():
    for column in COLUMNS:
        for agent in IDS:
            source = published(agent, column).source
            known = agent in LISTED[column]
            assert ("(seen" in source) is known
            assert source == f"The column {column} lists no maximum, and none is taken from another" or known


def test_only_the_labels_lidocaine_is_strictly_below():
    """US label, FOUND: kept below 500 mg. No other column or agent says so."""
    strict = {(column, agent) for column in COLUMNS for agent in IDS if published(agent, column).strictly_below}
    assert strict == {("label-handbook", "lidocaine-2-epi-100")}


@pytest.mark.parametrize(
    ("agent", "cartridge", "mg"),
    [
        # 1.8 mL: FOUND. 1.7 mL: 34 and 51 FOUND, the rest derived.
        ("lidocaine-2-epi-100", "1.8", "36"),
        ("articaine-4-epi-100", "1.8", "72"),
        ("articaine-4-epi-200", "1.8", "72"),
        ("mepivacaine-3", "1.8", "54"),
        ("prilocaine-4", "1.8", "72"),
        ("bupivacaine-0.5-epi-200", "1.8", "9"),
        ("lidocaine-2-epi-100", "1.7", "34"),
        ("mepivacaine-3", "1.7", "51"),
        ("articaine-4-epi-100", "1.7", "68"),
        ("bupivacaine-0.5-epi-200", "1.7", "8.5"),
    ],
)
def test_mg_in_one_cartridge(agent: str, cartridge: str, mg: str):
    one = published(agent, cartridge_ml=D(cartridge))
    assert one.cartridge_ml == D(cartridge)
    (part,) = total([Dose(one, one.cartridge_ml)], D(70)).parts
    assert (part.mg, part.cartridges) == (D(mg), D(1))


def test_the_handbooks_cartridge_unless_said_otherwise():
    """1.8 mL, FOUND."""
    assert published("prilocaine-4").cartridge_ml == HANDBOOK_ML == D("1.8")


def test_epinephrine_is_the_base_by_its_dilution():
    """1:100,000 is 10 µg/mL, 1:200,000 is 5 (FOUND); labels of articaine print 18 µg/mL of bitartrate (FOUND)."""
    assert {name: published(name).epinephrine_ug_per_ml for name in IDS} == {
        "lidocaine-2-epi-100": 10,
        "articaine-4-epi-100": 10,
        "articaine-4-epi-200": 5,
        "mepivacaine-3": 0,
        "prilocaine-4": 0,
        "bupivacaine-0.5-epi-200": 5,
    }


def test_the_articaine_labels_epinephrine_per_kg_fits_one_strength_only():
    """Label, FOUND: 0.0017 mg/kg "for either product"; 7 mg/kg of the 4 % hold 1.75 µg/kg at 1:100,000, half else."""
    per_kg = {name: published(name).epinephrine_ug_per_ml * 7 / 40 for name in IDS if name.startswith("articaine")}
    assert per_kg == {"articaine-4-epi-100": D("1.75"), "articaine-4-epi-200": D("0.875")}


def test_epinephrine_limits():
    """0.2 mg healthy, 0.04 mg cardiac, FOUND."""
    assert (EPINEPHRINE_HEALTHY_UG, EPINEPHRINE_CARDIAC_UG) == (200, 40)


def maximum(agent: str, kg: Decimal, column: str = DEFAULT_COLUMN) -> Decimal:
    found = own_maximum(published(agent, column), kg)
    assert found is not None
    return found[0]


def test_mg_per_kg_and_not_the_rounded_mg_per_lb():
    """Trap (a), labels, FOUND: 3.2 mg/lb for 7 mg/kg; 4 mg/lb (8.82 mg/kg) for prilocaine's 8 mg/kg."""
    assert maximum("articaine-4-epi-100", 100 * LB_KG) < 320
    assert maximum("prilocaine-4", 100 * LB_KG) < 363 < 400


def test_mepivacaines_table_and_not_its_formula():
    """Trap (b), label, FOUND: at 20 lb the table says 60 mg; weight/150 of 400 mg would be 53."""
    assert round(maximum("mepivacaine-3", 20 * LB_KG)) == 60


def test_the_lowest_of_per_kg_and_cap():
    """Prilocaine: the label gives 600 mg from 70 kg on (FOUND); 8 mg/kg is lower up to 75 kg."""
    assert [maximum("prilocaine-4", D(kg)) for kg in (60, 70, 75, 80)] == [480, 560, 600, 600]
    assert maximum("bupivacaine-0.5-epi-200", D(60), "canada") == 120


@pytest.mark.parametrize(
    ("agent", "column", "cartridge", "sentence"),
    [
        ("lidocaine", "canada", "1.8", r"^'lidocaine' is no agent; allowed: lidocaine-2-epi-100, .*-epi-200\.$"),
        ("mepivacaine-3", "us", "1.8", r"^'us' is no column; allowed: label-handbook, canada, teaching-lower\.$"),
        ("mepivacaine-3", "canada", "0", r"^Agent mepivacaine-3: .*cartridge .* have to be above 0"),
    ],
)
def test_what_is_not_there_is_refused(agent: str, column: str, cartridge: str, sentence: str):
    with pytest.raises(ValueError, match=sentence):
        published(agent, column, D(cartridge))
