"""Local anaesthetics as supplied in dental cartridges, and the columns that their published maxima stand in.

Columns differ, and none is filled up from another: where one lists no figure, it says so in words. mg/mL is per cent
times 10. Figures marked "seen" were seen in a copy or quotation of what is named (edition of the handbook not shown).

Traps: pairs of mg/kg and mg/lb are rounded apart (7 mg/kg is 3.175 mg/lb, printed 3.2; the prilocaine label's 4 mg/lb
is 8.82 mg/kg), so only mg/kg is kept. The mepivacaine label's formula for children (weight/150 of 400 mg) gives 53 mg
at 20 lb, where its own table, which ends at 270 mg of the 3 %, says 60; 6.6 mg/kg agrees with the table. The prilocaine
label gives 600 mg from 70 kg on; here 8 mg/kg holds up to 75 kg, being lower. Articaine labels print the bitartrate
(0.018 mg/mL for 1:100,000); epinephrine here is the base (0.010 mg/mL), and the label's 0.0017 mg/kg "for either
product" fits 1:100,000 only. The labels' figures were seen; the conversions are derived.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from stepper.sums.dose import Agent

HANDBOOK_ML = Decimal("1.8")
"""A cartridge in mL as the handbook counts (seen; the real volume, it says, is about 1.76). US labels 1.7 (seen),
Australia 2.2 (seen), United Kingdom 2.2 (from memory)."""

EPINEPHRINE_HEALTHY_UG = Decimal(200)
"""Epinephrine, µg of the base, for a healthy patient: 0.2 mg in two teaching texts (seen)."""

EPINEPHRINE_CARDIAC_UG = Decimal(40)
"""Epinephrine, µg of the base, for a cardiac patient: 0.04 mg (seen); another teaching text 0.02 to 0.05 mg (seen)."""


@dataclass(frozen=True)
class Supplied:
    """An agent as sold: its strength, and µg of epinephrine base per mL (1:100,000 is 10, 1:200,000 is 5)."""

    name: str
    mg_per_ml: Decimal
    epinephrine_ug_per_ml: Decimal


@dataclass(frozen=True)
class Maxima:
    """What a column lists for an agent; None is what it does not list. `strictly_below` is the cap's."""

    mg_per_kg: Decimal | None
    mg: Decimal | None
    source: str
    strictly_below: bool = False


@dataclass(frozen=True)
class Column:
    """A named set of published maxima, by agent."""

    title: str
    maxima: Mapping[str, Maxima]


SUPPLIED: Mapping[str, Supplied] = {
    "lidocaine-2-epi-100": Supplied("lidocaine 2 % with epinephrine 1:100,000", Decimal(20), Decimal(10)),
    "articaine-4-epi-100": Supplied("articaine 4 % with epinephrine 1:100,000", Decimal(40), Decimal(10)),
    "articaine-4-epi-200": Supplied("articaine 4 % with epinephrine 1:200,000", Decimal(40), Decimal(5)),
    "mepivacaine-3": Supplied("mepivacaine 3 %, plain", Decimal(30), Decimal(0)),
    "prilocaine-4": Supplied("prilocaine 4 %, plain", Decimal(40), Decimal(0)),
    "bupivacaine-0.5-epi-200": Supplied("bupivacaine 0.5 % with epinephrine 1:200,000", Decimal(5), Decimal(5)),
}

_HANDBOOK = "Handbook of Local Anesthesia, Table 4-4"
_ARTICAINE = Maxima(Decimal(7), None, f"US label and {_HANDBOOK}: 7 mg/kg, no cap listed (seen)")
_ARTICAINE_CANADA = Maxima(None, Decimal(500), "Canada: cap 500 mg, as in the US to 2013 (seen); no figure per kg seen")

COLUMNS: Mapping[str, Column] = {
    "label-handbook": Column(
        "US label and Handbook of Local Anesthesia",
        {
            "lidocaine-2-epi-100": Maxima(
                Decimal(7),
                Decimal(500),
                f"US label and {_HANDBOOK}: 7 mg/kg, below 500 mg (seen as quoted)",
                strictly_below=True,
            ),
            "articaine-4-epi-100": _ARTICAINE,
            "articaine-4-epi-200": _ARTICAINE,
            "mepivacaine-3": Maxima(Decimal("6.6"), Decimal(400), f"{_HANDBOOK}: 6.6 mg/kg, 400 mg (seen)"),
            "prilocaine-4": Maxima(Decimal(8), Decimal(600), f"US label and {_HANDBOOK}: 8 mg/kg, 600 mg (seen)"),
            "bupivacaine-0.5-epi-200": Maxima(
                None, Decimal(90), f"US label and {_HANDBOOK}: 90 mg, none listed per kg (seen)"
            ),
        },
    ),
    "canada": Column(
        "Canada",
        {
            "lidocaine-2-epi-100": Maxima(Decimal(7), Decimal(500), "Canada: 7 mg/kg, 500 mg (seen)"),
            "articaine-4-epi-100": _ARTICAINE_CANADA,
            "articaine-4-epi-200": _ARTICAINE_CANADA,
            "prilocaine-4": Maxima(Decimal(8), Decimal(500), "Canada: 8 mg/kg, 500 mg (seen)"),
            "bupivacaine-0.5-epi-200": Maxima(Decimal(2), Decimal(200), "Canada: 2 mg/kg, 200 mg (seen)"),
        },
    ),
    "teaching-lower": Column(
        "Lower figures of other teaching texts",
        {
            "lidocaine-2-epi-100": Maxima(Decimal("4.4"), Decimal(300), "teaching text: 4.4 mg/kg, 300 mg (seen)"),
            "mepivacaine-3": Maxima(Decimal("4.4"), Decimal(300), "teaching text: 4.4 mg/kg, 300 mg (seen)"),
            "prilocaine-4": Maxima(Decimal(6), Decimal(400), "teaching text: 6 mg/kg, 400 mg (seen)"),
            "bupivacaine-0.5-epi-200": Maxima(Decimal("1.3"), Decimal(90), "teaching text: 1.3 mg/kg, 90 mg (seen)"),
        },
    ),
}

DEFAULT_COLUMN = "label-handbook"


def published(agent: str, column: str = DEFAULT_COLUMN, cartridge_ml: Decimal = HANDBOOK_ML) -> Agent:
    """Give an agent with the maxima that a column lists for it; where it lists none, `source` says so.

    Raises:
        ValueError: an agent or a column that is not there, or a cartridge that is not above 0 mL.

    """
    if agent not in SUPPLIED:
        raise ValueError(f"{agent!r} is no agent; allowed: {', '.join(SUPPLIED)}.")
    if column not in COLUMNS:
        raise ValueError(f"{column!r} is no column; allowed: {', '.join(COLUMNS)}.")
    supplied, found = SUPPLIED[agent], COLUMNS[column].maxima.get(agent)
    if found is None:
        found = Maxima(None, None, f"The column {column} lists no maximum, and none is taken from another")
    return Agent(
        id=agent,
        name=supplied.name,
        mg_per_ml=supplied.mg_per_ml,
        max_mg_per_kg=found.mg_per_kg,
        max_mg=found.mg,
        strictly_below=found.strictly_below,
        epinephrine_ug_per_ml=supplied.epinephrine_ug_per_ml,
        cartridge_ml=cartridge_ml,
        source=found.source,
    )
