"""From bytes to a protocol, or to every mistake in it at once.

Shape first (do the tables have the keys they need?), sense second (do the names resolve?): both are reported together
as far as the shape lets the sense be looked at.
"""

from __future__ import annotations

import os
import stat
import tomllib
from pathlib import Path

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from stepper.kinds.union import AnyQuestion, AnyRule
from stepper.protocol.crosscheck import crosscheck
from stepper.protocol.lines import line_index, line_of
from stepper.protocol.models import Protocol, Step
from stepper.protocol.problems import BadProtocol, Problem, Where, nearest

MAX_BYTES = 512 * 1024
"""A protocol file is at most this long."""

_TAGS = frozenset(
    kind.model_fields["kind"].annotation.__args__[0]
    for union in (AnyQuestion, AnyRule)
    for kind in union.__origin__.__args__  # type: ignore[attr-defined]
) | {"solution", "needle", "sealer", "cone", "file", "agent", "material"}
_TYPES = {
    "missing": "is missing",
    "string_type": "must be text in quotes",
    "int_type": "must be a whole number",
    "bool_type": "must be true or false",
    "tuple_type": "must be a list in [ ]",
    "decimal_type": "must be a number",
    "decimal_parsing": "must be a number",
    "int_parsing": "must be a whole number",
    "bool_parsing": "must be true or false",
}


def load_file(path: Path) -> tuple[Protocol, str]:
    """Read a protocol file; give the protocol and its text, or raise BadProtocol."""
    try:
        handle = os.open(path, os.O_RDONLY | os.O_CLOEXEC | os.O_NONBLOCK)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a lawful file name"
        raise BadProtocol((f"{path.name}: cannot be read: {reason}",)) from None
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise BadProtocol((f"{path.name}: is not a file; a protocol is a TOML file",))
        content = file.read(MAX_BYTES + 1)
    if len(content) > MAX_BYTES:
        raise BadProtocol((f"{path.name}: longer than 512 KB; a protocol is shorter",))
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise BadProtocol((f"{path.name}: byte {error.start + 1} is not UTF-8 text",)) from None
    return load_text(text, path.name), text


def load_text(text: str, name: str) -> Protocol:
    """Read a protocol's text; `name` is the file's in the sentences. Raises BadProtocol with every mistake."""
    try:
        raw = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        said = str(error) or "nested too deep"
        raise BadProtocol((f"{name}: not TOML: {said}",)) from None
    try:
        protocol = Protocol.model_validate(raw)
    except ValidationError as error:
        problems = [_shape(detail, raw) for detail in error.errors(include_url=False, include_context=True)]
    except RecursionError:
        raise BadProtocol((f"{name}: nested too deep",)) from None
    else:
        problems = crosscheck(protocol)
        if not problems:
            return protocol
    index = line_index(text)
    raise BadProtocol(tuple(dict.fromkeys(_sentence(one, raw, name, line_of(index, one.where)) for one in problems)))


def _shape(detail: ErrorDetails, raw: object) -> Problem:
    """Turn one of pydantic's complaints into ours: its union tags are no part of the way to a key."""
    where = _without_tags(detail["loc"], raw)
    kind, key = detail["type"], str(where[-1]) if where else ""
    context = detail.get("ctx", {})
    if kind == "extra_forbidden":
        known = _known_keys(where[:-1], raw)
        return Problem(where, "is not a key here", nearest(key, known) if known else "")
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        tag = str(context.get("tag", ""))
        expected = [word.strip(" '") for word in str(context.get("expected_tags", "")).split(",") if word.strip()]
        name = "category" if "item" in where else "kind"
        if not tag:
            return Problem((*where, name), "is missing", f"allowed: {', '.join(expected)}" if expected else "")
        return Problem((*where, name), f"{tag!r} is unknown", nearest(tag, expected))
    if kind in _TYPES:
        return Problem(where, _TYPES[kind])
    if kind == "literal_error":
        return Problem(where, f"{detail['input']!r} is not allowed", f"allowed: {context.get('expected', '')}")
    return Problem(where, detail["msg"][:1].lower() + detail["msg"][1:])


def _without_tags(loc: Where, raw: object) -> Where:
    """Follow the file itself down the complaint's way and drop what is not in it."""
    way: list[str | int] = []
    here: object = raw
    for place, part in enumerate(loc):
        if part in _TAGS and place < len(loc) - 1 and not (isinstance(here, dict) and part in here):
            continue
        here = _step_into(here, part)
        way.append(part)
    return tuple(way)


def _step_into(here: object, part: str | int) -> object:
    """Go one step down into lists and tables; None where there is nothing of that name."""
    if isinstance(here, list) and isinstance(part, int) and part < len(here):
        return here[part]
    return here.get(part) if isinstance(here, dict) else None


def _known_keys(where: Where, raw: object) -> frozenset[str]:
    """List the keys that the table at a place may have, for the nearest spelling."""
    here: object = raw
    for part in where:
        here = _step_into(here, part)
    names = [part for part in where if isinstance(part, str)]
    if not names:
        return frozenset(Protocol.model_fields)
    if names[-1] == "step":
        return frozenset(Step.model_fields)
    if names[-1] in ("question", "rule") and isinstance(here, dict):
        union = AnyQuestion if names[-1] == "question" else AnyRule
        for kind in union.__origin__.__args__:  # type: ignore[attr-defined]
            if kind.model_fields["kind"].annotation.__args__[0] == here.get("kind"):
                return frozenset(kind.model_fields)
    return frozenset()


def _sentence(problem: Problem, raw: object, name: str, line: int | None) -> str:
    place = f"{name}, line {line}" if line else name
    what = f"{_way(problem.where, raw)} {problem.wrong}".strip()
    return f"{place}: {what}" + (f"; {problem.allowed}" if problem.allowed else "")


def _way(where: Where, raw: object) -> str:
    """Write the way to a key with the ids that stand there, as `step shaping, question file, key kind`."""
    words: list[str] = []
    here: object = raw
    for part in where:
        here = _step_into(here, part)
        if isinstance(part, str):
            words.append(part)
        elif words:
            label = here.get("id", here.get("number", part + 1)) if isinstance(here, dict) else part + 1
            words[-1] += f" {label}"
    return ", ".join(words)
