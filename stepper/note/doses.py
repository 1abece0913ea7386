"""What was given of each local anaesthetic, and what share of the maxima that the protocol names all of it came to.

Which questions hold agent, volume and weight is told by the protocol's dose rules. What was given although something
held it is in the sums too: it is in the patient.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from stepper.case.state import Case
from stepper.kinds.doses import DosesGiven, Group, doses_given
from stepper.kinds.rules.dose import Dose
from stepper.kinds.tables import Agent
from stepper.kinds.words import plain
from stepper.note.shape import Sentence, rests_on
from stepper.protocol.models import Step
from stepper.sums.dose import METHODS, Method, Part, Total, percent


def dosing(case: Case) -> Step | None:
    """Give the first step that has a dose rule: its section tells the doses of all."""
    return next((step for step in case.protocol.step if any(isinstance(rule, Dose) for rule in step.rule)), None)


def doses(case: Case) -> Iterator[Sentence]:
    """Say what each agent came to, several of them together, and their epinephrine."""
    given = doses_given(case.seen(case.told), _rules(case))
    if not given.groups:
        return
    found = given.total()
    parts = {part.agent.id: part for part in found.parts}
    weight = (given.weight.seq,) if given.weight is not None and given.weight_kg is not None else ()
    for group in given.groups:
        if group.agent is not None:
            text = _words(group, group.agent, parts[group.agent.id])
            yield Sentence(text, rests_on((*group.entries, *weight)))
    for group in given.groups:
        if group.agent is None:
            text = f"{plain(group.ml)} mL of an agent that is not recorded: in none of these sums."
            yield Sentence(text, rests_on(group.entries))
    named = [seq for group in given.groups if group.agent is not None for seq in group.entries]
    cardiac = (given.cardiac.seq,) if given.cardiac is not None else ()
    entries = rests_on((*named, *weight, *cardiac))
    if len(found.parts) > 1:
        yield Sentence(f"All agents together, share of the maximum: {_together(given, found)}.", entries)
    if found.epinephrine_ug:
        yield Sentence(f"Epinephrine in all: {_epinephrine(given, found)}.", entries)


def _rules(case: Case) -> list[tuple[str, Dose]]:
    return [(step.id, rule) for step in case.protocol.step for rule in step.rule if isinstance(rule, Dose)]


def _words(group: Group, agent: Agent, part: Part) -> str:
    if not group.ml:
        return f"{agent.label}, in all: no volume is recorded, so no dose is known."
    cartridges = plain(part.cartridges.quantize(Decimal("0.01")))
    word = "cartridge" if cartridges == "1" else "cartridges"
    said = [
        f"{agent.label}, in all: {plain(group.ml)} mL, {plain(part.mg)} mg, "
        f"{cartridges} {word} of {plain(agent.cartridge_ml)} mL."
    ]
    if part.share is not None and part.maximum_mg is not None:
        maximum = f"{plain(part.maximum_mg)} mg ({part.basis})"
        said.append(f"That is {percent(part.share)} % of the maximum that the protocol names, {maximum}.")
    said += [*([part.gap] if part.gap else []), f"Source: {agent.source}."]
    if group.without:
        times = "once" if group.without == 1 else f"{group.without} times"
        said.append(f"Given {times} more without a volume on record: it is at least this.")
    return " ".join(said)


def _together(given: DosesGiven, found: Total) -> str:
    """Say the share by both methods, the protocol's own first."""
    if found.share_of_maximum is None:
        lacking = [part.agent.name for part in found.parts if part.maximum_mg is None and part.ml]
        return f"not known for {', '.join(lacking)}"
    methods: list[Method] = sorted(METHODS, key=lambda one: one != given.method)
    own, other = (_share(given, found, method) for method in methods)
    return f"{own}, as the protocol has it; {other}"


def _share(given: DosesGiven, found: Total, method: Method) -> str:
    lowest = f" ({plain(found.lowest_maximum_mg or Decimal(0))} mg)" if method == "lowest_maximum" else ""
    least = "at least " if given.at_least or found.gaps else ""
    return f"{least}{percent(found.share(method) or Decimal(0))} % {METHODS[method]}{lowest}"


def _epinephrine(given: DosesGiven, found: Total) -> str:
    """Say the epinephrine and the part of its own limit that it comes to."""
    said = f"{plain(found.epinephrine_ug)} µg"
    if found.epinephrine_limit_ug is None or found.epinephrine_share is None:
        return said
    whose = ", for a cardiac patient" if given.cardiac is not None else ""
    limit = plain(found.epinephrine_limit_ug)
    return f"{said}, {percent(found.epinephrine_share)} % of the {limit} µg that the protocol allows{whose}"
