"""`stepper cone`: where a cone will come to rest in what a file has cut."""

from __future__ import annotations

import argparse
from decimal import Decimal
from typing import TYPE_CHECKING

from stepper.cli import printed
from stepper.cli.arguments import Once, Parser

if TYPE_CHECKING:
    from stepper.sums.cone import Canal, Cone, Rest

MOST_CUT_MM = Decimal(16)
LEAST_CUT_MM = Decimal("0.1")


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    cone = commands.add_parser("cone", help="foretell where a cone comes to rest in what a file has cut to length")
    cone.add_argument("--cut", action=Once, required=True, metavar="FILE", help="the file taken to length, as 40/.04")
    cone.add_argument("--cone", action=Once, required=True, metavar="CONE", help="the cone as on its packet, as 45/.04")
    cone.add_argument(
        "--cut-length-mm",
        action=Once,
        default=str(MOST_CUT_MM),
        metavar="MM",
        help="how far up from length the file has cut",
    )
    printed.add_json(cone)
    cone.set_defaults(run=_cone)


def _cone(arguments: argparse.Namespace) -> int:
    from stepper.cli import files
    from stepper.sums import cone as sums

    cut = files.file("--cut", arguments.cut)
    given = files.file("--cone", arguments.cone)
    cut_mm = files.number("--cut-length-mm", arguments.cut_length_mm, LEAST_CUT_MM, MOST_CUT_MM, "mm")
    canal, cone = sums.Canal(cut.size, cut.taper, cut_mm), sums.Cone(given.size, given.taper)
    found, trim_mm, match = sums.rest(cone, canal), sums.trim_mm(cone, canal), sums.matches(cone, canal)
    if arguments.json:
        printed.print_json(
            {
                "match": match,
                "rest_short_mm": None if found.falls_through else found.nominal_mm,
                "rest_short_range_mm": [found.least_mm, found.most_mm],
                "trim_mm": trim_mm,
            }
        )
        return 0
    rows = [
        ("Of the file's size and taper", "yes" if match else "no"),
        (
            "Rests, nominal sizes",
            "nowhere: it falls right through" if found.falls_through else _place(found.nominal_mm),
        ),
        ("Rests, within tolerances", _range(found)),
        ("Touches, nominal sizes", "cannot be told" if found.touches is None else found.touches.value),
        ("Trimmed to the file's tip by", _trim(cone, canal, trim_mm)),
    ]
    printed.print_table(rows, _sentences(cone, canal, found))
    return 0


def _place(short_mm: Decimal | None) -> str:
    if short_mm is None:
        return "cannot be told: its tip is wider than the whole cut part"
    if short_mm == 0:
        return "at length"
    return f"{abs(short_mm)} mm {'short of' if short_mm > 0 else 'beyond'} length"


def _range(found: Rest) -> str:
    if found.least_mm is not None and found.most_mm is None:
        return f"{_place(found.least_mm)} or further out: at its widest it does not enter the cut part"
    if found.least_mm is None or found.least_mm == found.most_mm:
        return _place(found.least_mm)
    return f"{_place(found.least_mm)} to {_place(found.most_mm)}"


def _trim(cone: Cone, canal: Canal, trim_mm: Decimal | None) -> str:
    if trim_mm is not None:
        return f"{trim_mm} mm"
    narrower = cone.tip_mm < canal.tip_mm
    return f"does not apply: {'more than its length' if narrower else 'its tip is no narrower than the file'}"


def _sentences(cone: Cone, canal: Canal, found: Rest) -> list[str]:
    from stepper.sums.cone import CONE_MM, cone_tolerance_mm
    from stepper.sums.iso3630 import tolerance_mm

    sentences = [
        f"Round, straight canal assumed, cut by that file alone over {canal.cut_mm} mm from length.",
        f"Tolerance of the file {tolerance_mm(canal.size)} mm either way (ISO 3630-1:1992, from memory).",
        f"Tolerance of the cone {cone_tolerance_mm(cone.size)} mm either way (ISO 6877:2006, from memory).",
    ]
    if found.least_mm is not None and found.least_mm < -CONE_MM:
        sentences.append(f"A cone is about {CONE_MM} mm long (from memory): one so thin may fall right through.")
    return sentences
