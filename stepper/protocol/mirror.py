"""Every mistake of shape in a file at once: the tables of a protocol as pydantic models, made from the same types.

A file that is in order is read by msgspec, in a moment and in little memory; it stops at the first mistake. Pydantic
tells them all, but takes some 15 MB and half a second to do so: it is loaded only when there is something to tell.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from msgspec import Meta
from msgspec.structs import fields
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, Strict, ValidationError, create_model
from pydantic_core import ErrorDetails, PydanticCustomError

from stepper.facts.record import Record
from stepper.kinds.shape import Exact

_UNION: Any = Union  # what it is of is known only at run time
_CONFIG = ConfigDict(extra="forbid", regex_engine="python-re")


def mistakes(table: type[Record], raw: object) -> list[ErrorDetails]:
    """List what is wrong with the shape of what a file holds; nothing where it is in order."""
    try:
        _model(table).model_validate(raw)
    except ValidationError as error:
        return error.errors(include_url=False)
    return []


@cache
def _model(table: type[Record]) -> type[BaseModel]:
    """Make the model of a table."""
    config = table.__struct_config__
    members: dict[str, Any] = {}
    if config.tag is not None:
        members[str(config.tag_field)] = (Literal[config.tag], ...)
    for one in fields(table):
        members[one.name] = (_mirrored(one.type), ... if one.required else one.default)
    return create_model(table.__name__, __config__=_CONFIG, **members)


def _mirrored(kind: Any) -> Any:  # noqa: ANN401 - whatever type a member of a table can have
    """Give the type that pydantic is to look for in the place of one of ours."""
    origin, parts = get_origin(kind), get_args(kind)
    if origin is Annotated:
        return Annotated[(_mirrored(parts[0]), *(_bounds(one) for one in parts[1:]))]
    if origin in (Union, UnionType):
        union = _UNION[tuple(_mirrored(one) for one in parts)]
        tables = [one for one in parts if _is_table(one)]
        several = len(tables) > 1
        return Annotated[union, Field(discriminator=tables[0].__struct_config__.tag_field)] if several else union
    if origin is tuple:
        return tuple.__class_getitem__(tuple(one if one is ... else _mirrored(one) for one in parts))
    if _is_table(kind):
        return _model(kind)
    if isinstance(kind, type) and issubclass(kind, Exact):
        within = Field(gt=kind.above, ge=kind.least, le=kind.most, allow_inf_nan=False)
        return Annotated[Decimal, BeforeValidator(_number), within]
    return Annotated[kind, Strict()] if kind in (int, bool) else kind


def _is_table(kind: object) -> bool:
    return isinstance(kind, type) and issubclass(kind, Record)


def _bounds(meta: Meta) -> object:
    """Give what pydantic calls the bounds of a text, a number or a list."""
    bounds = {name: getattr(meta, name) for name in ("ge", "le", "pattern", "min_length", "max_length")}
    return Field(**bounds)


def _number(value: object) -> object:
    """Take a TOML number as the decimal that was written."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise PydanticCustomError("decimal_type", "must be a number")
    return Decimal(repr(value)) if isinstance(value, float) else value
