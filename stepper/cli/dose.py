"""`stepper dose`: what local anaesthetics given come to together, and what is left of them."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from stepper.cli.arguments import Once, Parser
from stepper.cli.printed import Figure, add_json, print_json, print_table
from stepper.cli.refused import Refused

if TYPE_CHECKING:
    from stepper.sums.agents import Column
    from stepper.sums.dose import Dose, Method, Total
    from stepper.sums.dose_left import Outlook

KG = (Decimal(3), Decimal(300))
ML = (Decimal(0), Decimal(100))
CARTRIDGE_ML = (Decimal("0.5"), Decimal(5))

RESTS_ON = (
    "By the lowest maximum: rule of the Handbook of Local Anesthesia (from memory).",
    "Epinephrine: 0.2 mg healthy, 0.04 mg cardiac, teaching texts (seen); cardiac 0.02 to 0.05 mg in another (seen).",
)


def add(commands: argparse._SubParsersAction[Parser]) -> None:
    """Register the command."""
    parser = commands.add_parser("dose", help="local anaesthetics given: share of the maximum, and what is left")
    parser.add_argument("--weight-kg", action=Once, help="weight of the patient in kg")
    parser.add_argument(
        "--gave",
        action="append",
        default=[],
        metavar="AGENT=ML",
        help="what was given, as lidocaine-2-epi-100=3.6; once for each agent, 0 for one to be given",
    )
    parser.add_argument("--cardiac", action="store_true", help="epinephrine at most 0.04 mg instead of 0.2 mg")
    parser.add_argument(
        "--column", action=Once, help="whose maxima: label-handbook (if left out), canada, teaching-lower"
    )
    parser.add_argument("--cartridge-ml", action=Once, help="what a cartridge holds, 1.8 mL if left out")
    add_json(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Add up and print."""
    from stepper.sums.agents import COLUMNS, DEFAULT_COLUMN, EPINEPHRINE_CARDIAC_UG, EPINEPHRINE_HEALTHY_UG
    from stepper.sums.dose import total

    column = arguments.column if arguments.column is not None else DEFAULT_COLUMN
    limit_ug = EPINEPHRINE_CARDIAC_UG if arguments.cardiac else EPINEPHRINE_HEALTHY_UG
    try:
        doses, weight_kg = _read(arguments, column)
        found = total(doses, weight_kg, limit_ug)
    except ValueError as error:
        raise Refused(str(error)) from None
    if arguments.json:
        print_json(_figures(found, column))
    else:
        print_table(_rows(found), _sentences(found, COLUMNS[column]))
    return 0


def _read(arguments: argparse.Namespace, column: str) -> tuple[list[Dose], Decimal]:
    from stepper.cli.files import number
    from stepper.sums.agents import HANDBOOK_ML, published
    from stepper.sums.dose import Dose

    if arguments.weight_kg is None:
        raise Refused(f"--weight-kg is missing; {KG[0]} to {KG[1]} kg is allowed.")
    if not arguments.gave:
        raise Refused("nothing is given: --gave AGENT=ML says what, as --gave lidocaine-2-epi-100=3.6.")
    weight_kg = number("--weight-kg", arguments.weight_kg, *KG, "kg")
    cartridge_ml = HANDBOOK_ML
    if arguments.cartridge_ml is not None:
        cartridge_ml = number("--cartridge-ml", arguments.cartridge_ml, *CARTRIDGE_ML, "mL")
    doses: list[Dose] = []
    for typed in arguments.gave:
        agent, sign, ml = typed.partition("=")
        if not sign or not agent.strip():
            raise Refused(
                f"--gave: {typed!r} lacks an agent or a volume; AGENT=ML is allowed, as lidocaine-2-epi-100=3.6."
            )
        known = published(agent.strip(), column, cartridge_ml)
        doses.append(Dose(known, number(f"--gave {agent}", ml, *ML, "mL")))
    return doses, weight_kg


def _figures(found: Total, column: str) -> dict[str, Figure]:
    shares, lowest = _outlooks(found, "shares"), _outlooks(found, "lowest_maximum")
    return {
        "share_of_maximum": found.share_of_maximum,
        "share_by_lowest_maximum": found.share_by_lowest_maximum,
        "agents": [
            {
                "agent": part.agent.id,
                "mg": part.mg,
                "maximum_mg": part.maximum_mg,
                "ml": part.ml,
                "share": part.share,
                "source": part.agent.source,
            }
            for part in found.parts
        ],
        "epinephrine_mg": found.epinephrine_ug / 1000,
        "left_ml": {agent: one.left.ml for agent, one in shares.items()},
        "left_cartridges": {agent: one.left.cartridges for agent, one in shares.items()},
        "left_by_lowest_maximum_ml": {agent: one.left.ml for agent, one in lowest.items()},
        "left_by_lowest_maximum_cartridges": {agent: one.left.cartridges for agent, one in lowest.items()},
        "share_after_next_cartridge": {agent: one.after.share_of_maximum for agent, one in shares.items()},
        "share_by_lowest_maximum_after_next_cartridge": {
            agent: one.after.share_by_lowest_maximum for agent, one in lowest.items()
        },
        "over_by_shares": found.over("shares"),
        "over_by_lowest_maximum": found.over("lowest_maximum"),
        "lowest_maximum_mg": found.lowest_maximum_mg,
        "epinephrine_share": found.epinephrine_share,
        "epinephrine_maximum_mg": _mg(found.epinephrine_limit_ug),
        "cartridge_ml": found.parts[0].agent.cartridge_ml,
        "weight_kg": found.weight_kg,
        "column": column,
        "not_known": found.gaps,
    }


def _outlooks(found: Total, method: Method) -> dict[str, Outlook]:
    from stepper.sums.dose_left import outlook

    return {part.agent.id: outlook(found, part.agent, method) for part in found.parts}


def _rows(found: Total) -> list[tuple[str, str]]:
    shares, lowest = _outlooks(found, "shares"), _outlooks(found, "lowest_maximum")
    cartridge_ml = found.parts[0].agent.cartridge_ml
    rows: list[tuple[str, str]] = []
    for part in found.parts:
        maximum = "maximum not known"
        if part.maximum_mg is not None:
            maximum = f"maximum {_text(part.maximum_mg)} mg ({part.basis}), {_percent(part.share)}"
        rows.append((part.agent.id, f"{_text(part.ml)} mL, {_text(part.mg)} mg, {maximum}"))
    spent = f"{_text(_mg(found.epinephrine_ug))} mg, maximum {_text(_mg(found.epinephrine_limit_ug))} mg"
    rows.append(("epinephrine", f"{spent}, {_percent(found.epinephrine_share)}"))
    rows.append(("share of maximum, epinephrine too", _percent(found.share_of_maximum)))
    lowest_mg = f" of {_text(found.lowest_maximum_mg)} mg" if found.lowest_maximum_mg is not None else ""
    rows.append(("agents' share of lowest maximum", _percent(found.share_by_lowest_maximum) + lowest_mg))
    for words, outlooks in (("by shares", shares), ("by lowest maximum", lowest)):
        for agent, one in outlooks.items():
            after = one.after.share_of_maximum if outlooks is shares else one.after.share_by_lowest_maximum
            rows.append((f"left of {agent}, {words}", f"{_left(one, cartridge_ml)}; one more makes {_percent(after)}"))
    return rows


def _left(one: Outlook, cartridge_ml: Decimal) -> str:
    if one.left.ml is None:
        return "not known"
    whole = f"{one.left.cartridges} whole of {_text(cartridge_ml)} mL"
    return f"{_text(Decimal(int(one.left.ml * 100)) / 100)} mL, {whole}"


def _sentences(found: Total, column: Column) -> Sequence[str]:
    from stepper.sums.dose import METHODS
    from stepper.sums.dose_left import reasons

    over = dict.fromkeys(reason for method in METHODS for reason in reasons(found, method))
    sources = [f"{part.agent.id}: {part.agent.source}." for part in found.parts]
    return [*over, *found.gaps, f"Maxima: {column.title}.", *sources, *RESTS_ON]


def _mg(ug: Decimal | None) -> Decimal | None:
    return ug / 1000 if ug is not None else None


def _text(figure: Decimal | None) -> str:
    return f"{figure.normalize():f}" if figure is not None else "not known"


def _percent(share: Decimal | None) -> str:
    from stepper.sums.dose import percent

    return f"{percent(share)} %" if share is not None else "not known"
