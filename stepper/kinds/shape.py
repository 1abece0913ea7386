"""What every table of a protocol file has in common."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Final

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, Strict
from pydantic_core import PydanticCustomError


def _exact(value: object) -> object:
    """TOML floats become the decimal that was written; a float's binary tail would never match a keyed figure."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise PydanticCustomError("decimal_type", "must be a number")
    return Decimal(repr(value)) if isinstance(value, float) else value


Exact = Annotated[Decimal, BeforeValidator(_exact), Field(allow_inf_nan=False)]
"""A decimal written as a TOML number."""

Whole = Annotated[int, Strict()]
"""A whole number, written without quotes."""

Flag = Annotated[bool, Strict()]
"""true or false, written without quotes."""

Taper = Annotated[Exact, Field(ge=0, le=Decimal("0.12"))]
"""A taper in mm per mm; 4 per cent is 0.04."""

NAME: Final = r"^[a-z][a-z0-9_]{0,39}$"
PLACE: Final = r"^[a-z][a-z0-9_]{0,39}\.[a-z][a-z0-9_]{0,39}$"
SHOWABLE: Final = r"^[^\p{Cc}\p{Zl}\p{Zp}\u{202a}-\u{202e}\u{2066}-\u{2069}]*$"

Name = Annotated[str, Field(pattern=NAME)]
"""An id: small letters, digits and underscores."""

Place = Annotated[str, Field(pattern=PLACE)]
"""A question named from elsewhere: `step.question`."""

Sentence = Annotated[str, Field(min_length=1, max_length=400, pattern=SHOWABLE)]
"""A sentence of the protocol, on one line: no sign in it can move the cursor or turn the text round."""

Unit = Annotated[str, Field(max_length=20, pattern=SHOWABLE)]
"""A unit or a strength, such as `mL` or `3 %`."""


class Table(BaseModel):
    """A frozen protocol table that refuses keys it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)
