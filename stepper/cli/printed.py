"""How the sums are printed: one JSON document, or a plain table of names and figures with their units."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import TypeAlias

Figure: TypeAlias = "bool | int | Decimal | str | Sequence[Figure] | Mapping[str, Figure] | None"
"""What a sum comes to, as JSON takes it; a decimal keeps its digits, None is written null."""

CAUTION = "A sum, not advice: the clinician decides; manufacturers' instructions and local rules come first."


def add_json(parser: argparse.ArgumentParser) -> None:
    """Let a command take `--json`."""
    parser.add_argument("--json", action="store_true", help="one JSON document instead of a table")


def print_json(figures: Mapping[str, Figure]) -> None:
    """Write the figures as one JSON document on a line."""
    sys.stdout.write(json.dumps(figures, default=_number) + "\n")


def print_table(rows: Sequence[tuple[str, str]], sentences: Sequence[str] = ()) -> None:
    """Write rows of a name and its figure, then sentences, then the caution that goes with every sum."""
    width = max((len(name) for name, _ in rows), default=0)
    lines = [f"{name:<{width}}  {figure}".rstrip() for name, figure in rows]
    sys.stdout.write("\n".join([*lines, *sentences, CAUTION]) + "\n")


def _number(value: object) -> float | int:
    """Give a decimal as JSON has numbers: shortest digits that read back the same."""
    if not isinstance(value, Decimal):
        raise TypeError(f"{value!r} cannot be written as JSON.")
    return int(value) if value == value.to_integral_value() else float(value)
