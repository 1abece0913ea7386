"""The worked examples of the trade's figures, each with its number, its source and how it is known.

1 to 7 are barcodes and belong to the scanner, 18 to 24 are doses and are tested with them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

import pytest

from stepper.sums.clash import Mixed, with_chlorhexidine
from stepper.sums.cone import Cone
from stepper.sums.curvature import Curvature, Curved, Method, arc_mm, schneider
from stepper.sums.iso3630 import diameter_mm, steps_between, up_by
from stepper.sums.iso3950 import from_universal, universal
from stepper.sums.motion import turns, turns_per_s
from stepper.sums.needle import reach, tube
from stepper.sums.radiograph import Resorption, length_mm, tooth_mm
from stepper.sums.volume import frustum_mm3

D = Decimal


@dataclass(frozen=True)
class Example:
    """One figure of a worked example: what it comes to, to how many places, whose it is and how it is known."""

    number: int
    sum: Callable[[], object]
    expected: object
    source: str
    known: str
    places: int | None = None


def example(number: int, source: str, known: str, *figures: tuple[Callable[[], object], object]) -> list[Example]:
    return [Example(number, figure, expected, source, known) for figure, expected in figures]


def rounded(number: int, source: str, known: str, places: int, *figures: tuple[Callable[[], Decimal], str]):
    return [Example(number, figure, D(expected), source, known, places) for figure, expected in figures]


def curved(angle: int) -> Curved | None:
    return schneider(Curvature(D(angle), Method.SCHNEIDER)).curved


PERMANENT = {"16": "3", "26": "14", "36": "19", "46": "30", "11": "8", "21": "9", "48": "32"}
PRIMARY = {"55": "A", "51": "E", "65": "J", "75": "K", "72": "N", "81": "P", "85": "T"}

EXAMPLES: list[Example] = [
    *example(
        8,
        "ISO 3950:2016 and Universal",
        "46 = 30, 11 and 21 = 8 and 9 and the ends seen, the rest derived",
        *[(lambda tooth=tooth: universal(tooth), code) for tooth, code in PERMANENT.items()],
    ),
    *example(
        9,
        "ISO 3950:2016 and Universal",
        "the ends seen, the rest derived",
        *[(lambda tooth=tooth: universal(tooth), code) for tooth, code in PRIMARY.items()],
        *[(lambda code=code: from_universal(code), tooth) for tooth, code in PRIMARY.items()],
    ),
    *example(
        10,
        "ISO 3630-1 as quoted by Qualtrough et al. 2005",
        "formula seen",
        (lambda: diameter_mm(25, D("0.02"), D(0)), D("0.25")),
        (lambda: diameter_mm(25, D("0.02"), D(3)), D("0.31")),
        (lambda: diameter_mm(25, D("0.02"), D(16)), D("0.57")),
    ),
    *example(
        11,
        "ISO 3630-1 as quoted by Qualtrough et al. 2005",
        "derived from the formula",
        (lambda: diameter_mm(25, D("0.06"), D(1)), D("0.31")),
        (lambda: diameter_mm(25, D("0.06"), D(3)), D("0.43")),
        (lambda: diameter_mm(25, D("0.06"), D(16)), D("1.21")),
    ),
    *example(
        12,
        "a handbook's example of trimming",
        "seen",
        (lambda: Cone(10, D("0.02"), D(1)).tip_mm, D("0.12")),
        (lambda: Cone(15, D("0.02"), D(1)).tip_mm, D("0.17")),
    ),
    *rounded(
        13,
        "geometry, on examples 10 and 11",
        "derived",
        3,
        (lambda: frustum_mm3(D("0.25"), D("1.21"), D(16)), "7.662"),
        (lambda: frustum_mm3(D("0.30"), D("0.94"), D(16)), "5.259"),
        (lambda: frustum_mm3(D("0.25"), D("0.57"), D(16)), "2.220"),
    ),
    *example(
        14,
        "ISO 9626:2016 and ISO 3630-1",
        "derived; outside diameters from memory",
        (lambda: reach(30, D("0.04"), tube(30).largest_mm).touches_short_mm, D("0.5")),
        (lambda: reach(30, D("0.04"), tube(27).largest_mm).touches_short_mm, D("3.0")),
    ),
    *example(
        15,
        "ISO 9626:2016 and ISO 3630-1",
        "derived; outside diameters from memory",
        (lambda: reach(25, D("0.06"), tube(30).largest_mm).touches_short_mm, D("1.17")),
        (lambda: reach(25, D("0.04"), tube(30).largest_mm).touches_short_mm, D("1.75")),
    ),
    *example(
        16,
        "Weine 1996 on the ISO series",
        "rule seen, series from memory",
        *[(lambda size=size: up_by(size, 3), larger) for size, larger in ((8, 20), (15, 30), (55, 80))],
        *[(lambda size=size, to=to: steps_between(size, to), 3) for size, to in ((8, 20), (15, 30), (55, 80))],
    ),
    *example(
        17,
        "Grossman's proportion and Weine's modification",
        "formulas seen, numbers the paper's own",
        (lambda: tooth_mm(D("20.0"), D("21.0"), D("23.1")), D("22.0")),
        (lambda: length_mm(D("22.0"), Resorption.NEITHER), D("21.0")),
        (lambda: length_mm(D("22.0"), Resorption.BONE), D("20.5")),
        (lambda: length_mm(D("22.0"), Resorption.BONE_AND_ROOT), D("20.0")),
    ),
    *example(
        25,
        "Basrani et al. 2007",
        "thresholds seen",
        (lambda: with_chlorhexidine(D("0.10")), Mixed.COLOUR),
        (lambda: with_chlorhexidine(D("0.20")), Mixed.PRECIPITATE),
    ),
    *example(
        26,
        "Schneider 1971",
        "seen in a work that quotes it",
        (lambda: curved(4), Curved.STRAIGHT),
        (lambda: curved(15), Curved.MODERATE),
        (lambda: curved(30), Curved.SEVERE),
        (lambda: curved(7), None),
        (lambda: curved(22), None),
    ),
    *example(
        27,
        "arithmetic",
        "derived",
        (lambda: turns_per_s(D(300)), 5),
        (lambda: turns(D(300), D(84)), 420),
    ),
    *rounded(
        28,
        "geometry; radii of Pruett et al. 1997",
        "derived; radii seen",
        2,
        (lambda: arc_mm(D(5), D(60)), "5.24"),
        (lambda: arc_mm(D(2), D(60)), "2.09"),
    ),
]


@pytest.mark.parametrize("one", EXAMPLES, ids=[f"{one.number}, {one.known}" for one in EXAMPLES])
def test_worked_example(one: Example):
    found = one.sum()
    assert (found if one.places is None else round(found, one.places)) == one.expected, one.source


def test_none_is_left_out():
    elsewhere = {*range(1, 8), *range(18, 25)}
    assert {one.number for one in EXAMPLES} == set(range(1, 29)) - elsewhere
