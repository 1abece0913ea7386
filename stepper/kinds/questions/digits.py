"""A number that is a name, such as a patient number; leading zeros count."""

from typing import Annotated, ClassVar

from msgspec import Meta

from stepper.facts.record import Record
from stepper.facts.values import Digits, Value
from stepper.kinds.asking import Question
from stepper.kinds.shape import Whole
from stepper.kinds.tables import Tables
from stepper.lines import fields
from stepper.lines.refusal import Refusal


class DigitsQuestion(Question, tag="digits", frozen=True):
    """`least` and `most` are how many digits it has."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Digits,)

    least: Annotated[Whole, Meta(ge=1, le=20)] = 1
    most: Annotated[Whole, Meta(ge=1, le=20)] = 12

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - it needs no table
        """Read the digits."""
        return fields.digits(typed, self.least, self.most)

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - the value says it all
        """Write the digits."""
        assert isinstance(value, Digits)
        return value.value

    def hint(self) -> str:
        """Say how many digits."""
        return f"{self.least} digits" if self.least == self.most else f"{self.least} to {self.most} digits"
