"""One case of each proof: what is wrong with it, in words; None where nothing is."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from random import Random

from stepper.sums.gauging.bounds import bounds
from stepper.sums.gauging.contradiction import SEARCHED
from stepper.sums.gauging.model import Model, Reading, straight
from stepper.sums.gauging.next_reading import next_reading
from tests.gauging import brute, evidence
from tests.gauging.canals import Model as Departure
from tests.gauging.claims import violations
from tests.gauging.program import solve
from tests.gauging.visits import SERIES, mixed_plan, plain_plan, visit

WASTE_MM = 0.03
"""As much wider than the program's optimum the bounds may be: the grid's effect, see `program`."""

SOLVED_MM = 1e-4
"""As exactly the program is solved."""


@dataclass(frozen=True)
class Case:
    """What came of one case: a failure in words, whether it is one that tells, and how far the figures lie apart."""

    wrong: str | None
    kind: str
    apart_mm: float = 0.0


def truth(draw: Random) -> Case:
    """A random canal, gauged by any plan: nothing that is said to be proved is untrue."""
    seen = visit(mixed_plan(draw), Departure(), draw)
    wrong = violations(seen, draw)
    return Case("; ".join(wrong) or None, "held" if seen.held else "nothing held")


def waste(draw: Random) -> Case:
    """Random readings: the bounds contain the program's optimum and are hardly wider; no canal, a contradiction."""
    model, readings = evidence.model(draw), evidence.readings(draw)
    found, optimum = bounds(readings, model), solve(readings, model)
    told = f"{_named(readings)} with {model}: {found.low_mm} to {found.high_mm}, by the program {optimum}"
    if optimum is None or found.contradiction:
        return Case(told if optimum is not None or not found.contradiction else None, "contradiction")
    low_off = abs(optimum.low_mm - float(found.low_mm or 0))
    if optimum.high_mm is None or found.high_mm is None:
        same = optimum.high_mm is None and found.high_mm is None and low_off <= SOLVED_MM
        return Case(None if same else told, "no upper bound")
    wider = float(found.high_mm) - optimum.high_mm
    fine = -SOLVED_MM <= wider <= WASTE_MM and low_off <= SOLVED_MM
    return Case(None if fine else told, "bounded", wider)


def further(draw: Random) -> Case:
    """Random readings with an upper bound: the further reading that is named is as good as the best by brute force."""
    model, readings = _bounded(draw)
    found = bounds(readings, model)
    stock = [straight(size, Decimal(draw.choice(("0.02", "0.04")))) for size in SERIES]
    searched = brute.best_reading(readings, stock, model)
    assert searched is not None
    now, best = searched
    named = next_reading(found, stock)
    told = f"{_named(readings)} with {model}: {named}, by brute force from {now} to {best}"
    if named is None:
        return Case(told if now - best > Decimal("0.0051") else None, "none named")
    worst = brute.worst_of(readings, named.tool, model, now)
    cent, slack = Decimal("0.01"), Decimal("1e-6")
    fine = worst - best <= cent and best - slack <= named.after_mm < best + cent + slack
    return Case(None if fine else told, "named", float(worst - best))


def contradiction(draw: Random) -> Case:
    """Random readings: a contradiction is named just where there is one, and none smaller is there.

    Of sets larger than are searched for it is one of which none can be left out.
    """
    model, readings = evidence.model(draw), evidence.readings(draw)
    named, smallest = bounds(readings, model).contradiction, brute.smallest_sets(readings, model)
    if smallest and len(smallest[0]) > SEARCHED:
        fine = brute.irreducible(named, model)
    else:
        fine = named in smallest if smallest else named == ()
    told = f"{_named(readings)} with {model}: {_named(named)} named, {[_named(one) for one in smallest]} by brute force"
    return Case(None if fine else told, f"of {len(named)}" if named else "none")


def _bounded(draw: Random) -> tuple[Model, list[Reading]]:
    """Draw readings that agree and bound the canal: invented ones, or those of a canal."""
    while True:
        model, readings = evidence.model(draw), evidence.readings(draw)
        if draw.random() < 0.5:
            plan = plain_plan(draw.choice((None, 0.04, 0.06)), draw.choice((0.02, 0.04)), draw)
            model, readings = Model(), visit(plan, Departure(), draw).readings
        if bounds(readings, model).high_mm is not None:
            return model, readings


def _named(readings: tuple[Reading, ...] | list[Reading]) -> str:
    return ", ".join(f"{one.name} {one.how.value}" for one in readings)
