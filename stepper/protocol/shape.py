"""Mistakes of shape: what pydantic says of a file, in a practice's own words."""

from __future__ import annotations

import re
from typing import Any, get_args

from pydantic_core import ErrorDetails

from stepper.kinds.asking import Spares
from stepper.kinds.shape import INITIALS, NAME, PLACE, SHOWABLE, Table
from stepper.kinds.union import AnyQuestion, AnyRule
from stepper.protocol.mirror import mistakes
from stepper.protocol.models import IncidentKind, Lesson, Occasion, Protocol, SheetLine, Step, Until
from stepper.protocol.problems import Problem, Where, nearest, quoted, step_into

_TAGS = frozenset(str(kind.__struct_config__.tag) for union in (AnyQuestion, AnyRule) for kind in get_args(union)) | {
    "solution",
    "needle",
    "sealer",
    "cone",
    "file",
    "agent",
    "material",
}
_TABLES: dict[str, type[Table]] = {
    "step": Step,
    "incident": IncidentKind,
    "lesson": Lesson,
    "until": Until,
    "spares": Spares,
    "sheet": SheetLine,
    "sheet.when": Occasion,
}
"""The tables of which the known keys are told, by the last key of their way, or by all of it."""
_DECIMAL = re.compile(r"Decimal\('(.*)'\)")
_NUMBER, _WHOLE = "must be a number, without quotes", "must be a whole number, without quotes"
_WRONG = {
    "missing": "is missing",
    "string_type": "must be text in quotes",
    "string_unicode": "holds a sign that is no text",
    "int_type": _WHOLE,
    "int_from_float": _WHOLE,
    "int_parsing_size": _WHOLE,
    "bool_type": "must be true or false, without quotes",
    "tuple_type": "must be a list in [ ]",
    "model_type": "must be a table",
    "model_attributes_type": "must be a table",
    "decimal_type": _NUMBER,
    "finite_number": "must be a number, not inf or nan",
    "greater_than": "must be above {gt}",
    "greater_than_equal": "must be at least {ge}",
    "less_than_equal": "must be at most {le}",
    "string_too_short": "is empty",
    "string_too_long": "is longer than {max_length} characters",
    "too_short": "is empty",
    "too_long": "has more than {max_length} entries",
}
_PATTERNS = {
    NAME: ("is no id", "allowed: small letters, digits and _, a letter first, at most 40"),
    PLACE: ("does not name a question", 'allowed: "step.question", by their ids'),
    INITIALS: ("are no initials", "allowed: 1 to 8 letters"),
    SHOWABLE: ("holds a sign without a shape", "allowed: text on one line, without control characters"),
}


def shape_problems(raw: object, whole: type[Table] = Protocol) -> tuple[list[Problem], list[Where]]:
    """List every mistake of shape in what a file holds, and which of the places are keys that nobody knows.

    `whole` is what the file as a whole should be.
    """
    details = mistakes(whole, raw)
    found = [_problem(detail, raw, whole) for detail in details]
    unknown = [one.where for one, detail in zip(found, details, strict=True) if detail["type"] == "extra_forbidden"]
    return found, unknown


def _problem(detail: ErrorDetails, raw: object, whole: type[Table]) -> Problem:
    """Turn one of pydantic's complaints into ours: its union tags are no part of the way to a key."""
    where = _without_tags(detail["loc"], raw)
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "extra_forbidden":
        known = _known_keys(where[:-1], raw, whole)
        return Problem(where, "is not a key here", nearest(str(where[-1]), known) if known else "")
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        return _tag_problem(where, kind, context)
    if kind in ("literal_error", "enum"):
        return Problem(where, f"{quoted(detail['input'])} is not allowed", f"allowed: {context.get('expected', '')}")
    if kind == "string_pattern_mismatch":
        wrong, allowed = _PATTERNS[str(context["pattern"])]
        return Problem(where, f"{quoted(detail['input'])} {wrong}", allowed)
    wrong = _WRONG.get(kind, detail["msg"][:1].lower() + detail["msg"][1:])
    limits = {name: _DECIMAL.sub(r"\1", str(limit)) for name, limit in context.items()}
    return Problem(where, wrong.format_map(limits) if kind in _WRONG else wrong)


def _tag_problem(where: Where, kind: str, context: dict[str, Any]) -> Problem:
    name = "category" if where[:1] == ("item",) else "kind"
    if kind == "union_tag_not_found":
        return Problem((*where, name), "is missing", "it says which sort of table this is")
    tag = str(context["tag"])
    expected = [word.strip(" '") for word in str(context["expected_tags"]).split(",")]
    return Problem((*where, name), f"{quoted(tag)} is unknown", nearest(tag, expected))


def _without_tags(loc: Where, raw: object) -> Where:
    """Follow the file itself down the complaint's way and drop what is not in it."""
    way: list[str | int] = []
    here: object = raw
    for place, part in enumerate(loc):
        if part in _TAGS and place < len(loc) - 1 and not (isinstance(here, dict) and part in here):
            continue
        here = step_into(here, part)
        way.append(part)
    return tuple(way)


def _known_keys(where: Where, raw: object, whole: type[Table]) -> frozenset[str]:
    """List the keys that the table at a place may have, for the nearest spelling."""
    here: object = raw
    for part in where:
        here = step_into(here, part)
    names = [part for part in where if isinstance(part, str)]
    if not names:
        return frozenset(whole.__struct_fields__)
    table = _TABLES.get(names[-1]) or _TABLES.get(".".join(names))
    if table is not None:
        return frozenset(table.__struct_fields__)
    if names[-1] in ("question", "rule") and isinstance(here, dict):
        union = AnyQuestion if names[-1] == "question" else AnyRule
        for kind in get_args(union):
            if kind.__struct_config__.tag == here.get("kind"):
                return frozenset({"kind", *kind.__struct_fields__})
    return frozenset()
