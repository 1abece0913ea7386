"""A document as JSON: every decimal with the digits it was keyed with, every text without signs that have no shape."""

from __future__ import annotations

import json
from decimal import Decimal
from typing import TypeVar, cast

from stepper.lines.refusal import visible

T = TypeVar("T")

EMPTY = "(empty)"
"""What stands for a text with nothing in it: FHIR allows none."""


def shown(value: T) -> T:
    """Spell out signs without a shape in every text, whatever it came from; no text is empty or opens with a space."""
    match value:
        case str():
            return cast(T, visible(value).strip() or EMPTY)
        case dict():
            return cast(T, {key: shown(one) for key, one in value.items()})
        case list():
            return cast(T, [shown(one) for one in value])
    return value


def written(tree: object) -> str:
    """Write a tree as JSON, on one line with a newline behind it."""
    return _json(tree) + "\n"


def _json(value: object) -> str:
    match value:
        case str() | bool() | int():
            return json.dumps(value, ensure_ascii=False)
        case Decimal():
            return f"{value:f}"
        case dict():
            return "{" + ",".join(f"{json.dumps(key)}:{_json(one)}" for key, one in value.items()) + "}"
        case list():
            return "[" + ",".join(_json(one) for one in value) + "]"
    raise TypeError(f"{type(value).__name__} has no form in JSON here: a float would lose digits")
