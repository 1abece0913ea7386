"""The sums that nobody does at the chair, said beside the question that they belong to.

Nothing here is logged: it is reckoned from what is, and says of whom each limit is. A blind question has none.
"""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from stepper.case.slots import Slot
from stepper.case.state import Case
from stepper.facts.entries import NO_FACT, TOOTH, Answer, AnyEntry
from stepper.facts.values import Choice
from stepper.kinds.computed.fitting import cone_rest, needle_reach
from stepper.kinds.computed.gauging import compared
from stepper.kinds.cut import needle_of, shape_of
from stepper.kinds.doses import DoseRule, forecast_lines
from stepper.kinds.gauged import gauged, gauging_stock
from stepper.kinds.rules.nearer import Nearer
from stepper.kinds.tables import Agent
from stepper.kinds.union import AnyQuestion
from stepper.kinds.words import distance, plain
from stepper.protocol.models import Step
from stepper.sums.gauging.bounds import Bounds
from stepper.sums.gauging.model import Tool
from stepper.sums.gauging.words import APEX_OFF, comparison, further, sentences
from stepper.sums.iso3630 import name
from stepper.sums.needle import Reach

AS_GAUGED = "Files have cut since; as it was gauged:"
"""Before bounds of a canal that has since been cut."""

PASSING = NO_FACT | {"departure", "owe"}
"""Kinds of entry that change nothing of what was said last."""


def beside(case: Case, here: Slot, question: AnyQuestion) -> tuple[str, ...]:
    """Give the sentences that stand beside a question while it is asked."""
    if question.blind:
        return ()
    roles = {one.role for one in here.step.question}
    if question.role == "seat":
        return _cone(case, here.canal)
    if "gauge_file" in roles:
        return _gauging(case, here.canal)
    if question.role == "master_apical_file":
        return _gauging(case, here.canal)[:1]
    if "needle_depth" in roles:
        return _needle(case, here)
    return _dose(case, here.step) if question.part == "each" else ()


def declared(case: Case) -> tuple[str, ...]:
    """Compare a master apical file with the canal as gauged, as long as its declaration is the last thing logged.

    The question beside it may be another canal's, so each is named. Of several that were declared in one line only the
    first sentence is said: the question and its choices need their rows.
    """
    said: list[tuple[str, tuple[str, ...]]] = []
    for entry in reversed(case.entries):
        if entry.kind in PASSING:
            continue
        if not isinstance(entry, Answer) or not _declares(case, entry):
            break
        known = compared(case.seen(case.told), entry.canal)
        if known is not None:
            named = f"{case.told.canals[entry.canal].name}: " if len(case.told.canals) > 1 else ""
            said.insert(0, (named, comparison(known[0].file, known[0].canal)))
    return tuple(named + " ".join(words if len(said) == 1 else words[:1]) for named, words in said)


def at_entry(case: Case, entry: AnyEntry) -> tuple[str, ...]:
    """Give the sums that belong to the questions which an entry answers, as they stand with it; each sentence once."""
    step = case.protocol.by_step.get(entry.step) if isinstance(entry, Answer) else None
    if step is None or not isinstance(entry, Answer):
        return ()
    here = Slot(step, entry.canal, entry.row, (), fresh=False)
    asked = [step.asked(name) for name in entry.values]
    said = [words for one in asked if one is not None for words in beside(case, here, one)]
    return tuple(dict.fromkeys((*said, *declared(case))))


def _declares(case: Case, entry: Answer) -> bool:
    asked = [case.protocol.by_step[entry.step].asked(one) for one in entry.values]
    return any(one is not None and one.role == "master_apical_file" for one in asked)


def _gauging(case: Case, canal: int) -> tuple[str, ...]:
    known = gauged(case.seen(case.told), canal)
    if known is None:
        return ()
    if known.found is None:
        return (APEX_OFF.format(apex=known.apex),)
    said = _said(known.found, gauging_stock(case.protocol))
    return (f"{AS_GAUGED} {said[0]}", *said[1:]) if known.cut_since else said


@lru_cache(maxsize=64)
def _said(found: Bounds, stock: tuple[Tool, ...]) -> tuple[str, ...]:
    return " ".join(sentences(found)), further(found, stock)


def _cone(case: Case, canal: int) -> tuple[str, ...]:
    known = cone_rest(case.seen(case.told), canal)
    if known is None:
        return ()
    cone, wall, rest = known[0].cone, known[0].wall, known[0].rest
    both = f"Cone {name(cone.size, cone.taper)} in a canal cut by {name(wall.size, wall.taper)}"
    if rest.falls_through:
        return (f"{both}: nominally it falls right through.",)
    if rest.nominal_mm is None:
        return (f"{both}: nominally it does not enter the cut part.",)
    span = f"{_place(rest.least_mm)} to {_place(rest.most_mm)}"
    return (f"{both}: nominally it rests {_place(rest.nominal_mm)}; within the tolerances {span}.",)


def _place(short_mm: Decimal | None) -> str:
    return distance(short_mm) if short_mm is not None else "above the cut part"


def _needle(case: Case, here: Slot) -> tuple[str, ...]:
    seen = case.seen(case.told)
    known, needle, shape = needle_reach(seen, here.canal), needle_of(seen, here.canal), shape_of(seen, here.canal)
    if known is None or needle is None or shape is None:
        return ()
    limit = next((rule.limit_mm for rule in here.step.rule if isinstance(rule, Nearer)), None)
    own = f" Protocol: {plain(limit)} mm short." if limit is not None else ""
    return (f"{needle[0].gauge} G in {name(shape.size, shape.taper)}: {_reach(known[0])}.{own}",)


def _reach(reach: Reach) -> str:
    touches, loose = reach.touches_short_mm, reach.loose_from_short_mm
    if touches is None:
        return "wider than the cut part, so it touches above it"
    if loose == 0:
        return "loose down to length (smallest cut)"
    free = f"loose from {plain(loose)} (smallest cut)" if loose is not None else "loose nowhere for certain"
    return f"{f'touches {plain(touches)} mm short' if touches else 'nominally loose down to length'}, {free}"


def _dose(case: Case, step: Step) -> tuple[str, ...]:
    rule = next((one for one in step.rule if isinstance(one, DoseRule)), None)
    if rule is None:
        return ()
    return forecast_lines(case.seen(case.told), rule, step.id, _agents(case, rule, step))


def _agents(case: Case, rule: DoseRule, step: Step) -> list[str]:
    """Give the ids of the agents set up today or, where none was and none is given yet, of all in stock."""
    agents = [one.id for one in case.protocol.item if isinstance(one, Agent)]
    facts = [row.get("item") for row in case.told.rows_with("item", TOOTH)]
    set_up = {fact.value.options[0] for fact in facts if fact is not None and isinstance(fact.value, Choice)}
    given = any(rule.agent in row.facts for row in case.told.rows_of(step.id, TOOTH))
    return [one for one in agents if one in set_up] or ([] if given else agents)
