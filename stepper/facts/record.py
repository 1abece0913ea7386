"""Frozen records: what they refuse, and how they are written as the members of a line."""

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import TypeVar, get_args

from msgspec import Struct, convert, to_builtins

R = TypeVar("R")


class Record(Struct, frozen=True, forbid_unknown_fields=True, gc=False):
    """A frozen record that refuses members it does not know."""


class Kind(Record, tag_field="kind", frozen=True):
    """A record that is one of several kinds; what is written of it says which."""

    @property
    def kind(self) -> str:
        """The word for its kind."""
        return str(self.__struct_config__.tag)


def finite(*numbers: Decimal | None) -> None:
    """Refuse what is no number: a decimal can be infinite, or not a number at all."""
    for number in numbers:
        if number is not None and not number.is_finite():
            raise ValueError("must be a number")


def written(record: Record) -> dict[str, object]:
    """Make a record ready for JSON: decimals and days as text; a member that holds nothing is left out."""
    told = _without_none(to_builtins(record, enc_hook=_plain))
    assert isinstance(told, dict)
    return told


def by_kind(union: object) -> Mapping[str, type[Kind]]:
    """Give the records of a union by the words for their kinds."""
    return {str(one.__struct_config__.tag): one for one in get_args(union)}


def read_one_of(kinds: Mapping[str, type[Kind]], told: object) -> Kind:
    """Give the record that was written as `told`, of the kind that it says; a ValueError says what does not fit."""
    kind = told.get("kind") if isinstance(told, dict) else None
    found = kinds.get(kind) if isinstance(kind, str) else None
    if found is None:
        raise ValueError("there is no such kind - at `$.kind`")
    try:
        return convert(told, found)  # by the class: of a union all would be looked up anew each time
    except OverflowError as error:
        raise ValueError(str(error)) from None


def read_as(kind: type[R], told: object) -> R:
    """Give the record that was written as `told`; a ValueError says what does not fit, and where."""
    try:
        return convert(told, kind)
    except OverflowError as error:  # a whole number too large for what is made of it
        raise ValueError(str(error)) from None


def place_of(error: ValueError) -> str:
    """Name the member that an error of `read_as` is about: what stands at its end, or else what it quotes."""
    quoted = re.findall(r"`([^`]+)`", str(error))
    return str(quoted[-1]).removeprefix("$.") if quoted else "it"


def _plain(value: object) -> object:
    """Write a protocol's decimal, which is of a class of its own, like any other."""
    if isinstance(value, Decimal):
        return str(value)
    raise TypeError(f"{type(value).__name__} cannot be written")


def _without_none(told: object) -> object:
    if isinstance(told, Mapping):
        return {name: _without_none(one) for name, one in told.items() if one is not None}
    return [_without_none(one) for one in told] if isinstance(told, list | tuple) else told
