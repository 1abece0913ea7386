"""`stepper needle`: where an irrigation needle touches in what a file has cut, and from where it is loose."""

from __future__ import annotations

import argparse
from decimal import Decimal

from stepper.cli import printed
from stepper.cli.arguments import Once, Parser
from stepper.cli.refused import Refused


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    needle = commands.add_parser("needle", help="tell where a needle touches in what a file has cut to length")
    needle.add_argument("--cut", action=Once, required=True, metavar="FILE", help="the file taken to length, as 30/.04")
    needle.add_argument("--gauge", action=Once, required=True, metavar="G", help="the gauge of the needle, as 27")
    printed.add_json(needle)
    needle.set_defaults(run=_needle)


def _needle(arguments: argparse.Namespace) -> int:
    from stepper.cli import files
    from stepper.sums import needle as sums

    cut = files.file("--cut", arguments.cut)
    tube = next((one for one in sums.TUBES.values() if str(one.gauge) == arguments.gauge.strip()), None)
    if tube is None:
        listed = ", ".join(map(str, sums.TUBES))
        raise Refused(f"--gauge: {arguments.gauge!r} is not in the table; {listed} are allowed.")
    found = sums.reach(cut.size, cut.taper, tube.largest_mm)
    if arguments.json:
        printed.print_json(
            {
                "outside_diameter_max_mm": tube.largest_mm,
                "touches_short_mm": found.touches_short_mm,
                "loose_from_short_mm": found.loose_from_short_mm,
            }
        )
        return 0
    rows = [
        ("Outside diameter at most", f"{tube.largest_mm} mm"),
        ("Touches, nominal cut", _place(found.touches_short_mm, "not before length")),
        ("Loose, smallest cut", _place(found.loose_from_short_mm, "down to length", "from ")),
    ]
    sentences = [
        "Round, straight canal assumed, cut by that file alone over 16 mm from length.",
        f"{tube.gauge} G by ISO 9626:2016: {tube.least_mm} to {tube.largest_mm} mm outside ({tube.known}).",
        "Smallest cut: the file at its tolerance (ISO 3630-1:1992, from memory).",
    ]
    printed.print_table(rows, sentences)
    return 0


def _place(short_mm: Decimal | None, at_length: str, lead: str = "") -> str:
    if short_mm is None:
        return "nowhere in the cut part: the needle is wider than all of it"
    return at_length if short_mm == 0 else f"{lead}{short_mm} mm short of length"
