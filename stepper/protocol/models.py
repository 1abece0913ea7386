"""The protocol as it is written: steps with questions, rules and note sentences; the gate's limits; the tables."""

from collections.abc import Mapping
from functools import cached_property
from typing import Annotated, Literal

from msgspec import Meta

from stepper.kinds.asking import When
from stepper.kinds.judging import Limits
from stepper.kinds.shape import SHOWABLE, Flag, Name, Place, Sentence, Table, Whole
from stepper.kinds.tables import Number, R, Tables
from stepper.kinds.union import AnyQuestion, AnyRule


class Line(Table, frozen=True):
    """A sentence of the note, with gaps named after questions of its step: `{size}`; also `{canal}` and `{tooth}`.

    It is written for every row that has an answer to all its gaps, and only `when` its condition holds. `under` is the
    title of the section that it stands in, where that is not its step's.
    """

    text: Sentence
    when: When | None = None
    under: Annotated[str, Meta(min_length=1, max_length=40, pattern=SHOWABLE)] | None = None


class Step(Table, kw_only=True, dict=True, gc=True, frozen=True):
    """A stage of the visit, once for the tooth (`T`) or once for each canal (`C`); `many` rows or one.

    `usually_once`: of many rows, one is the rule; it goes on by itself after each, and coming back asks for another.
    """

    id: Name
    title: Annotated[str, Meta(min_length=1, max_length=24, pattern=SHOWABLE)]
    scope: Literal["T", "C"]
    many: Flag = False
    usually_once: Flag = False
    rests_on: tuple[str, ...] = ()
    question: Annotated[tuple[AnyQuestion, ...], Meta(min_length=1)]
    rule: tuple[AnyRule, ...] = ()
    note: tuple[Line, ...] = ()

    @cached_property
    def by_question(self) -> Mapping[str, AnyQuestion]:
        """Give each question by its id."""
        return {one.id: one for one in reversed(self.question)}

    def asked(self, question: str) -> AnyQuestion | None:
        """Give the question of that id."""
        return self.by_question.get(question)

    def part(self, part: str) -> tuple[AnyQuestion, ...]:
        """Give the questions of one part, in line order."""
        return tuple(one for one in self.question if one.part == part)


class IncidentKind(Table, frozen=True):
    """Something that can go wrong, by number, with the practice's own card for it and what is asked about it.

    `card` is what the practice wants read out when it happens; its questions may all be answered later. `asks_outcome`:
    after such answers it is asked how the canal ended, even if it is dressed.
    """

    number: Number
    id: Name
    label: Sentence
    card: Annotated[tuple[Sentence, ...], Meta(max_length=8)] = ()
    question: tuple[AnyQuestion, ...] = ()
    asks_outcome: When | None = None

    def asked(self, question: str) -> AnyQuestion | None:
        """Give the question of that id."""
        return next((one for one in self.question if one.id == question), None)


class Until(Table, frozen=True):
    """The entry of the log that a lesson waits for: its kind, and what of it has to be so.

    An answer or a correction goes by its `question`, a going or a holding back by its `step`, what an incident was by
    `what` (an incident's id, or `slip`). With `canals` it takes such an entry of each of them.
    """

    entry: Literal["answer", "correction", "confirm", "go", "held", "incident_detail", "close"]
    question: Place | None = None
    step: Name | None = None
    canals: Annotated[tuple[Annotated[Whole, Meta(ge=1, le=9)], ...], Meta(max_length=9)] = ()
    what: Name | None = None


class Lesson(Table, frozen=True):
    """A lesson of a practice tooth: what to do now, the very lines to key in backquotes, and what ends it."""

    say: Annotated[str, Meta(min_length=1, max_length=180, pattern=SHOWABLE)]
    until: Until


class Occasion(Table, frozen=True):
    """When a sentence of the patient's sheet is written: all that it names has to be so.

    A `question` of the tooth was answered, with one of `any` where there are some. Canals `ended` in one of these ways:
    any of them or all `canals`; at an `earlier_visit` or at this one, where that is said. One of these kinds of
    `incident` was logged. The visit `ended_early`, or did not.
    """

    question: Place | None = None
    any: tuple[Name, ...] = ()
    ended: tuple[Name, ...] = ()
    canals: Literal["any", "all"] = "any"
    earlier_visit: Flag | None = None
    incident: tuple[Name, ...] = ()
    ended_early: Flag | None = None


class SheetLine(Table, frozen=True):
    """A sentence of the patient's sheet, `under` a title. Its gaps: {tooth}, {practice}, {count} and {all} canals.

    And {step.question} of the tooth. A sentence with a gap that nothing fills is left out.
    """

    text: Sentence
    under: Annotated[str, Meta(min_length=1, max_length=40, pattern=SHOWABLE)]
    when: Occasion | None = None


class Wording(Table, frozen=True):
    """The sentences of the remarks that no edit can mute: their words may change, their weight and sound may not.

    Gaps: `patient` and `tooth` {question}; `cone` {cone} {file} {technique}; `allergy` {item} {allergen};
    `expired` {item} {expiry}; `no_dam` {solution}; `gate` {canal}.
    """

    patient: Sentence
    tooth: Sentence
    cone: Sentence
    allergy: Sentence
    expired: Sentence
    no_dam: Sentence
    gate: Sentence


class Protocol(Tables, kw_only=True, dict=True, gc=True, frozen=True):
    """The whole file. One with lessons is a practice tooth: what is keyed under it is no record of a treatment."""

    format: Literal[1]
    id: Name
    title: Sentence
    limits: Limits
    wording: Wording
    incident: tuple[IncidentKind, ...] = ()
    step: Annotated[tuple[Step, ...], Meta(min_length=1, max_length=60)]
    lesson: Annotated[tuple[Lesson, ...], Meta(max_length=60)] = ()
    sheet: Annotated[tuple[SheetLine, ...], Meta(max_length=200)] = ()

    @cached_property
    def by_step(self) -> Mapping[str, Step]:
        """Give each step by its id."""
        return {step.id: step for step in self.step}

    @cached_property
    def rests_on(self) -> Mapping[str, tuple[str, ...]]:
        """Give what each step rests on."""
        return {step.id: step.rests_on for step in self.step}

    @cached_property
    def fills(self) -> frozenset[str]:
        """Give the ids of the questions whether a canal was filled."""
        return frozenset(one.id for step in self.step for one in step.question if one.role == "fill")

    def of_tooth(self, step: str) -> bool:
        """Tell whether a step is asked once for the tooth."""
        return step in self.by_step and self.by_step[step].scope == "T"

    def rules_of(self, kind: type[R]) -> tuple[tuple[str, R], ...]:
        """Give the rules of a kind, each with its step."""
        return tuple((step.id, rule) for step in self.step for rule in step.rule if isinstance(rule, kind))

    def incident_of(self, incident: str) -> IncidentKind | None:
        """Give the kind of incident of that id."""
        return next((one for one in self.incident if one.id == incident), None)

    def number_of(self, step: str) -> int:
        """Give the number that a step is gone to by, from 1."""
        return next(place for place, one in enumerate(self.step, start=1) if one.id == step)
