"""Parts of entries that are the same in many of them, kept once: a long visit says the same few things again and again.

Only what is written the same is shared, to the last digit, and all of it is frozen: nobody can tell the difference.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping

from pydantic import TypeAdapter, ValidationError

from stepper.facts.values import Record, Value

_VALUE: TypeAdapter[Value] = TypeAdapter(Value)
_MOST = 4096
"""Values kept at most; a visit has some hundred different ones."""

_kept: dict[str, Value] = {}
_names: dict[frozenset[str], set[str]] = {}


def shared(members: Mapping[str, object]) -> dict[str, object]:
    """Give the members of an entry with their names, short texts and values shared with those of others."""
    return {sys.intern(name): _shared(name, member) for name, member in members.items()}


def share_names(record: Record) -> None:
    """Let a record share the set of the names that were given to it: it is as large as all the rest of an entry."""
    given = record.__pydantic_fields_set__
    object.__setattr__(record, "__pydantic_fields_set__", _names.setdefault(frozenset(given), given))


def _shared(name: str, member: object) -> object:
    if isinstance(member, str) and len(member) < 64 and name != "t":  # no two entries have the same time
        return sys.intern(member)
    if name == "values" and isinstance(member, Mapping):
        return {sys.intern(str(question)): _value(one) for question, one in member.items()}
    return member


def _value(member: object) -> object:
    """Give a value as a record; what is none is left as it is, for the entry's own check to say so."""
    written = repr(member)
    found = _kept.get(written)
    if found is None:
        try:
            found = _VALUE.validate_python(member)
        except ValidationError:
            return member
        if len(_kept) >= _MOST:
            _kept.clear()
        _kept[written] = found
    return found
