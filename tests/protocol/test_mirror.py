"""The reader of good files and the teller of mistakes are made from the same types: they judge alike."""

from __future__ import annotations

import copy
import random
import tomllib
from decimal import Decimal

import pytest

from stepper.kinds.shape import Exact, Positive, Table, Taper, read_table
from stepper.protocol.mirror import mistakes
from stepper.protocol.models import Protocol
from stepper.protocol.settings import Settings
from stepper.record.places import bundled

ODD = (
    "",
    "x",
    "A b",
    "a\n",
    "\u202e",
    0,
    1,
    -1,
    3.5,
    10**25,
    True,
    [],
    ["x"],
    [1],
    {},
    {"x": 1},
    float("nan"),
    "x" * 500,
)
"""Values that are wrong in most places and right in some."""


def raw(name: str) -> dict[str, object]:
    return tomllib.loads((bundled("protocols") / name).read_text(encoding="utf-8"))


def holders(node: object) -> list[dict[str, object] | list[object]]:
    """Give every table and list of a file that holds something."""
    found: list[dict[str, object] | list[object]] = [node] if isinstance(node, dict | list) and node else []
    inside = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
    return found + [one for part in inside for one in holders(part)]


def change(draw: random.Random, content: dict[str, object]) -> None:
    """Put something odd in the place of a value, take a key out or put one in."""
    at = draw.choice(holders(content))
    if isinstance(at, list):
        at[draw.randrange(len(at))] = draw.choice(ODD)
        return
    key = draw.choice(list(at))
    match draw.choice(("odd", "odd", "out", "in")):
        case "odd":
            at[key] = draw.choice(ODD)
        case "out":
            del at[key]
        case "in":
            at["no_such_key"] = draw.choice(ODD)


def refused(table: type[Table], content: object) -> str:
    try:
        read_table(table, content)
    except ValueError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("name", ["one_visit.toml", "practice_tooth.toml"])
def test_the_bundled_protocols_are_in_order_to_both(name: str):
    assert refused(Protocol, raw(name)) == ""
    assert mistakes(Protocol, raw(name)) == []


@pytest.mark.parametrize("seed", range(8))
def test_what_one_refuses_the_other_finds_fault_with(seed: int):
    draw, whole, told = random.Random(seed), raw("one_visit.toml"), 0
    for _ in range(60):
        content = copy.deepcopy(whole)
        change(draw, content)
        why, found = refused(Protocol, content), mistakes(Protocol, content)
        assert bool(why) == bool(found), (why, found)
        told += bool(why)
    assert 10 < told < 60, "some changes are mistakes, and some are not"


@pytest.mark.parametrize(
    "content",
    [{}, {"sound": False, "theme": "light"}, {"theme": "pink"}, {"heading": 3}, {"person": [{"number": 0}]}, {"x": 1}],
)
def test_settings_are_judged_alike(content: dict[str, object]):
    assert bool(refused(Settings, content)) == bool(mistakes(Settings, content))


@pytest.mark.parametrize(
    ("kind", "taken", "not_taken"),
    [
        (Exact, (0, -3, 0.1, Decimal("0.10")), ("0.1", True, None, float("inf"), float("nan"))),
        (Positive, (1, 0.001), (0, -0.001)),
        (Taper, (0, 0.04, 0.12), (-0.01, 0.1200001, 4)),
    ],
)
def test_a_decimal_is_what_was_written_within_its_range(
    kind: type[Exact], taken: tuple[object, ...], not_taken: tuple[object, ...]
):
    for value in taken:
        assert str(kind.read(value)) == str(value)
    for value in not_taken:
        with pytest.raises(ValueError, match="must be"):
            kind.read(value)
