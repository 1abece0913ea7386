"""Cases of computed values: what is logged, and what each value then is, worked out by hand beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from tests.case.visit import Visit, at_access
from tests.protocols.measured import plan

Expected = tuple[Decimal | str, tuple[int, ...]] | None
"""What a value is, to thousandths, and the entries that it rests on; None where the record does not tell."""


@dataclass(frozen=True)
class Value:
    """A log, and what a computed value is in it: of canal 1, or of the tooth."""

    name: str
    build: Callable[[Visit], Expected]

    @property
    def id(self) -> str:
        return f"{self.name}: {self.build.__name__}"


VALUES: list[Value] = []


def value(*names: str) -> Callable[[Callable[[Visit], Expected]], Callable[[Visit], Expected]]:
    """Register a case of one value, or of several that are the same in it."""

    def keep(build: Callable[[Visit], Expected]) -> Callable[[Visit], Expected]:
        VALUES.extend(Value(name, build) for name in names)
        return build

    return keep


def visit(**header: str) -> Visit:
    """A visit with the tooth open and 20.5 mm agreed in canal 1, under the protocol that asks for more figures."""
    log = at_access(plan=plan(), **header)  # type: ignore[arg-type]
    log.agree()
    return log


def is_(text: str, *entries: int) -> Expected:
    """A number, and the entries that it rests on."""
    return Decimal(text), tuple(sorted(entries))
