"""What was given of each local anaesthetic, and what share of the maximum that the protocol names it came to.

Which questions hold agent, volume and weight is told by the protocol's dose rules. What was given although something
held it is in the sums too: it is in the patient.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from stepper.case.state import Case
from stepper.facts.state import Fact, Row
from stepper.facts.values import Choice
from stepper.kinds.judging import number_of
from stepper.kinds.rules.dose import Dose, as_supplied
from stepper.kinds.tables import Agent
from stepper.kinds.words import plain
from stepper.note.shape import Sentence, rests_on
from stepper.protocol.models import Step
from stepper.sums.dose import Given, given, percent, total_share


@dataclass(slots=True)
class _Sum:
    """The volume of one agent, the entries it comes from, and how often no volume was recorded."""

    agent: Agent | None
    ml: Decimal = Decimal(0)
    entries: list[int] = field(default_factory=list)
    without: int = 0


def dosing(case: Case) -> Step | None:
    """Give the first step that has a dose rule: its section tells the doses of all."""
    return next((step for step in case.protocol.step if any(isinstance(rule, Dose) for rule in step.rule)), None)


def doses(case: Case) -> Iterator[Sentence]:
    """Say what each agent came to, several of them together, and their epinephrine."""
    weight = _weight(case)
    weight_kg = number_of(weight)
    weight_kg = weight_kg if weight_kg is not None and weight_kg > 0 else None
    known: list[tuple[_Sum, Agent, Given]] = []
    unnamed: list[_Sum] = []
    for one in _sums(case):
        if one.agent is None:
            unnamed.append(one)
        else:
            known.append((one, one.agent, given(as_supplied(one.agent), one.ml, weight_kg)))
    seqs = (weight.seq,) if weight is not None else ()
    for one, agent, came_to in known:
        yield Sentence(_words(one, agent, came_to), rests_on((*one.entries, *seqs)))
    for one in unnamed:
        text = f"{plain(one.ml)} mL of an agent that is not recorded: in none of these sums."
        yield Sentence(text, rests_on(one.entries))
    yield from _together(known, seqs, complete=not unnamed)


def _words(one: _Sum, agent: Agent, came_to: Given) -> str:
    if not one.ml:
        return f"{agent.label}, in all: no volume is recorded, so no dose is known."
    cartridges = plain(came_to.cartridges.quantize(Decimal("0.01")))
    word = "cartridge" if cartridges == "1" else "cartridges"
    parts = [
        f"{agent.label}, in all: {plain(one.ml)} mL, {plain(came_to.mg)} mg, "
        f"{cartridges} {word} of {plain(agent.cartridge_ml)} mL."
    ]
    if came_to.share is not None and came_to.maximum_mg is not None:
        maximum = f"{plain(came_to.maximum_mg)} mg ({came_to.basis})"
        parts.append(f"That is {percent(came_to.share)} % of the maximum that the protocol names, {maximum}.")
    parts += [*came_to.gaps, f"Source: {agent.source}."]
    if one.without:
        times = "once" if one.without == 1 else f"{one.without} times"
        parts.append(f"Given {times} more without a volume on record: it is at least this.")
    return " ".join(parts)


def _together(
    known: Sequence[tuple[_Sum, Agent, Given]], weight: tuple[int, ...], *, complete: bool
) -> Iterator[Sentence]:
    entries = rests_on((*(seq for one, _, _ in known for seq in one.entries), *weight))
    if len(known) > 1:
        share = total_share(came_to.share for _, _, came_to in known)
        lacking = ", ".join(agent.label for _, agent, came_to in known if came_to.share is None)
        least = "at least " if not complete or any(one.without for one, _, _ in known) else ""
        told = f"{least}{percent(share)} %, the sum of the shares" if share is not None else f"not known for {lacking}"
        yield Sentence(f"All agents together, share of the maximum: {told}.", entries)
    epinephrine = sum((came_to.epinephrine_ug for _, _, came_to in known), Decimal(0))
    limits = [agent.epinephrine_max_ug for _, agent, _ in known if agent.epinephrine_max_ug is not None]
    if epinephrine:
        most = f", of at most {plain(min(limits))} µg by the protocol" if limits else ""
        yield Sentence(f"Epinephrine in all: {plain(epinephrine)} µg{most}.", entries)


def _weight(case: Case) -> Fact | None:
    """Give the latest weight on record."""
    facts = [
        case.told.fact(f"{step.id}.{rule.weight_kg}", canal)
        for step, rule in _rules(case)
        for canal in {number for name, number in case.told.rows if name == step.id}
    ]
    weights = [fact for fact in facts if number_of(fact) is not None]
    return max(weights, key=lambda fact: fact.place if fact is not None else (0, 0, 0), default=None)


def _sums(case: Case) -> list[_Sum]:
    """Add up the rows of each agent, in the order in which the agents were first given."""
    found: dict[str, _Sum] = {}
    for rule, row in _rows(case):
        agent, volume = _agent(case, row.facts.get(rule.agent)), row.facts.get(rule.volume_ml)
        ml = number_of(volume)
        if agent is None and ml is None:
            continue
        one = found.setdefault(agent.id if agent is not None else "", _Sum(agent))
        facts = [fact for fact in (row.facts.get(rule.agent), volume) if fact is not None]
        one.entries += [fact.seq for fact in facts]
        one.ml += max(ml, Decimal(0)) if ml is not None else Decimal(0)
        one.without += ml is None
    return list(found.values())


def _rows(case: Case) -> list[tuple[Dose, Row]]:
    """Give the rows of the steps that have a dose rule, in the order in which they happened."""
    found = [
        (rule, row)
        for step, rule in _rules(case)
        for (name, _), rows in case.told.rows.items()
        if name == step.id
        for row in rows
    ]
    return sorted(found, key=lambda pair: (pair[1].place, pair[1].number))


def _rules(case: Case) -> list[tuple[Step, Dose]]:
    """Give one dose rule of each step that has any: a second one would count the same volumes again."""
    rules = [(step, [rule for rule in step.rule if isinstance(rule, Dose)]) for step in case.protocol.step]
    return [(step, found[0]) for step, found in rules if found]


def _agent(case: Case, fact: Fact | None) -> Agent | None:
    item = case.protocol.by_id(fact.value.options[0]) if fact is not None and isinstance(fact.value, Choice) else None
    return item if isinstance(item, Agent) else None
