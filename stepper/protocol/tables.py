"""Whether the tables of a protocol make sense: families, allergens, teeth and people that others go by."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from stepper.kinds.tables import Cones, File, Sealer, Solution
from stepper.kinds.union import AnyQuestion
from stepper.lines.refusal import Refusal
from stepper.lines.scans.codes import item_code
from stepper.protocol.models import Protocol
from stepper.protocol.problems import Problem, nearest
from stepper.sums.gauging.model import Tool
from stepper.sums.iso3950 import is_tooth


def check_tables(protocol: Protocol) -> Iterator[Problem]:
    """Give every problem of the tables."""
    yield from _families(protocol)
    yield from _answers(protocol)
    yield from _teeth(protocol)
    yield from _diameters(protocol)
    yield from _codes(protocol)
    yield from _cones(protocol)
    for role in ("a clinician", "an assistant"):
        if not any(person.role == role.split()[1] for person in protocol.person):
            yield Problem((), f"nobody is {role}", "each of the two needs a number")


def _families(protocol: Protocol) -> Iterator[Problem]:
    """Look that the final rinse and the clashes name families of solutions: a misspelt one would never be met."""
    families = {one.family for one in protocol.item if isinstance(one, Solution)}
    for family in protocol.limits.final_rinse:
        if family not in families:
            yield Problem(
                ("limits", "final_rinse"), f"{family!r} is no family of a solution", nearest(family, families)
            )
    for place, clash in enumerate(protocol.clash):
        for key, names in (("a", (clash.a,)), ("b", (clash.b,)), ("flush", clash.flush)):
            for family in names:
                if family not in families:
                    allowed = nearest(family, families)
                    yield Problem(("clash", place, key), f"{family!r} is no family of a solution", allowed)


def _answers(protocol: Protocol) -> Iterator[Problem]:
    """Look that what items go by can be answered: allergens at the diagnosis, dryness at drying."""
    allergies, dryness = _options(protocol, "allergies"), _options(protocol, "dryness")
    for place, item in enumerate(protocol.item):
        for allergen in item.allergens:
            if allergies and allergen not in allergies:
                yield Problem(
                    ("item", place, "allergens"),
                    f"{allergen!r} is no answer about allergies",
                    nearest(allergen, allergies),
                )
        for answer in item.dryness if isinstance(item, Sealer) else ():
            if dryness and answer not in dryness:
                yield Problem(
                    ("item", place, "dryness"), f"{answer!r} is no option of dryness", nearest(answer, dryness)
                )


def _options(protocol: Protocol, role: str) -> frozenset[str]:
    asked: list[AnyQuestion] = [one for step in protocol.step for one in step.question if one.role == role]
    return frozenset(option.id for one in asked for option in one.options_of(protocol))


def _teeth(protocol: Protocol) -> Iterator[Problem]:
    counts = Counter(tooth for row in protocol.tooth for tooth in row.teeth)
    for place, row in enumerate(protocol.tooth):
        for tooth in row.teeth:
            if not is_tooth(tooth):
                yield Problem(
                    ("tooth", place, "teeth"), f"{tooth!r} is no tooth", 'allowed: ISO 3950 numbers, such as "36"'
                )
            if counts[tooth] > 1:
                yield Problem(("tooth", place, "teeth"), f"{tooth!r} stands twice; it must be unique")


def _diameters(protocol: Protocol) -> Iterator[Problem]:
    """Look that a file whose taper varies has a table of diameters that a file can have."""
    for place, item in enumerate(protocol.item):
        if isinstance(item, File) and item.diameters_mm:
            try:
                Tool(item.label, item.size, item.diameters_mm)
            except ValueError as error:
                yield Problem(("item", place, "diameters_mm"), str(error).rstrip("."), "as [[0, 0.25], [16, 0.8]]")
        elif isinstance(item, File) and item.for_gauging and item.taper == 0:
            yield Problem(
                ("item", place, "for_gauging"), "a gauging file needs a taper above 0 or a table of diameters"
            )


def _codes(protocol: Protocol) -> Iterator[Problem]:
    """Look that item codes are whole, and that a code leads to one item, however it is written."""
    first: dict[str, str] = {}
    for place, item in enumerate(protocol.item):
        for at, written in enumerate(item.codes):
            where, code = ("item", place, "codes", at), item_code(written)
            if isinstance(code, Refusal):
                allowed = "allowed: a GTIN of 8, 12, 13 or 14 digits, or an HIBC primary code from + to check character"
                yield Problem(where, f"{written!r} {code.sentence}", allowed)
            elif code in first:
                whose = "stands twice" if first[code] == item.id else f"is a code of {first[code]} already"
                yield Problem(where, f"{written!r} {whose}; it must be unique")
            else:
                first[code] = item.id


def _cones(protocol: Protocol) -> Iterator[Problem]:
    """Look that cones of one size say their taper too: a size alone answers no question."""
    for place, item in enumerate(protocol.item):
        if isinstance(item, Cones) and (item.size is None) != (item.taper is None):
            lacking = "size" if item.size is None else "taper"
            yield Problem(("item", place), f"has no {lacking}", "cones of one size and taper have both, others neither")
