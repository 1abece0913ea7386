"""The sums that nobody does at the chair, said beside the question that they belong to.

Nothing here is logged: it is reckoned from what is, and says of whom each limit is. A blind question has none.
"""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from stepper.case.slots import Slot
from stepper.case.state import Case
from stepper.facts.entries import TOOTH
from stepper.facts.values import Choice, Value
from stepper.kinds.computed.fitting import cone_rest, needle_reach
from stepper.kinds.computed.gauging import compared
from stepper.kinds.cut import needle_of, shape_of
from stepper.kinds.doses import DoseRule, forecast_lines
from stepper.kinds.gauged import gauged, gauging_stock
from stepper.kinds.rules.nearer import Nearer
from stepper.kinds.union import AnyQuestion
from stepper.kinds.words import distance, plain
from stepper.protocol.models import Step
from stepper.sums.gauging.bounds import Bounds
from stepper.sums.gauging.model import Tool
from stepper.sums.gauging.words import APEX_OFF, comparison, further, sentences
from stepper.sums.iso3630 import name


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
    return _dose(case, here.step)


def after(case: Case, step: str, canal: int, values: dict[str, Value]) -> tuple[str, ...]:
    """Give the sentences that an answer calls for: a master apical file is compared with the canal as gauged."""
    asked = [case.protocol.by_step[step].asked(one) for one in values]
    if not any(one is not None and one.role == "master_apical_file" for one in asked):
        return ()
    known = compared(case.seen(case.told), canal)
    return (" ".join(comparison(known[0], tip_held=known[1].tip_held is not None)),) if known is not None else ()


def _gauging(case: Case, canal: int) -> tuple[str, ...]:
    known = gauged(case.seen(case.told), canal)
    if known is None:
        return ()
    if known.found is None:
        return (APEX_OFF.format(apex=known.apex),)
    return _said(known.found, gauging_stock(case.protocol))


@lru_cache(maxsize=64)
def _said(found: Bounds, stock: tuple[Tool, ...]) -> tuple[str, ...]:
    return " ".join(sentences(found)), further(found, stock)


def _cone(case: Case, canal: int) -> tuple[str, ...]:
    known = cone_rest(case.seen(case.told), canal)
    if known is None:
        return ()
    cone, wall, rest, _ = known
    both = f"Cone {name(cone.size, cone.taper)} in a canal cut by {name(wall.size, wall.taper)}"
    if rest.nominal_mm is None:
        return (f"{both}: nominally it does not enter the cut part.",)
    span = f"{_place(rest.least_mm)} to {_place(rest.most_mm)}"
    return (f"{both}: nominally it rests {_place(rest.nominal_mm)}; within the standards' tolerances {span}.",)


def _place(short_mm: Decimal | None) -> str:
    return distance(short_mm) if short_mm is not None else "above the cut part"


def _needle(case: Case, here: Slot) -> tuple[str, ...]:
    seen = case.seen(case.told)
    known, needle, shape = needle_reach(seen, here.canal), needle_of(seen, here.canal), shape_of(seen, here.canal)
    if known is None or needle is None or shape is None:
        return ()
    touches, loose = known[0].touches_short_mm, known[0].loose_from_short_mm
    where = "touches nowhere in the cut part" if touches is None else f"touches {_from(touches)}"
    free = "" if loose is None else f", loose from {_from(loose)} (smallest cut)"
    limit = next((rule.limit_mm for rule in here.step.rule if isinstance(rule, Nearer)), None)
    own = f" Protocol: {plain(limit)} mm short." if limit is not None else ""
    return (f"{needle[0].label} in {name(shape.size, shape.taper)}: {where}{free}.{own}",)


def _from(short_mm: Decimal) -> str:
    return "at length" if short_mm == 0 else f"{plain(short_mm)} mm short"


def _dose(case: Case, step: Step) -> tuple[str, ...]:
    rule = next((one for one in step.rule if isinstance(one, DoseRule)), None)
    if rule is None:
        return ()
    return forecast_lines(case.seen(case.told), rule, step.id, _set_up(case))


def _set_up(case: Case) -> list[str]:
    """Give the ids of the stock that was set up today."""
    rows = case.told.rows_with("item", TOOTH)
    facts = [row.get("item") for row in rows]
    return [fact.value.options[0] for fact in facts if fact is not None and isinstance(fact.value, Choice)]
