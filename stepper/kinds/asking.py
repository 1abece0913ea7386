"""What every question has, and what reading an answer needs to know."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal

from stepper.facts.record import Record
from stepper.facts.values import Absent, Choice, Value, Why
from stepper.kinds.shape import Flag, KindOfTable, Name, Sentence, Table
from stepper.kinds.tables import Tables
from stepper.lines.refusal import Refusal
from stepper.lines.scans.scanned import Scanned

WHY_WORDS: Mapping[Why, str] = {
    Why.NOT_DONE: "not done",
    Why.NOT_MEASURED: "not measured",
    Why.OWED: "owed",
}


class When(Table, frozen=True):
    """Ask only if another question of the same step holds one of these options."""

    question: Name
    any: tuple[Name, ...]


class Spares(Table, frozen=True):
    """After one of these options, these items of a root canal record have no place."""

    any: tuple[Name, ...]
    items: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class Option:
    """One lawful choice: the number keyed for it, its id and its words; `alone` goes with no other."""

    number: int
    id: str
    label: str
    alone: bool = False


class Question(KindOfTable, kw_only=True, frozen=True):
    """What a protocol says of a question, whatever its kind.

    `part` is when it is asked in a step that takes many rows: `first` once before the rows, `each` in every row, `last`
    once after them. `if_left_out` is the option taken when a line does not reach it; `keep` takes the last row's answer
    instead; `needed = false` lets it be left out. `blind` names the independent source it is read from. `evidence`
    marks what reopens the steps that rest on this one; if no question of a step is marked, every answer does.
    `act` marks what is done by the answer and so asks twice; `per_canal` asks a tooth's question once for each canal;
    `make_safe` marks what is still asked when a visit ends early.
    `readback` is the sentence read aloud, with the gaps {value} and {canal}. `HOLDS` are the kinds of value it takes.
    `holds` are the items of a root canal record that an answer gives, but for one that is in `not_held_by`.
    """

    HOLDS: ClassVar[tuple[type[Record], ...]] = ()

    id: Name
    prompt: Sentence
    role: Name | None = None
    part: Literal["first", "each", "last"] = "each"
    needed: Flag = True
    when: When | None = None
    if_left_out: Name | None = None
    keep: Flag = False
    blind: Sentence | None = None
    evidence: Flag = False
    readback: Sentence | None = None
    act: Flag = False
    per_canal: Flag = False
    make_safe: Flag = False
    holds: tuple[Name, ...] = ()
    not_held_by: tuple[Name, ...] = ()
    spares: Spares | None = None

    def parse(self, typed: str, tables: Tables) -> Value | Refusal:
        """Read what was typed, or say in one sentence what is allowed."""
        raise NotImplementedError

    def from_scan(self, scanned: Scanned, tables: Tables) -> Value | Refusal | None:  # noqa: ARG002 - most take none
        """Give the answer that a scan holds for this question, or None; a refusal says what it lacks."""
        return None

    def show(self, value: Value, tables: Tables) -> str:
        """Write the value as the note and the screen show it."""
        raise NotImplementedError

    def hint(self) -> str:
        """Say in a few words what to type."""
        raise NotImplementedError

    def options_of(self, tables: Tables) -> tuple[Option, ...]:  # noqa: ARG002 - most kinds have none
        """List the numbered choices, where the kind has any."""
        return ()

    def unusual(self, value: Value) -> str | None:  # noqa: ARG002 - most kinds have no limits
        """Say what is unusual about a value that is not a slip, or None."""
        return None


def show_absent(value: Value) -> str | None:
    """Say why there is no fact, or None if there is one."""
    return WHY_WORDS[value.why] if isinstance(value, Absent) else None


def holds(question: Question, values: Mapping[str, Value]) -> bool:
    """Tell whether the condition of a question holds among the answers of its row."""
    if question.when is None:
        return True
    value = values.get(question.when.question)
    return isinstance(value, Choice) and bool(set(value.options) & set(question.when.any))
