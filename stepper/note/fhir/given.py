"""What was given, as observations: local anaesthetic by agent, its epinephrine, and irrigants by canal and solution."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from stepper.facts.state import Canal, Rinse
from stepper.kinds.doses import DoseRule, Group, doses_given
from stepper.note.fhir.measured import Observing
from stepper.note.fhir.piece import Maker, Piece, Tree, kind_of, quantity
from stepper.note.rinses import activated_seconds, rows_of_rinses, seqs_of, total_ml, whole_minutes

VOLUME = kind_of("volume-in-all", "Volume in all")
MINUTES = kind_of("minutes", "Whole minutes from the first rinse keyed to the last")
ACTIVATED = kind_of("activated", "Activated, as told")


def doses(make: Maker) -> Iterator[Piece]:
    """Give the weight, the dose of each agent and the epinephrine of all; `>=` where not every volume is known."""
    case = make.case
    rules = case.protocol.rules_of(DoseRule)
    if not rules:
        return
    given = doses_given(case.seen(case.told), rules)
    observe = Observing(make, 0, None)
    if given.weight is not None and given.weight_kg is not None:
        weight = quantity(given.weight_kg, "kg")
        yield observe.of("body-weight", "Body weight", (given.weight.seq,), valueQuantity=weight)
    total = given.total()
    parts = {part.agent.id: part for part in total.parts}
    for group in given.groups:
        if group.agent is not None and group.volumes:
            yield _dose(observe, group, parts[group.agent.id].mg)
    if total.epinephrine_ug:
        entries = [seq for group in given.groups if group.agent is not None for seq in group.entries]
        value = quantity(total.epinephrine_ug, "ug", least=given.at_least)
        yield observe.of("epinephrine", "Epinephrine in all", entries, valueQuantity=value)


def _dose(observe: Observing, group: Group, mg: Decimal) -> Piece:
    assert group.agent is not None
    least = bool(group.without)
    component = [{"code": VOLUME, "valueQuantity": quantity(group.ml, "mL", least=least)}]
    return observe.of(
        "local-anaesthetic",
        "Local anaesthetic in all",
        group.entries,
        what=group.agent.label,
        valueQuantity=quantity(mg, "mg", least=least),
        component=component,
    )


def irrigants(make: Maker, canal: Canal, procedure: Piece) -> Iterator[Piece]:
    """Give what a canal had of each solution; what was logged outside the chain counts in no sum."""
    observe = Observing(make, canal.number, procedure)
    by_item: dict[str, list[Rinse]] = {}
    for rinse in canal.rinses:
        if not rinse.outside:
            by_item.setdefault(rinse.item, []).append(rinse)
    for item, rinses in sorted(by_item.items()):
        yield _irrigant(observe, item, rinses)


def _irrigant(observe: Observing, item: str, rinses: list[Rinse]) -> Piece:
    case, canal = observe.make.case, observe.canal
    known = case.protocol.by_id(item)
    ml, without = total_ml(case, canal, rinses)
    component: list[Tree] = []
    if without < len(rinses):
        component.append({"code": VOLUME, "valueQuantity": quantity(ml, "mL", least=bool(without))})
    minutes = whole_minutes(case, rinses[0], rinses[-1]) if len(rinses) > 1 else None
    if minutes is not None:
        component.append({"code": MINUTES, "valueQuantity": quantity(Decimal(minutes), "min")})
    seconds = sum(told for _, told in activated_seconds(case, canal, rinses).values())
    if seconds:
        component.append({"code": ACTIVATED, "valueQuantity": quantity(Decimal(seconds), "s")})
    what = known.label if known is not None else item
    rows = rows_of_rinses(case, canal)
    entries = [seq for rinse in rinses for seq in seqs_of(rows, rinse)]
    times = {"code": kind_of("rinses", "Rinses"), "valueInteger": len(rinses)}
    return observe.of("irrigant", "Irrigant", entries, what=what, component=[times, *component])
