"""A document as the FHIR library reads it: whatever it does not know, or takes for something else, comes to light.

Its own writing makes floats of decimals (20.50 comes out as 20.5), so its objects are walked here instead.
"""

from __future__ import annotations

import base64
import datetime as dt
from decimal import Decimal
from typing import Any

from stepper.note.fhir.piece import Tree


def read_by_library(tree: Tree) -> Tree:
    """Read a Bundle with the library's R4B classes and give what they hold; its own error says what it refuses."""
    from fhir.resources.R4B.bundle import Bundle

    read: Tree = _held(Bundle.model_validate(tree))
    return read


def _held(value: Any) -> Any:  # noqa: ANN401 - the library says no more of its members
    """Give what an object of the library holds, in the order of FHIR's elements; times and bytes as JSON has them."""
    match value:
        case bool() | int() | str() | Decimal():
            return value
        case dt.datetime() | dt.date():
            return value.isoformat()
        case bytes():
            return base64.b64encode(value).decode()
        case list():
            return [_held(one) for one in value]
    held = {name: getattr(value, name) for name in value.elements_sequence()}
    told = {name: _held(one) for name, one in held.items() if one is not None}
    return ({"resourceType": value.get_resource_type()} if _is_resource(value) else {}) | told


def _is_resource(value: object) -> bool:
    from fhir.resources.R4B.resource import Resource

    return isinstance(value, Resource)
