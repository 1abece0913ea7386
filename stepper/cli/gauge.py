"""`stepper gauge`: what files that were in a canal prove of its width at length."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING

from stepper.cli.arguments import Once, Parser
from stepper.cli.printed import Figure, add_json, print_json, print_table
from stepper.cli.refused import Refused
from stepper.sums.iso3630 import SIZES

if TYPE_CHECKING:
    from stepper.sums.gauging.bounds import Bounds
    from stepper.sums.gauging.compare import Comparison
    from stepper.sums.gauging.model import Reading, Tool

SERIES = tuple(f"{size:02d}/.02" for size in SIZES if size >= 15)
"""The gauging files that a next reading is chosen from, unless others are named."""

LESS_A_TOLERANCE = "A file that passed proves its width less the tolerance: the same file counts as larger than that."

_FINE = Decimal("0.0001")
_APICES = ("closed", "open", "resorbed")


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command."""
    parser = commands.add_parser(
        "gauge",
        help="what apical gauging proves of a canal's width at length",
        epilog="FILE is SIZE/TAPER, with -MM short of length where it stopped or was cut to: 35/.02-0.5.",
    )
    for option, text in (
        ("--cut", "a file that has cut to length, or to -MM short of it"),
        ("--passed", "a file that went to length loosely"),
        ("--stopped", "a file that was held where it stopped; -0 is held exactly at length"),
    ):
        parser.add_argument(option, action="append", default=[], metavar="FILE", help=text)
    parser.add_argument("--file", action="append", default=[], metavar="FILE", help="a file to compare, at length")
    parser.add_argument(
        "--read-error", action=Once, default="0.3", metavar="MM", help="how far off a stop is read, 0.3 mm"
    )
    parser.add_argument(
        "--tolerance", action=Once, default="0.02", metavar="MM", help="of a file's diameter up to size 60, 0.02 mm"
    )
    parser.add_argument(
        "--tolerance-over-60", action=Once, default="0.04", metavar="MM", help="the same above size 60, 0.04 mm"
    )
    parser.add_argument(
        "--span",
        action=Once,
        default="16",
        metavar="MM",
        help="how far up from length is reckoned, 16 mm; a file that was held is taken to touch within it",
    )
    parser.add_argument("--gauging-file", action="append", default=[], metavar="FILE", help="one of the stock")
    parser.add_argument(
        "--apex", action=Once, choices=_APICES, default="closed", help="no bounds are reckoned unless it is closed"
    )
    add_json(parser)
    parser.set_defaults(run=_run)


def _run(arguments: argparse.Namespace) -> int:
    from stepper.cli.files import number
    from stepper.sums.gauging.bounds import bounds
    from stepper.sums.gauging.compare import compare
    from stepper.sums.gauging.model import Model
    from stepper.sums.gauging.words import APEX_OFF

    if arguments.apex != "closed":
        raise Refused(APEX_OFF.format(apex=arguments.apex))
    model = Model(
        number("--read-error", arguments.read_error, Decimal(0), Decimal(5), "mm"),
        number("--tolerance", arguments.tolerance, Decimal(0), Decimal("0.1"), "mm"),
        number("--tolerance-over-60", arguments.tolerance_over_60, Decimal(0), Decimal("0.1"), "mm"),
        number("--span", arguments.span, Decimal(3), Decimal(30), "mm"),
    )
    stock = tuple(_tool("--gauging-file", one) for one in arguments.gauging_file or SERIES)
    try:
        found = bounds(_readings(arguments), model)
    except ValueError as error:
        raise Refused(str(error)) from None
    compared = [compare(_tool("--file", one), found, _gauged(found)) for one in arguments.file]
    if arguments.json:
        print_json(_figures(found, compared, stock))
    else:
        print_table(_rows(found, compared), _sentences(found, stock, compared=bool(compared)))
    return 0


def _readings(arguments: argparse.Namespace) -> list[Reading]:
    from stepper.cli.files import file_at
    from stepper.sums.gauging.model import How, Reading, straight

    if not (arguments.cut or arguments.passed or arguments.stopped):
        raise Refused("No file was read: give --cut, --passed or --stopped, as --passed 30/.02 --stopped 35/.02-0.5.")
    readings = []
    for how, typed in ((How.CUT, arguments.cut), (How.PASSED, arguments.passed), (How.STOPPED, arguments.stopped)):
        for one in typed:
            if how is How.STOPPED and "-" not in one and "+" not in one:
                raise Refused(f"--stopped: {one}: distance missing; {one}-0 was held at length, {one}-1.5 short of it.")
            at = file_at(f"--{how.value}", one)
            readings.append(Reading(straight(at.size, at.taper), how, at.short_mm))
    return readings


def _gauged(found: Bounds) -> int | None:
    from stepper.sums.gauging.model import gauged_size

    return gauged_size(found.readings) if not found.contradiction else None


def _tool(option: str, typed: str) -> Tool:
    from stepper.cli.files import file
    from stepper.sums.gauging.model import straight

    one = file(option, typed)
    return straight(one.size, one.taper)


def _figures(found: Bounds, compared: Sequence[Comparison], stock: Sequence[Tool]) -> dict[str, Figure]:
    from stepper.sums.gauging.words import further, outward, sentences

    cautious, tip_held = (outward(found.low_mm, high, _FINE) for high in (found.high_mm, found.tip_high_mm))
    return {
        "apical_mm": {"cautious": list(cautious), "tip_held": list(tip_held)},
        "gauged_size": _gauged(found),
        "contact": [
            {"file": one.reading.name, "zones_mm": [list(outward(a, b, _FINE)) for a, b in one.zones_mm]}
            for one in found.held
        ],
        "contradiction": [one.name for one in found.contradiction],
        "files": [_compared(one) for one in compared],
        "next_reading": further(found, stock),
        "sentence": " ".join(sentences(found)),
    }


def _compared(one: Comparison) -> dict[str, Figure]:
    return {
        "file": one.tool.name,
        "larger_at_length": {"cautious": one.larger.value, "tip_held": one.larger_if_held.value},
        "apical_3_mm": {
            "larger_than_passed_mm": _length(one.over_passed_mm),
            "larger_than_tip_held_mm": _length(one.over_tip_held_mm),
            "unknown_mm": _length(one.unknown_mm),
        },
        "steps_over_gauge": one.steps_over_gauge,
        "smaller_than_what_has_passed": one.within_passed,
    }


def _length(mm: Decimal | None) -> Decimal | None:
    return mm.quantize(_FINE, ROUND_HALF_EVEN).normalize() + 0 if mm is not None else None


def _rows(found: Bounds, compared: Sequence[Comparison]) -> list[tuple[str, str]]:
    from stepper.sums.gauging.words import span

    gauged = _gauged(found)
    rows = [
        ("Width at length, cautious", span(found.low_mm, found.high_mm)),
        ("Width at length, if held at the tip", span(found.low_mm, found.tip_high_mm)),
        ("Largest file read at length", f"{gauged:02d}" if gauged is not None else "none, or not known"),
    ]
    for one in found.held:
        zones = ", ".join(_zone(low, high) for low, high in one.zones_mm) or "nowhere"
        rows.append((f"{one.reading.name} may have touched", zones))
    for two in compared:
        if two.over_passed_mm is not None:
            rows += _compared_rows(two)
    return rows


def _zone(low: Decimal, high: Decimal) -> str:
    from stepper.sums.gauging.words import outward

    a, b = outward(low, high, Decimal("0.1"))
    return f"{a} to {b} mm from length"


def _compared_rows(one: Comparison) -> list[tuple[str, str]]:
    name, steps = one.tool.name, one.steps_over_gauge
    over = (
        f"larger than what passed over {_length(one.over_passed_mm)} mm, of these unknown {_length(one.unknown_mm)} mm"
    )
    if one.within_passed:
        over = "nowhere larger than what has already passed"
    held = f"over {_length(one.over_tip_held_mm)} mm" if one.over_tip_held_mm is not None else "not known"
    step = "not known" if steps is None else f"{steps} {'step' if abs(steps) == 1 else 'steps'} of the ISO series"
    return [
        (f"{name} larger at length", f"{one.larger.value}; if held at the tip: {one.larger_if_held.value}"),
        (f"{name} in the apical 3 mm", over),
        (f"{name} larger, if held at the tip", held),
        (f"{name} over that file", step),
    ]


def _sentences(found: Bounds, stock: Sequence[Tool], *, compared: bool) -> list[str]:
    from stepper.sums.gauging.words import further, sentences

    said = ["", " ".join(sentences(found)), further(found, stock)]
    return [*said, LESS_A_TOLERANCE] if compared and not found.contradiction else said
