"""What every table of a protocol file has in common."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field


def _exact(value: object) -> object:
    """TOML floats become the decimal that was written; a float's binary tail would never match a keyed figure."""
    return Decimal(repr(value)) if isinstance(value, float) else value


Exact = Annotated[Decimal, BeforeValidator(_exact), Field(allow_inf_nan=False)]
"""A decimal written as a TOML number."""

Name = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]{0,39}$")]
"""An id: small letters, digits and underscores."""

Place = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]{0,39}\.[a-z][a-z0-9_]{0,39}$")]
"""A question named from elsewhere: `step.question`."""

Sentence = Annotated[str, Field(min_length=1, max_length=400)]
"""A sentence of the protocol."""


class Table(BaseModel):
    """A frozen protocol table that refuses keys it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)
