"""Taking what is out of shape out of a protocol, so that the sense of the rest can be looked at in the same go."""

from __future__ import annotations

import re
from collections.abc import Iterable

from stepper.protocol.models import Wording
from stepper.protocol.problems import Problem, Where, step_into

_STAND_IN: dict[str, object] = {
    "format": 1,
    "id": "stand_in",
    "title": "-",
    "limits": {"at_length_mm": 0, "dry_within_mm": 0, "final_rinse": []},
    "wording": dict.fromkeys(Wording.__struct_fields__, "-"),
}
"""What is put in the place of what every protocol must have; no sense is looked for in it."""


class Pruned:
    """A protocol file's content without the smallest tables that hold its mistakes of shape."""

    def __init__(self, raw: dict[str, object], mistakes: Iterable[Problem], unknown_keys: Iterable[Where]) -> None:
        unknown = frozenset(unknown_keys)
        holders = (_holder(one.where) for one in mistakes if one.where not in unknown)
        self._out = unknown | frozenset(holders)
        self._words = {word for way in self._out - unknown for word in _words(_at(raw, way))}
        self._whole = self._kept(raw, ())

    def content(self) -> object:
        """Give what is left, with stand-ins for what every protocol must have."""
        return {**_STAND_IN, **self._whole} if isinstance(self._whole, dict) else self._whole

    def sensible(self, problem: Problem) -> bool:
        """Tell whether a problem of the rest is not just due to what was taken out."""
        return not self._words & set(re.findall(r"\w+", problem.wrong))

    def original(self, where: Where) -> Where:
        """Give the way to a place in the whole file from the way to it in what is left."""
        way: Where = ()
        for part in where:
            if isinstance(part, int):
                left = part
                part = -1
                while left >= 0:
                    part += 1
                    left -= (*way, part) not in self._out
            way = (*way, part)
        return way

    def _kept(self, node: object, way: Where) -> object:
        if isinstance(node, dict):
            return {key: self._kept(one, (*way, key)) for key, one in node.items() if (*way, key) not in self._out}
        if isinstance(node, list):
            return [self._kept(one, (*way, at)) for at, one in enumerate(node) if (*way, at) not in self._out]
        return node


def _holder(where: Where) -> Where:
    """Give the way to the smallest element of a list that holds a mistake, or to the table at the top."""
    for length in range(len(where), 0, -1):
        if isinstance(where[length - 1], int):
            return where[:length]
    return where[:1]


def _at(raw: object, where: Where) -> object:
    for part in where:
        raw = step_into(raw, part)
    return raw


def _words(node: object) -> Iterable[str]:
    """Give the ids and roles below a place: what names them elsewhere is not to blame."""
    if isinstance(node, str):
        yield from [node] if re.fullmatch(r"\w{1,40}", node) else []
    elif isinstance(node, dict | list):
        for one in node.values() if isinstance(node, dict) else node:
            yield from _words(one)
