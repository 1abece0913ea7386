"""Where the cone is foretold to rest, and where the needle touches, in a canal of the shape that it was given."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from stepper.facts.state import Fact
from stepper.facts.values import Depth, Size
from stepper.kinds.computing import Computed, Found, Result, picked, result
from stepper.kinds.cut import Shape, needle_of, shape_of
from stepper.kinds.judging import Seen
from stepper.sums.cone import CONE_MM, Canal, Cone, Rest, cone_tolerance_mm, rest, trim_mm
from stepper.sums.iso3630 import tip_mm
from stepper.sums.needle import Reach, reach


@dataclass(frozen=True)
class Foretold:
    """A cone, the canal that it goes into, and where it is foretold to rest."""

    cone: Cone
    wall: Canal
    rest: Rest

    @property
    def rests_mm(self) -> Decimal | None:
        """How far short of length, nominally; None where it does not enter the cut part, or falls right through."""
        return None if self.rest.falls_through else self.rest.nominal_mm

    @property
    def match(self) -> bool:
        """Whether the cone as it went in, trimmed or not, is as the canal was cut: as the gate compares them."""
        return (self.cone.tip_mm, self.cone.taper) == (self.wall.tip_mm, self.wall.taper)


def cone_rest(seen: Seen, canal: int) -> Found[Foretold] | None:
    """Foretell the rest of the cone last taken from its packet; None where it or the canal's shape is not known."""
    fact, shape = seen.view.role("cone", canal), shape_of(seen, canal)
    if fact is None or not isinstance(fact.value, Size) or fact.value.taper <= 0 or shape is None:
        return None
    wall, within = Canal(shape.size, shape.taper, shape.cut_mm), _within(seen, shape)
    cone = _trimmed(seen, canal, fact.value, fact)
    if within >= wall.tip_mm or cone_tolerance_mm(cone.size) >= cone.tip_mm:
        return None  # so small that its tolerance leaves nothing of it: no range could be told
    return Foretold(cone, wall, rest(cone, wall, file_within_mm=within)), (fact.seq, shape.seq)


def needle_reach(seen: Seen, canal: int) -> Found[Reach] | None:
    """Reckon where the needle in use touches; None where it or the canal's shape is not known."""
    shape, needle = shape_of(seen, canal), needle_of(seen, canal)
    if shape is None or needle is None or _within(seen, shape) >= tip_mm(shape.size):
        return None
    about = {"cut_mm": shape.cut_mm, "file_within_mm": _within(seen, shape)}
    found = reach(shape.size, shape.taper, needle[0].outside_diameter_max_mm, **about)
    return found, (shape.seq, needle[1])


def _trimmed(seen: Seen, canal: int, cone: Size, fact: Fact) -> Cone:
    """Give the cone as it went in: trimmed to a larger size since it was taken, it keeps its taper.

    To a smaller one no cone can be trimmed; that is taken for a slip, and the cone for whole.
    """
    trimmed = seen.view.role("cone_trimmed", canal)
    if trimmed is None or not isinstance(trimmed.value, Size) or trimmed.place < fact.place:
        return Cone(cone.size, cone.taper)
    off_mm = (tip_mm(trimmed.value.size) - tip_mm(cone.size)) / cone.taper
    return Cone(cone.size, cone.taper, off_mm if 0 <= off_mm <= CONE_MM else Decimal(0))


def _within(seen: Seen, shape: Shape) -> Decimal:
    """Give the tolerance of the file that shaped a canal, in mm either way, as the protocol has it."""
    return seen.limits.file_tolerance_mm if shape.size <= 60 else seen.limits.file_tolerance_over_60_mm


def _of_cone(pick: Callable[[Foretold], Decimal | str | None]) -> Callable[[Seen, int], Result | None]:
    return picked(cone_rest, pick)


def _of_needle(pick: Callable[[Reach], Decimal | None]) -> Callable[[Seen, int], Result | None]:
    return picked(needle_reach, pick)


def _beyond_touch(seen: Seen, canal: int) -> Result | None:
    """Tell how far the needle last went past where it touches; 0 where it stayed short of that."""
    depth = seen.view.role("needle_depth", canal)
    known = needle_reach(seen, canal) if depth is not None else None
    if known is None or known[0].touches_short_mm is None or depth is None or not isinstance(depth.value, Depth):
        return None
    return result(max(known[0].touches_short_mm - depth.value.short_mm, Decimal(0)), (*known[1], depth.seq))


VALUES = (
    Computed(
        "cone_rest_short_mm",
        "C",
        "mm",
        "how far short of length the cone is foretold to rest",
        _of_cone(lambda one: one.rests_mm),
    ),
    Computed(
        "cone_rest_least_mm", "C", "mm", "the same, at least by the tolerances", _of_cone(lambda one: one.rest.least_mm)
    ),
    Computed(
        "cone_rest_most_mm", "C", "mm", "the same, at most by the tolerances", _of_cone(lambda one: one.rest.most_mm)
    ),
    Computed(
        "cone_match",
        "C",
        "",
        "whether the cone is of the size and taper that the canal was cut by",
        _of_cone(lambda one: "yes" if one.match else "no"),
        ("yes", "no"),
    ),
    Computed(
        "cone_trim_mm",
        "C",
        "mm",
        "what trimming would make the cone's tip as wide as the file's",
        _of_cone(lambda one: trim_mm(one.cone, one.wall)),
    ),
    Computed(
        "needle_touches_mm",
        "C",
        "mm",
        "how far short of length the needle touches",
        _of_needle(lambda one: one.touches_short_mm),
    ),
    Computed(
        "needle_loose_mm",
        "C",
        "mm",
        "from how far short of length the needle is loose",
        _of_needle(lambda one: one.loose_from_short_mm),
    ),
    Computed("needle_past_touch_mm", "C", "mm", "how far the needle last went past where it touches", _beyond_touch),
)
"""What is foretold of cones and needles."""
