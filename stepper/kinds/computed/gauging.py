"""What apical gauging proves of a canal, and how its master apical file compares with that."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from stepper.facts.values import Size
from stepper.kinds.computing import Computed, Found, Result, picked, result
from stepper.kinds.gauged import gauged, tool_of_size
from stepper.kinds.judging import Seen
from stepper.sums.gauging.bounds import Bounds
from stepper.sums.gauging.compare import Comparison, compare

YES_NO = ("yes", "no")
LARGER = ("yes", "no", "unknown")


@dataclass(frozen=True)
class Compared:
    """A master apical file against the canal as gauged, and what the canal was found to be."""

    file: Comparison
    canal: Bounds


def compared(seen: Seen, canal: int) -> Found[Compared] | None:
    """Compare the master apical file with the canal as gauged; None where either is missing."""
    fact, known = seen.view.role("master_apical_file", canal), gauged(seen, canal)
    if fact is None or not isinstance(fact.value, Size) or known is None or known.found is None:
        return None
    tool = tool_of_size(seen.tables, fact.value)
    if tool is None:
        return None
    return Compared(compare(tool, known.found, known.size), known.found), (*known.entries, fact.seq)


def _bounds(seen: Seen, canal: int) -> Found[Bounds] | None:
    known = gauged(seen, canal)
    return (known.found, known.entries) if known is not None and known.found is not None else None


def _of_bounds(pick: Callable[[Bounds], Decimal | str | None]) -> Callable[[Seen, int], Result | None]:
    return picked(_bounds, pick)


def _of_file(pick: Callable[[Comparison], Decimal | int | str | None]) -> Callable[[Seen, int], Result | None]:
    return picked(compared, lambda known: pick(known.file))


def _size(seen: Seen, canal: int) -> Result | None:
    known = gauged(seen, canal)
    told = known is not None and (known.found is None or not known.found.contradiction)
    return result(known.size, known.entries) if known is not None and told else None


VALUES = (
    Computed(
        "width_least_mm", "C", "mm", "width at length at least, by gauging", _of_bounds(lambda found: found.low_mm)
    ),
    Computed(
        "width_most_mm", "C", "mm", "width at length at most, by gauging", _of_bounds(lambda found: found.high_mm)
    ),
    Computed(
        "width_most_if_held_mm",
        "C",
        "mm",
        "width at length at most, if a gauging file was held at its tip",
        _of_bounds(lambda found: found.tip_high_mm),
    ),
    Computed("gauged_size", "C", "", "size of the largest gauging file at length", _size),
    Computed(
        "gauging_contradicts",
        "C",
        "",
        "whether the gauging readings contradict one another",
        _of_bounds(lambda found: "yes" if found.contradiction else "no"),
        YES_NO,
    ),
    Computed(
        "file_larger",
        "C",
        "",
        "whether the master apical file is larger at length than the canal as gauged",
        _of_file(lambda one: one.larger.value),
        LARGER,
    ),
    Computed(
        "file_larger_if_held",
        "C",
        "",
        "the same, if a gauging file was held at its tip",
        _of_file(lambda one: one.larger_if_held.value),
        LARGER,
    ),
    Computed(
        "file_over_passed_mm",
        "C",
        "mm",
        "over how much of the apical 3 mm it is larger than what passed",
        _of_file(lambda one: one.over_passed_mm),
    ),
    Computed(
        "file_over_held_mm",
        "C",
        "mm",
        "over how much of the apical 3 mm it is larger than what was held at its tip",
        _of_file(lambda one: one.over_tip_held_mm),
    ),
    Computed(
        "file_unknown_mm",
        "C",
        "mm",
        "over how much of the apical 3 mm it is unknown whether it is larger",
        _of_file(lambda one: one.unknown_mm),
    ),
    Computed(
        "file_within_passed",
        "C",
        "",
        "whether it is nowhere in the apical 3 mm larger than what passed",
        _of_file(lambda one: None if one.over_passed_mm is None else "yes" if one.within_passed else "no"),
        YES_NO,
    ),
    Computed(
        "file_steps_over_gauge",
        "C",
        "",
        "positions in the ISO series above the gauged size",
        _of_file(lambda one: one.steps_over_gauge),
    ),
)
"""What gauging comes to."""
