"""Whether a well-shaped protocol makes sense: names that do not resolve, roles that are missing, gaps nothing fills."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from stepper.kinds.all_computed import COMPUTED
from stepper.kinds.questions.choice import ChoiceQuestion
from stepper.kinds.rules.beyond_length import BeyondLength
from stepper.kinds.rules.chosen import Chosen
from stepper.kinds.rules.combination import Combination
from stepper.kinds.rules.computed import ComputedValue
from stepper.kinds.rules.dose import Dose
from stepper.kinds.rules.fill_level import FillLevel
from stepper.kinds.rules.needed import Needed
from stepper.kinds.rules.no_outcome import NoOutcome
from stepper.kinds.rules.undressed import Undressed
from stepper.kinds.rules.unlogged import Unlogged
from stepper.kinds.union import AnyQuestion, AnyRule
from stepper.protocol.asked import check_questions, condition, gaps_of, incident_questions, offers
from stepper.protocol.holding import check_holding
from stepper.protocol.lessons import check_lessons
from stepper.protocol.models import Protocol, Step, Wording
from stepper.protocol.problems import Problem, Where, nearest
from stepper.protocol.roles import ALARM_NAMES, ROLES
from stepper.protocol.sections import PLACED, is_closed
from stepper.protocol.sheets import check_sheet
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
    yield from _doubled(("void_reason",), "number", [one.number for one in protocol.void_reason])
    for place, incident in enumerate(protocol.incident):
        yield from _doubled(("incident", place, "question"), "id", [one.id for one in incident.question])
    for question_at, question in _all_questions(protocol):
        if isinstance(question, ChoiceQuestion):
            yield from _doubled((*question_at, "option"), "id", [one.id for one in question.option])


def _doubled(where: Where, key: str, values: Sequence[object]) -> Iterator[Problem]:
    counts = Counter(values)
    for place, value in enumerate(values):
        if counts[value] > 1:
            yield Problem((*where, place, key), f"{value!r} stands twice; it must be unique")


def _all_questions(protocol: Protocol) -> Iterator[tuple[Where, AnyQuestion]]:
    yield from ((where, question) for where, _, question in _questions(protocol))
    yield from ((where, question) for where, question, _ in incident_questions(protocol))


def _questions(protocol: Protocol) -> Iterator[tuple[Where, Step, AnyQuestion]]:
    for place, step in enumerate(protocol.step):
        for at, question in enumerate(step.question):
            yield ("step", place, "question", at), step, question


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
            yield from _kinds(where, protocol, step, rule)
            yield from gaps_of((*where, "text"), rule.text, rule.GAPS)
            if isinstance(rule, Needed | Undressed | NoOutcome) and rule.by not in protocol.by_step:
                yield Problem((*where, "by"), f"{rule.by!r} is no step", nearest(rule.by, protocol.by_step))
            yield from _rule_options(where, protocol, step, rule)


def _kinds(where: Where, protocol: Protocol, step: Step, rule: AnyRule) -> Iterator[Problem]:
    """Look that a rule names questions of a kind that it can read: of another one it would never speak."""
    for key, kinds in rule.READS.items():
        other, _, local = (getattr(rule, key) or "").rpartition(".")
        holder = protocol.by_step.get(other) if other else step
        asked = holder.asked(local) if holder is not None else None
        if asked is not None and asked.kind not in kinds and _suits(asked):
            yield Problem((*where, key), f"names {local!r}, which is a {asked.kind}", f"allowed: {' or '.join(kinds)}")


def _suits(question: AnyQuestion) -> bool:
    """Tell whether a question is of a kind that suits its role: where it is not, that is the mistake."""
    role = ROLES.get(question.role) if question.role is not None else None
    return role is None or question.kind in role.kinds


def _rule_options(where: Where, protocol: Protocol, step: Step, rule: AnyRule) -> Iterator[Problem]:
    """Rules that go by options name some that are there; what a rule says of the tooth is asked of the tooth."""
    if isinstance(rule, Chosen) and (asked := step.asked(rule.question)):
        yield from offers((*where, "any"), protocol, asked, rule.any)
        if rule.unless is not None and (other := step.asked(rule.unless.question)):
            yield from offers((*where, "unless"), protocol, other, rule.unless.any)
    if isinstance(rule, Unlogged) and (asked := step.asked(rule.question)):
        yield from offers((*where, "any"), protocol, asked, rule.any)
        if protocol.incident_of(rule.incident) is None:
            known = nearest(rule.incident, [one.id for one in protocol.incident])
            yield Problem((*where, "incident"), f"{rule.incident!r} is no incident", known)
    if isinstance(rule, BeyondLength) and (asked := step.asked(rule.purpose)):
        yield from offers((*where, "allowed"), protocol, asked, [one.purpose for one in rule.allowed])
    if isinstance(rule, ComputedValue):
        yield from _computed(where, rule)
    if isinstance(rule, FillLevel):
        try:
            rule.range  # noqa: B018 - it is the making of it that may fail
        except ValueError as error:
            yield Problem((*where, "least_mm"), str(error).rstrip("."))
    if isinstance(rule, Combination):
        for name, side in (("one", rule.one), ("other", rule.other)):
            yield from _of_tooth((*where, name), protocol, side.question, side.any)
    if isinstance(rule, Dose) and rule.cardiac is not None:
        yield from _of_tooth((*where, "cardiac"), protocol, rule.cardiac.question, rule.cardiac.any)


def _of_tooth(where: Where, protocol: Protocol, question: str, options: Sequence[str]) -> Iterator[Problem]:
    """Look that a question that a rule names with its step is the tooth's, and offers the options named."""
    holder, _, local = question.partition(".")
    asked = protocol.by_step[holder].asked(local) if holder in protocol.by_step else None
    if asked is not None and not protocol.of_tooth(holder):
        yield Problem(where, f"{question!r} is asked of each canal", "allowed: steps of scope T")
    elif asked is not None:
        yield from offers(where, protocol, asked, options)


def _computed(where: Where, rule: ComputedValue) -> Iterator[Problem]:
    """Look that a computed value is known, and is compared with what it can be."""
    computed = COMPUTED.get(rule.value)
    limited = rule.below is not None or rule.above is not None
    if computed is None:
        yield Problem((*where, "value"), f"{rule.value!r} is no computed value", nearest(rule.value, COMPUTED))
    elif computed.words and (limited or not rule.any):
        allowed = f"allowed: any = {list(computed.words)}"
        yield Problem((*where, "value"), f"{rule.value} is a word, and is not compared with words", allowed)
    elif computed.words:
        for at, word in enumerate(rule.any):
            if word not in computed.words:
                known = nearest(word, computed.words)
                yield Problem((*where, "any", at), f"{word!r} is nothing that {rule.value} can be", known)
    elif not limited or rule.any:
        allowed = "allowed: below, above or both"
        yield Problem((*where, "value"), f"{rule.value} is a number, and is not compared with a limit alone", allowed)


def _steps(protocol: Protocol) -> Iterator[Problem]:
    """Look that what a step rests on exists; note sentences have gaps that its questions fill."""
    for place, step in enumerate(protocol.step):
        if step.usually_once and not step.many:
            yield Problem(("step", place, "usually_once"), "is for steps that take many rows")
        for at, base in enumerate(step.rests_on):
            yield from _base(("step", place, "rests_on", at), protocol, base)
        names = frozenset(one.id for one in step.question) | {"canal", "tooth"}
        for at, line in enumerate(step.note):
            where: Where = ("step", place, "note", at)
            yield from gaps_of((*where, "text"), line.text, names)
            if line.when is not None:
                yield from condition((*where, "when"), protocol, step.question, line.when.question, line.when.any)
            if line.under is not None and is_closed(line.under):
                allowed = f"allowed: {', '.join(PLACED)}, a step's title or one of your own"
                yield Problem((*where, "under"), f"{line.under!r} is a section that the program alone writes", allowed)


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
        yield from gaps_of(("wording", name), str(getattr(protocol.wording, name)), gaps)


CHECKS: tuple[Callable[[Protocol], Iterator[Problem]], ...] = (
    _unique,
    check_questions,
    check_holding,
    _roles,
    _rules,
    _steps,
    _wording,
    check_tables,
    check_lessons,
    check_sheet,
)

assert set(WORDING_GAPS) == set(Wording.__struct_fields__)
