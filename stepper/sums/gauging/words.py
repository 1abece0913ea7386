"""What gauging proves, in words. Widths are rounded outward to hundredths of a mm."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from stepper.sums.gauging.bounds import Bounds
from stepper.sums.gauging.compare import Comparison
from stepper.sums.gauging.model import How, Reading, Tool
from stepper.sums.gauging.next_reading import next_larger, next_reading

APEX_OFF = "No bounds are reckoned from gauging: the apex is {apex}, so the canal need not be narrowest at length."
CAVEAT = "A ledge, a curve, debris or an oval canal make {both} wrong."

_ONE = Decimal("0.01")

_HOW = {How.CUT: "cut", How.PASSED: "loose", How.STOPPED: "held", How.FREED: "held before a cut"}


def outward(low: Decimal | None, high: Decimal | None, step: Decimal = _ONE) -> tuple[Decimal | None, Decimal | None]:
    """Round bounds outward to whole steps, so that rounding never narrows them."""
    return (
        low.quantize(step, ROUND_FLOOR) if low is not None else None,
        high.quantize(step, ROUND_CEILING) if high is not None else None,
    )


def sentences(found: Bounds) -> tuple[str, ...]:
    """Say both bounds with the model's caveat, or which readings cannot all be true."""
    if found.contradiction:
        return (contradiction(found.contradiction),)
    said = [f"Round, straight canal assumed: narrowest width at length {span(found.low_mm, found.high_mm)}."]
    tip = found.tip_held
    if tip is not None:
        low, high = outward(found.low_mm, found.tip_high_mm)
        width = f"{low}-{high}" if low is not None else f"at most {high}"
        said.append(f"If the {tip.reading.tool.size:02d} was held at its tip: {width}.")
    said += [f"The {one.reading.name} cannot have been held at its tip." for one in found.held if not one.at_tip]
    return (*said, CAVEAT.format(both="both" if tip is not None else "this"))


def contradiction(readings: tuple[Reading, ...]) -> str:
    """Say which readings cannot all be true in a round, straight canal."""
    names = [f"{one.name} {_HOW[one.how]}" for one in readings]
    listed = f"{', '.join(names[:-1])} and {names[-1]}"
    return f"In a round, straight canal these cannot all be true: {listed}. Worth reading again; no bounds are given."


def span(low: Decimal | None, high: Decimal | None) -> str:
    """Write bounds of a width: 0.28-0.44 mm, at least 0.28 mm, at most 0.44 mm, not known."""
    low, high = outward(low, high)
    if low is not None and high is not None:
        return f"{low}-{high} mm"
    if low is not None:
        return f"at least {low} mm, no upper bound"
    return f"at most {high} mm" if high is not None else "not known"


def comparison(one: Comparison, found: Bounds) -> tuple[str, ...]:
    """Say how a file compares with the canal as gauged."""
    if one.over_passed_mm is None:
        return (f"{one.tool.name}: the gauging readings contradict one another, so nothing is compared.",)
    said = [f"{one.tool.name} against the canal as gauged. Larger at length: {one.larger.value}{_if_held(one, found)}."]
    if one.steps_over_gauge is not None:
        said.append(f"{_steps(one.steps_over_gauge)} {one.gauge:02d}.")
    if one.within_passed:
        said.append("Over the apical 3 mm it is smaller than what has already passed.")
    else:
        over, unknown = _mm(one.over_passed_mm), _mm(one.unknown_mm)
        said.append(f"In the apical 3 mm: larger than what passed over {over}, of these unknown over {unknown}.")
    return tuple(said)


def _if_held(one: Comparison, found: Bounds) -> str:
    tip = found.tip_held
    if tip is None or one.larger_if_held is one.larger:
        return ""
    return f"; if the {tip.reading.tool.size:02d} was held at its tip: {one.larger_if_held.value}"


def _steps(steps: int) -> str:
    if steps == 0:
        return "The same size as"
    word = "size" if abs(steps) == 1 else "sizes"
    return f"{abs(steps)} ISO {word} {'over' if steps > 0 else 'under'}"


def _mm(length: Decimal | None) -> str:
    """Write a length to tenths; one that would read as nothing is less than a tenth."""
    length = length or Decimal(0)
    rounded = length.quantize(Decimal("0.1"))
    return "less than 0.1 mm" if length and not rounded else f"{rounded.normalize():f} mm"


def further(found: Bounds, stock: Sequence[Tool]) -> str:
    """Say which further reading would tell most. A gauging file is named, never one to cut with."""
    if found.contradiction:
        return f"Before any other reading, {_names(found.contradiction)} are worth reading again."
    best = next_reading(found, stock)
    if best is not None:
        return (
            f"A reading with gauging file {best.tool.name} would narrow the bounds most: whatever it shows, from "
            f"{best.now_mm} mm apart to {best.after_mm} mm or less."
        )
    if found.high_mm is not None:
        return "No reading with a gauging file of the stock is certain to narrow the bounds."
    larger = next_larger(found, stock)
    if larger is None:
        return "Nothing was held yet, and the stock has no gauging file larger than what went in."
    return f"Nothing was held yet, so there is no upper bound. The next gauging file of the stock is {larger.name}."


def _names(readings: tuple[Reading, ...]) -> str:
    return f"{', '.join(one.name for one in readings[:-1])} and {readings[-1].name}"
