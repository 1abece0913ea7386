"""Lengths from images, the fill's level, curvature by its method, files by their uses and turns."""

from __future__ import annotations

from decimal import Decimal

from stepper.facts.state import Fact
from stepper.facts.values import Choice, Depth, Number, Span
from stepper.kinds.computing import Computed, Result, result
from stepper.kinds.judging import Seen
from stepper.kinds.used import uses_of
from stepper.sums import curvature
from stepper.sums.motion import turns
from stepper.sums.radiograph import tooth_mm

SCHNEIDER = "schneider"
"""The option of the role `curvature_method` that says that an angle was measured as Schneider did."""

UNDEFINED = "undefined"
"""Between his classes, where Schneider named none."""


def _level(seen: Seen, canal: int) -> Result | None:
    fact = seen.view.role("fill_level", canal)
    return result(fact.value.short_mm, (fact.seq,)) if fact is not None and isinstance(fact.value, Depth) else None


def _proportion(seen: Seen, canal: int) -> Result | None:
    facts = [seen.view.role(role, canal) for role in ("instrument_mm", "instrument_on_film_mm", "tooth_on_film_mm")]
    known = [(fact.value.value, fact.seq) for fact in facts if fact is not None and isinstance(fact.value, Number)]
    if len(known) < len(facts) or any(mm <= 0 for mm, _ in known):
        return None
    actual, on_film, tooth = (mm for mm, _ in known)
    return result(tooth_mm(actual, on_film, tooth), tuple(seq for _, seq in known))


def _curvature(seen: Seen, canal: int) -> Result | None:
    """Give an angle only with the method that it was measured by: the methods differ on the same canal."""
    angle, method = seen.view.role("curvature_deg", canal), seen.view.role("curvature_method", canal)
    degrees = _number(angle)
    if angle is None or degrees is None or method is None:
        return None
    return result(degrees, (angle.seq, method.seq)) if 0 <= degrees <= curvature.MOST_DEGREES else None


def _class(seen: Seen, canal: int) -> Result | None:
    """Class an angle as Schneider did, and only one that was measured as he did."""
    known, method = _curvature(seen, canal), seen.view.role("curvature_method", canal)
    if known is None or method is None or not isinstance(method.value, Choice) or not isinstance(known.value, Decimal):
        return None
    if method.value.options != (SCHNEIDER,) or not 0 <= known.value <= 90:
        return None
    classed = curvature.schneider(curvature.Curvature(known.value, curvature.Method.SCHNEIDER)).curved
    return result(classed.name.lower() if classed is not None else UNDEFINED, known.entries)


def _arc(seen: Seen, canal: int) -> Result | None:
    """Reckon the length of the bend: canals of one angle differ by their radius."""
    known, radius = _curvature(seen, canal), seen.view.role("curvature_radius_mm", canal)
    mm = _number(radius)
    if known is None or radius is None or mm is None or mm <= 0 or not isinstance(known.value, Decimal):
        return None
    return result(curvature.arc_mm(mm, known.value), (*known.entries, radius.seq))


def _turns(seen: Seen, canal: int) -> Result | None:
    total = Decimal(0)
    entries: list[int] = []
    for row in seen.view.rows_with("motor_rpm", canal):
        rpm, span = _number(row.get("motor_rpm")), row.get("motor_seconds")
        if rpm is not None and rpm >= 0 and span is not None and isinstance(span.value, Span):
            seconds = Decimal(span.value.seconds)
            total += turns(rpm, seconds) if rpm and seconds else 0  # a motor that stood still turned nothing
            entries += row.seqs
    return result(total, tuple(entries)) if entries else None


def _uses(seen: Seen, canal: int) -> Result | None:  # noqa: ARG001 - a file goes from canal to canal
    """Count in how many canals the stock file used in most of them was."""
    used = [(use.stock, use.seq) for mine in seen.view.canals.values() for use in mine.files if use.stock]
    counts = [uses_of(seen.view, stock) for stock in {stock for stock, _ in used}]
    return result(max(counts), tuple(seq for _, seq in used)) if counts else None


def _number(fact: Fact | None) -> Decimal | None:
    return fact.value.value if fact is not None and isinstance(fact.value, Number) else None


VALUES = (
    Computed("fill_level_short_mm", "C", "mm", "how far short of length the fill ends", _level),
    Computed("length_by_proportion_mm", "C", "mm", "tooth length by proportion on the image", _proportion),
    Computed("curvature_angle_deg", "C", "degrees", "curvature, by the method said with it", _curvature),
    Computed(
        "curvature_class",
        "C",
        "",
        "curvature as Schneider classed it",
        _class,
        (*(one.name.lower() for one in curvature.Curved), UNDEFINED),
    ),
    Computed("curvature_arc_mm", "C", "mm", "length of the bend, from its radius and angle", _arc),
    Computed("motor_turns", "C", "turns", "turns of the files in the canal", _turns),
    Computed("most_uses_of_a_file", "T", "canals", "in how many canals the stock file used most was", _uses),
)
"""What images, curvature and files come to."""
