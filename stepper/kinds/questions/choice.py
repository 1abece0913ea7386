"""A choice by number, among the question's own options or among things of the protocol's tables."""

from collections.abc import Iterable
from typing import Annotated, ClassVar, Literal, Protocol

from msgspec import Meta

from stepper.facts.record import Record
from stepper.facts.values import Choice, Value
from stepper.kinds.asking import Option, Question
from stepper.kinds.shape import Flag, Name, Sentence, Table
from stepper.kinds.stock import item_of
from stepper.kinds.tables import AnyItem, Tables
from stepper.lines import fields
from stepper.lines.refusal import Refusal, refuse
from stepper.lines.scans.scanned import Scanned


class OwnOption(Table, frozen=True):
    """An option written in the question itself: it is numbered by its place, from 1; `alone` goes with no other."""

    id: Name
    label: Sentence
    alone: Flag = False


class _Labelled(Protocol):
    @property
    def id(self) -> str: ...
    @property
    def label(self) -> str: ...


class _Numbered(_Labelled, Protocol):
    @property
    def number(self) -> int: ...


Source = Literal["item", "solution", "needle", "sealer", "cone", "file", "agent", "material", "technique"]


class ChoiceQuestion(Question, tag="choice", frozen=True):
    """One option, or several where `many`; options are own (`option`) or a table's by stock number (`among`)."""

    HOLDS: ClassVar[tuple[type[Record], ...]] = (Choice,)

    option: Annotated[tuple[OwnOption, ...], Meta(max_length=20)] = ()
    among: Source | None = None
    many: Flag = False

    def options_of(self, tables: Tables) -> tuple[Option, ...]:
        """List the choices with the numbers that are keyed for them."""
        if self.among is None:
            return tuple(Option(place, one.id, one.label, one.alone) for place, one in enumerate(self.option, start=1))
        return tuple(Option(one.number, one.id, one.label) for one in self._table(tables, self.among))

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:
        """Read one number, or several joined by +."""
        known = {option.number: option.id for option in self.options_of(tables)}
        chosen = fields.choice(typed, max(known, default=1), self.many)
        if isinstance(chosen, Refusal):
            return chosen
        unknown = [number for number in chosen if number not in known]
        if unknown:
            return refuse(typed, f"there is no {unknown[0]}; type one of {', '.join(map(str, known))}")
        alone = next((one for place, one in enumerate(self.option, start=1) if one.alone and place in chosen), None)
        if alone is not None and len(set(chosen)) > 1:
            return refuse(typed, f"{alone.label} goes with no other; type it alone, or the others without it")
        return Choice(options=tuple(known[number] for number in chosen))

    def from_scan(self, scanned: Scanned, tables: Tables) -> Value | Refusal | None:
        """Choose the item whose packet was scanned, if it is among the choices."""
        item = item_of(tables, scanned.code)
        return Choice(options=(item.id,)) if item is not None and self.takes(item) else None

    def takes(self, item: AnyItem) -> bool:
        """Tell whether an item of the stock is among the choices."""
        return self.among in ("item", item.category)

    def show(self, value: Value, tables: Tables) -> str:
        """Write the labels; an option that the protocol has since lost keeps its id."""
        assert isinstance(value, Choice)
        among: Iterable[_Labelled] = self.option if self.among is None else self._table(tables, self.among)
        labels = {one.id: one.label for one in among}
        return ", ".join(labels.get(option, option) for option in value.options)

    def hint(self) -> str:
        """Say how to choose."""
        return "numbers, joined by +" if self.many else "a number"

    def _table(self, tables: Tables, among: Source) -> Iterable[_Numbered]:
        if among == "technique":
            return tables.technique
        return [item for item in tables.item if self.takes(item)]
