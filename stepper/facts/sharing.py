"""Parts of entries that are the same in many of them, kept once: a long visit says the same few things again and again.

Only what is written the same is shared, to the last digit, and all of it is frozen: nobody can tell the difference.
"""

from __future__ import annotations

from collections.abc import Mapping
from sys import intern
from typing import TypeVar, cast

from msgspec.json import encode

from stepper.facts.record import by_kind, read_one_of
from stepper.facts.values import Value

T = TypeVar("T")

_KINDS = by_kind(Value)
_COMMON = ("off", "tz", "boot", "step")
_MOST = 4096
"""Values, and answers, kept at most; a visit has some hundred different ones."""

_kept: dict[bytes, Value] = {}
_answers: dict[bytes, dict[str, Value]] = {}


def share_texts(members: dict[str, object]) -> None:
    """Put the texts that most entries have in common in the place of those that say the same."""
    for name in _COMMON:
        text = members.get(name)
        if isinstance(text, str):
            members[name] = intern(text)


def known_values(written: object) -> dict[str, Value] | None:
    """Give the values of an answer that was written as `written` before, the same to the digit."""
    return _answers.get(encode(written))


def kept_values(values: dict[str, Value], written: object) -> dict[str, Value]:
    """Keep the values of an answer for others that are written so, each of them the one that others hold already."""
    written_by = written if isinstance(written, Mapping) else {}
    shared = {question: _keep(_kept, _key(written_by[question]), value) for question, value in values.items()}
    return _keep(_answers, _key(written), shared)


def read_value(member: object) -> Value:
    """Give the value that was written as `member`; a ValueError says what does not fit."""
    return cast(Value, read_one_of(_KINDS, member))


def _key(written: object) -> bytes:
    """Tell what is written one way from what is written another, to the last digit."""
    return encode(written)


def _keep(kept: dict[bytes, T], written: bytes, found: T) -> T:
    if len(kept) >= _MOST:
        kept.clear()
    return kept.setdefault(written, found)
