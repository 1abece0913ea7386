"""A number, with limits that refuse a typing slip and limits that only tell."""

from typing import ClassVar, Literal

from stepper.facts.record import Record
from stepper.facts.values import Number, Value
from stepper.kinds.asking import Question
from stepper.kinds.shape import Exact, Unit
from stepper.kinds.tables import Tables
from stepper.lines import fields
from stepper.lines.refusal import Refusal, refuse


class NumberQuestion(Question, tag="number", kw_only=True, frozen=True):
    """`least` and `most` refuse what can only be a slip; `usual_least` and `usual_most` are told of and logged."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Number,)

    unit: Unit = ""
    least: Exact
    most: Exact
    usual_least: Exact | None = None
    usual_most: Exact | None = None
    decimals: Literal[0, 1, 2] = 1

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:  # noqa: ARG002 - a number needs no table
        """Read a number within the limits and with no more decimals than make sense."""
        value = fields.number(typed)
        if isinstance(value, Refusal):
            return value
        if not self.least <= value.value <= self.most:
            return refuse(typed, f"outside {self.least:f} to {self.most:f} {self.unit}".rstrip() + "; look again")
        if value.value != round(value.value, self.decimals):
            places = {0: "whole numbers only", 1: "one decimal at most", 2: "two decimals at most"}
            return refuse(typed, places[self.decimals])
        return value

    def show(self, value: Value, tables: Tables) -> str:  # noqa: ARG002 - a number needs no table
        """Write the number with its unit."""
        assert isinstance(value, Number)
        return f"{value.value:f} {self.unit}".rstrip()

    def hint(self) -> str:
        """Give unit and limits."""
        return f"{self.unit + ', ' if self.unit else ''}{self.least:f} to {self.most:f}"

    def unusual(self, value: Value) -> str | None:
        """Tell of a value outside the usual limits."""
        if not isinstance(value, Number):
            return None
        if self.usual_least is not None and value.value < self.usual_least:
            edge = f"below the usual {self.usual_least:f}"
        elif self.usual_most is not None and value.value > self.usual_most:
            edge = f"above the usual {self.usual_most:f}"
        else:
            return None
        return f"{self.prompt}: {value.value:f} {self.unit} is {edge}".replace("  ", " ")
