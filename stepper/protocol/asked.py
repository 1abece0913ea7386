"""Whether the questions of steps and of incidents make sense; what conditions, options and gaps may name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from string import Formatter

from stepper.kinds.questions.choice import ChoiceQuestion
from stepper.kinds.questions.digits import DigitsQuestion
from stepper.kinds.questions.number import NumberQuestion
from stepper.kinds.questions.size import SizeQuestion
from stepper.kinds.union import AnyQuestion
from stepper.protocol.models import Protocol
from stepper.protocol.problems import Problem, Where, nearest

STEPS_ONLY = (
    "role",
    "keep",
    "blind",
    "evidence",
    "act",
    "per_canal",
    "make_safe",
    "readback",
    "if_left_out",
    "not_held_by",
    "spares",
)
"""What means nothing of a question about an incident."""


def check_questions(protocol: Protocol) -> Iterator[Problem]:
    """Conditions name earlier choices, defaults are options, limits are the right way round."""
    for place, step in enumerate(protocol.step):
        for at, question in enumerate(step.question):
            where: Where = ("step", place, "question", at)
            yield from _sense(protocol, where, question)
            if question.per_canal and (step.scope != "T" or step.many):
                yield Problem((*where, "per_canal"), "is for steps of scope T that take one row")
            before = [one for one in step.question[:at] if one.part == question.part]
            yield from _when(protocol, where, question, before)
    for where, question, earlier in incident_questions(protocol):
        yield from _sense(protocol, where, question)
        for key in STEPS_ONLY:
            if getattr(question, key):
                yield Problem((*where, key), "is for questions of steps, not of incidents")
        yield from _when(protocol, where, question, earlier)
    for place, incident in enumerate(protocol.incident):
        if incident.asks_outcome is not None:
            named = incident.asks_outcome
            yield from condition(
                ("incident", place, "asks_outcome"), protocol, incident.question, named.question, named.any
            )


def incident_questions(protocol: Protocol) -> Iterator[tuple[Where, AnyQuestion, Sequence[AnyQuestion]]]:
    """Give each question about an incident, where it stands, and those before it."""
    for place, incident in enumerate(protocol.incident):
        for at, question in enumerate(incident.question):
            yield ("incident", place, "question", at), question, incident.question[:at]


def _sense(protocol: Protocol, where: Where, question: AnyQuestion) -> Iterator[Problem]:
    offered = {one.id for one in question.options_of(protocol)}
    if isinstance(question, ChoiceQuestion) and not offered:
        yield Problem(
            (*where, "option"), "has nothing to choose from; give options, or an `among` that the tables fill"
        )
    if question.if_left_out is not None and question.if_left_out not in offered:
        yield Problem(
            (*where, "if_left_out"),
            f"{question.if_left_out!r} is no option",
            nearest(question.if_left_out, offered),
        )
    if isinstance(question, NumberQuestion | DigitsQuestion) and question.least > question.most:
        yield Problem((*where, "least"), "is above `most`")
    if isinstance(question, NumberQuestion) and _crossed(question):
        yield Problem((*where, "usual_least"), "is above `usual_most`")
    if isinstance(question, SizeQuestion) and question.fixed_taper is not None and question.role == "cone":
        yield Problem((*where, "fixed_taper"), "is not allowed for a cone: its taper is always keyed")
    if question.readback is not None:
        yield from gaps_of((*where, "readback"), question.readback, frozenset({"value", "canal"}))


def _when(protocol: Protocol, where: Where, question: AnyQuestion, earlier: Sequence[AnyQuestion]) -> Iterator[Problem]:
    if question.when is not None:
        yield from condition((*where, "when"), protocol, earlier, question.when.question, question.when.any)


def _crossed(question: NumberQuestion) -> bool:
    low, high = question.usual_least, question.usual_most
    return low is not None and high is not None and low > high


def condition(
    where: Where, protocol: Protocol, among: Sequence[AnyQuestion], name: str, options: Sequence[str]
) -> Iterator[Problem]:
    """Look that a condition names an earlier question, and options that it offers."""
    asked = next((one for one in among if one.id == name), None)
    if asked is None:
        known = [one.id for one in among]
        wrong = f"{name!r} is no earlier question of this part of the step" if known else "has no earlier question"
        yield Problem((*where, "question"), wrong, nearest(name, known) if known else "")
        return
    yield from offers((*where, "any"), protocol, asked, options)


def offers(where: Where, protocol: Protocol, asked: AnyQuestion, options: Sequence[str]) -> Iterator[Problem]:
    """Look that a question offers the options that are named."""
    offered = {one.id for one in asked.options_of(protocol)}
    for option in options:
        if option not in offered:
            yield Problem(where, f"{option!r} is no option of {asked.id}", nearest(option, offered))


def gaps_of(where: Where, text: str, known: frozenset[str]) -> Iterator[Problem]:
    """Gaps are plain names in braces: nothing in a sentence can reach into the program."""
    try:
        parts = list(Formatter().parse(text))
    except ValueError:
        yield Problem(where, "has a brace that is not closed", "write a gap as {name}, a brace as {{")
        return
    for _, gap, form, conversion in parts:
        if gap is None:
            continue
        if gap not in known:
            allowed = nearest(gap, known) if known else "it takes no gaps"
            yield Problem(where, f"has the gap {{{gap}}}, which nothing fills", allowed)
        elif form or conversion:
            yield Problem(where, f"says how to write the gap {{{gap}}}", f"write {{{gap}}} and nothing more")
