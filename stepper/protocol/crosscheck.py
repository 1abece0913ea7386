"""Whether a well-shaped protocol makes sense: names that do not resolve, roles that are missing, gaps nothing fills."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from string import Formatter

from stepper.kinds.questions.choice import ChoiceQuestion
from stepper.kinds.questions.digits import DigitsQuestion
from stepper.kinds.questions.number import NumberQuestion
from stepper.kinds.questions.size import SizeQuestion
from stepper.kinds.rules.beyond_length import BeyondLength
from stepper.kinds.rules.chosen import Chosen
from stepper.kinds.rules.combination import Combination
from stepper.kinds.rules.needed import Needed
from stepper.kinds.rules.no_outcome import NoOutcome
from stepper.kinds.rules.undressed import Undressed
from stepper.kinds.union import AnyQuestion, AnyRule
from stepper.protocol.models import Protocol, Step, Wording
from stepper.protocol.problems import Problem, Where, nearest
from stepper.protocol.roles import ALARM_NAMES, ROLES
from stepper.protocol.tables import check_tables

WORDING_GAPS: dict[str, frozenset[str]] = {
    "patient": frozenset({"question"}),
    "tooth": frozenset({"question"}),
    "cone": frozenset({"cone", "file", "technique"}),
    "allergy": frozenset({"item", "allergen"}),
    "expired": frozenset({"item", "expiry"}),
    "no_dam": frozenset({"solution"}),
    "gate": frozenset({"canal"}),
}


def crosscheck(protocol: Protocol) -> list[Problem]:
    """Give every problem of sense, in the file's order as far as there is one."""
    return [problem for check in CHECKS for problem in check(protocol)]


def _unique(protocol: Protocol) -> Iterator[Problem]:
    """Ids are unique where they are looked up; stock numbers are unique in the whole file."""
    yield from _doubled(("step",), "id", [one.id for one in protocol.step])
    for place, step in enumerate(protocol.step):
        yield from _doubled(("step", place, "question"), "id", [one.id for one in step.question])
    rules = [
        (("step", place, "rule", at, "id"), rule.id)
        for place, step in enumerate(protocol.step)
        for at, rule in enumerate(step.rule)
    ]
    for where, name in rules:
        if name in ALARM_NAMES:
            yield Problem(where, f"{name!r} is the name of one of the program's own alarms", "take another")
    counts = Counter(name for _, name in rules)
    yield from (Problem(where, f"{name!r} stands twice; an id is unique") for where, name in rules if counts[name] > 1)
    yield from _doubled(("item",), "number", [one.number for one in protocol.item])
    yield from _doubled(("item",), "id", [one.id for one in protocol.item])
    yield from _doubled(("technique",), "number", [one.number for one in protocol.technique])
    yield from _doubled(("technique",), "id", [one.id for one in protocol.technique])
    yield from _doubled(("person",), "number", [one.number for one in protocol.person])
    yield from _doubled(("reason",), "number", [one.number for one in protocol.reason])
    yield from _doubled(("incident",), "number", [one.number for one in protocol.incident])
    yield from _doubled(("incident",), "id", [one.id for one in protocol.incident])
    for question_at, _, question in _questions(protocol):
        if isinstance(question, ChoiceQuestion):
            yield from _doubled((*question_at, "option"), "id", [one.id for one in question.option])


def _doubled(where: Where, key: str, values: Sequence[object]) -> Iterator[Problem]:
    counts = Counter(values)
    for place, value in enumerate(values):
        if counts[value] > 1:
            yield Problem((*where, place, key), f"{value!r} stands twice; it must be unique")


def _questions(protocol: Protocol) -> Iterator[tuple[Where, Step, AnyQuestion]]:
    for place, step in enumerate(protocol.step):
        for at, question in enumerate(step.question):
            yield ("step", place, "question", at), step, question


def _question_sense(protocol: Protocol) -> Iterator[Problem]:
    """Conditions name earlier choices, defaults are options, limits are the right way round."""
    for where, step, question in _questions(protocol):
        options = {one.id for one in question.options_of(protocol)}
        if isinstance(question, ChoiceQuestion) and not options:
            yield Problem(
                (*where, "option"), "has nothing to choose from; give options, or an `among` that the tables fill"
            )
        if question.if_left_out is not None and question.if_left_out not in options:
            yield Problem(
                (*where, "if_left_out"),
                f"{question.if_left_out!r} is no option",
                nearest(question.if_left_out, options),
            )
        if isinstance(question, NumberQuestion | DigitsQuestion) and question.least > question.most:
            yield Problem((*where, "least"), "is above `most`")
        if isinstance(question, NumberQuestion) and _crossed(question):
            yield Problem((*where, "usual_least"), "is above `usual_most`")
        if isinstance(question, SizeQuestion) and question.fixed_taper is not None and question.role == "cone":
            yield Problem((*where, "fixed_taper"), "is not allowed for a cone: its taper is always keyed")
        if question.per_canal and (step.scope != "T" or step.many):
            yield Problem((*where, "per_canal"), "is for steps of scope T that take one row")
        if question.readback is not None:
            yield from _gaps((*where, "readback"), question.readback, frozenset({"value", "canal"}))
        if question.when is not None:
            before = step.question[: where[3] if isinstance(where[3], int) else 0]
            earlier = [one for one in before if one.part == question.part]
            yield from _condition((*where, "when"), protocol, earlier, question.when.question, question.when.any)


def _crossed(question: NumberQuestion) -> bool:
    low, high = question.usual_least, question.usual_most
    return low is not None and high is not None and low > high


def _condition(
    where: Where, protocol: Protocol, among: Sequence[AnyQuestion], name: str, options: Sequence[str]
) -> Iterator[Problem]:
    asked = next((one for one in among if one.id == name), None)
    if asked is None:
        known = [one.id for one in among]
        wrong = f"{name!r} is no earlier question of this part of the step" if known else "has no earlier question"
        yield Problem((*where, "question"), wrong, nearest(name, known) if known else "")
        return
    yield from _options((*where, "any"), protocol, asked, options)


def _options(where: Where, protocol: Protocol, asked: AnyQuestion, options: Sequence[str]) -> Iterator[Problem]:
    offered = {one.id for one in asked.options_of(protocol)}
    for option in options:
        if option not in offered:
            yield Problem(where, f"{option!r} is no option of {asked.id}", nearest(option, offered))


def _roles(protocol: Protocol) -> Iterator[Problem]:
    """Every role that the gate or an alarm reads is there, of the right kind, with the options that it reads."""
    for where, step, question in _questions(protocol):
        if question.role is None:
            continue
        role = ROLES.get(question.role)
        if role is None:
            yield Problem((*where, "role"), f"{question.role!r} is unknown", nearest(question.role, ROLES))
            continue
        if question.kind not in role.kinds:
            yield Problem(
                (*where, "kind"),
                f"{question.kind!r} does not suit the role {question.role}",
                f"allowed: {', '.join(role.kinds)}",
            )
        if step.scope != role.scope:
            yield Problem((*where, "role"), f"{question.role!r} belongs in a step of scope {role.scope}")
        missing = [option for option in role.options if option not in {one.id for one in question.options_of(protocol)}]
        if missing:
            yield Problem((*where, "option"), f"lacks {', '.join(missing)}, which the role {question.role} reads")
    used = {question.role for _, _, question in _questions(protocol)}
    for name, role in ROLES.items():
        if role.required and name not in used:
            yield Problem((), f"no question has the role {name!r}, which the fill gate or an alarm reads")


def _rules(protocol: Protocol) -> Iterator[Problem]:
    """Rules name questions, options and steps that exist; their sentences have gaps that the rule fills."""
    for place, step in enumerate(protocol.step):
        for at, rule in enumerate(step.rule):
            where: Where = ("step", place, "rule", at)
            for name in rule.questions():
                other, _, local = name.rpartition(".")
                holder = protocol.by_step.get(other) if other else step
                if holder is None:
                    known = nearest(other, protocol.by_step)
                    yield Problem(where, f"names the question {name!r}, which is not there", known)
                elif holder.asked(local) is None:
                    known = nearest(local, [one.id for one in holder.question])
                    yield Problem(where, f"names the question {name!r}, which is not there", known)
            yield from _gaps((*where, "text"), rule.text, rule.GAPS)
            if isinstance(rule, Needed | Undressed | NoOutcome) and rule.by not in protocol.by_step:
                yield Problem((*where, "by"), f"{rule.by!r} is no step", nearest(rule.by, protocol.by_step))
            yield from _rule_options(where, protocol, step, rule)


def _rule_options(where: Where, protocol: Protocol, step: Step, rule: AnyRule) -> Iterator[Problem]:
    """Rules that go by options name some that are there; what a rule says of the tooth is asked of the tooth."""
    if isinstance(rule, Chosen) and (asked := step.asked(rule.question)):
        yield from _options((*where, "any"), protocol, asked, rule.any)
    if isinstance(rule, BeyondLength) and (asked := step.asked(rule.purpose)):
        yield from _options((*where, "allowed"), protocol, asked, [one.purpose for one in rule.allowed])
    if isinstance(rule, Combination):
        for name, side in (("one", rule.one), ("other", rule.other)):
            holder, _, local = side.question.partition(".")
            asked = protocol.by_step[holder].asked(local) if holder in protocol.by_step else None
            if asked is not None and not protocol.of_tooth(holder):
                yield Problem((*where, name), f"{side.question!r} is asked of each canal", "allowed: steps of scope T")
            elif asked is not None:
                yield from _options((*where, name), protocol, asked, side.any)


def _steps(protocol: Protocol) -> Iterator[Problem]:
    """Look that what a step rests on exists; note sentences have gaps that its questions fill."""
    for place, step in enumerate(protocol.step):
        for at, base in enumerate(step.rests_on):
            yield from _base(("step", place, "rests_on", at), protocol, base)
        names = frozenset(one.id for one in step.question) | {"canal", "tooth"}
        for at, line in enumerate(step.note):
            where: Where = ("step", place, "note", at)
            yield from _gaps((*where, "text"), line.text, names)
            if line.when is not None:
                yield from _condition((*where, "when"), protocol, step.question, line.when.question, line.when.any)


def _base(where: Where, protocol: Protocol, base: str) -> Iterator[Problem]:
    """Look at what a step rests on: a step, or `step.purpose` where its files have purposes."""
    name, dot, purpose = base.partition(".")
    if name not in protocol.by_step:
        yield Problem(where, f"{base!r} is no step", nearest(name, protocol.by_step))
    elif dot:
        asked = next((one for one in protocol.by_step[name].question if one.role == "purpose"), None)
        offered = {one.id for one in asked.options_of(protocol)} if asked is not None else set()
        if purpose not in offered:
            allowed = nearest(purpose, offered) if offered else f"allowed: {name!r}; its files have no purposes"
            yield Problem(where, f"{purpose!r} is no purpose of {name}", allowed)


def _wording(protocol: Protocol) -> Iterator[Problem]:
    """Look that the alarms' sentences have gaps that the program fills."""
    for name, gaps in WORDING_GAPS.items():
        yield from _gaps(("wording", name), str(getattr(protocol.wording, name)), gaps)


def _gaps(where: Where, text: str, known: frozenset[str]) -> Iterator[Problem]:
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


CHECKS: tuple[Callable[[Protocol], Iterator[Problem]], ...] = (
    _unique,
    _question_sense,
    _roles,
    _rules,
    _steps,
    _wording,
    check_tables,
)

assert set(WORDING_GAPS) == set(Wording.model_fields)
