"""Parts of entries that are the same in many of them, kept once: a long visit says the same few things again and again.

Only what is written the same is shared, to the last digit, and all of it is frozen: nobody can tell the difference.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import TypeVar, cast

from msgspec.json import encode

from stepper.facts.record import by_kind, read_one_of
from stepper.facts.values import Value

T = TypeVar("T")

_KINDS = by_kind(Value)
_MOST = 4096
"""Values, and answers, kept at most; a visit has some hundred different ones."""

_kept: dict[bytes, Value] = {}
_answers: dict[bytes, dict[str, Value]] = {}


def shared(members: Mapping[str, object]) -> dict[str, object]:
    """Give the members of an entry with its short texts and its values shared with those of others."""
    told = {name: _shared(name, member) for name, member in members.items()}
    values = told.get("values")
    if isinstance(values, Mapping) and values:
        told["values"] = _answer(values)
    return told


def shared_values(values: dict[str, Value], written: object) -> dict[str, Value]:
    """Give the values of an answer, or those of another one that was written as `written`, the same to the digit."""
    return _keep(_answers, _key(written), values)


def read_value(member: object) -> Value:
    """Give the value that was written as `member`; a ValueError says what does not fit."""
    return cast(Value, read_one_of(_KINDS, member))


def _shared(name: str, member: object) -> object:
    if isinstance(member, str) and len(member) < 64 and name != "t":  # no two entries have the same time
        return sys.intern(member)
    return member


def _answer(values: Mapping[object, object]) -> dict[str, Value] | dict[object, object]:
    """Give the values of an answer as records; those that are none are left for the entry's own check."""
    known = _answers.get(_key(values))
    return known or {question: _value(one) for question, one in values.items()}


def _value(member: object) -> object:
    """Give a value as a record; what is none is left as it is, for the entry's own check to say so."""
    written = _key(member)
    found = _kept.get(written)
    if found is None:
        try:
            found = _keep(_kept, written, read_value(member))
        except ValueError:
            return member
    return found


def _key(written: object) -> bytes:
    """Tell what is written one way from what is written another, to the last digit."""
    return encode(written)


def _keep(kept: dict[bytes, T], written: bytes, found: T) -> T:
    if len(kept) >= _MOST:
        kept.clear()
    return kept.setdefault(written, found)
