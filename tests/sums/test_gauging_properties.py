"""What holds for any readings, and the bounds against their definitions evaluated as they stand, in fractions."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from stepper.sums.gauging.bounds import Bounds, bounds
from stepper.sums.gauging.compare import APICAL_MM, compare
from stepper.sums.gauging.model import How, Model, Reading, Tool, straight
from tests.gauging import exact
from tests.gauging.evidence import TABLES

NEAR = Fraction(1, 10**11)
"""Figures are given to the twelfth digit behind the point."""

hundredths = st.integers(0, 1600).map(lambda whole: Decimal(whole) / 100)
shorts = st.one_of(st.just(Decimal(0)), st.integers(0, 8).map(lambda whole: Decimal(whole) / 2), hundredths)
tapers = st.sampled_from([Decimal(f"0.{per_cent:02d}") for per_cent in (1, 2, 3, 4, 6, 8, 12)])
cuttings = st.sampled_from([Decimal(16), Decimal(16), Decimal("9.5"), Decimal(4)])
tools = st.one_of(st.builds(straight, st.integers(15, 80), tapers, cuttings), st.sampled_from(TABLES))
readings = st.builds(Reading, tools, st.sampled_from(How), shorts)
evidence = st.lists(readings, min_size=1, max_size=6)
errors = st.sampled_from([Decimal(0), Decimal("0.1"), Decimal("0.3"), Decimal("0.5")])
tolerances = st.sampled_from([Decimal(0), Decimal("0.02"), Decimal("0.05")])
spans = st.sampled_from([Decimal(16), Decimal(16), Decimal(20)])
models = st.builds(Model, errors, tolerances, tolerances, spans)

often = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])


def narrower(one: Bounds, other: Bounds, x: Decimal) -> bool:
    """Whether the first lies within the second at a place."""
    low, high, outer_low, outer_high = one.lower_mm(x), one.upper_mm(x), other.lower_mm(x), other.upper_mm(x)
    return (low or 0) >= (outer_low or 0) and (outer_high is None or (high is not None and high <= outer_high))


def figures(found: Bounds) -> object:
    """What is told of the canal, whatever the order of the readings."""
    held = {one.reading: (one.zones_mm, one.upper_mm, one.at_tip) for one in found.held}
    places = [Decimal(x) / 4 for x in range(65)]
    lines = [(found.lower_mm(x), found.upper_mm(x), found.tip_upper_mm(x)) for x in places]
    return found.low_mm, found.high_mm, found.tip_high_mm, held, lines, len(found.contradiction)


@often
@given(evidence, readings, models, hundredths)
def test_a_further_reading_never_widens_the_bounds(
    told: list[Reading], more: Reading, model: Model, x: Decimal
) -> None:
    before, after = bounds(told, model), bounds([*told, more], model)
    assert not (before.contradiction and not after.contradiction)
    if not after.contradiction:
        assert narrower(after, before, Decimal(0))
        assert narrower(after, before, x)


@often
@given(evidence.flatmap(lambda told: st.tuples(st.just(told), st.permutations(told))), models)
def test_the_order_of_the_readings_does_not_matter(both: tuple[list[Reading], list[Reading]], model: Model) -> None:
    assert figures(bounds(both[0], model)) == figures(bounds(both[1], model))


@often
@given(evidence, models, hundredths, hundredths)
def test_the_bounds_do_not_cross_nor_decrease(told: list[Reading], model: Model, x: Decimal, y: Decimal) -> None:
    found = bounds(told, model)
    assume(not found.contradiction)
    low, high, tip = found.lower_mm(x), found.upper_mm(x), found.tip_upper_mm(x)
    assert high is None or (low or 0) <= high
    assert tip is None or (low or 0) <= tip
    assert found.high_mm is None or found.tip_high_mm is None or found.tip_high_mm <= found.high_mm
    near, far = sorted((x, y))
    assert (found.lower_mm(near) or 0) <= (found.lower_mm(far) or 0)
    near_high, far_high = found.upper_mm(near), found.upper_mm(far)
    assert far_high is None or (near_high is not None and near_high <= far_high)


@often
@given(evidence, models, st.sampled_from(["read_error_mm", "tolerance_mm", "tolerance_over_60_mm"]), hundredths)
def test_knowing_less_exactly_never_narrows_the_bounds(
    told: list[Reading], model: Model, setting: str, x: Decimal
) -> None:
    exactly, roughly = (
        bounds(told, model),
        bounds(told, replace(model, **{setting: getattr(model, setting) + Decimal("0.03")})),
    )
    assert not (roughly.contradiction and not exactly.contradiction)
    if not exactly.contradiction:
        assert narrower(exactly, roughly, Decimal(0))
        assert narrower(exactly, roughly, x)


@often
@given(evidence, models, st.lists(hundredths, min_size=1, max_size=8))
def test_the_lower_bound_is_its_definition(told: list[Reading], model: Model, xs: list[Decimal]) -> None:
    found = bounds(told, model)
    if found.contradiction:
        assert not exact.agree(told, model)
        return
    assert exact.agree(told, model)
    turning = [Decimal(at.numerator) / Decimal(at.denominator) for at in exact.proof_places(told, model)]
    for x in [*xs, *(at for at in turning if 0 <= at <= 16)]:
        defined = exact.lower(told, exact.Place(Fraction(x)), model)
        before = exact.lower(told, exact.Place(Fraction(x), from_there=False), model)
        given_mm = Fraction(found.lower_mm(x) or 0)
        # A turning place with no end of digits is rounded, and may come to lie just before a jump.
        assert abs(given_mm - defined) <= NEAR or (x in turning and abs(given_mm - before) <= NEAR)


@often
@given(evidence, models, st.lists(hundredths, min_size=1, max_size=8))
def test_zones_and_upper_bounds_are_their_definitions(told: list[Reading], model: Model, xs: list[Decimal]) -> None:
    found = bounds(told, model)
    assume(not found.contradiction)
    for one in found.held:
        upper = exact.upper_of(one.reading, told, model)
        assert upper is not None and one.upper_mm is not None
        assert abs(Fraction(one.upper_mm) - upper) <= NEAR
        for x in xs:
            near_an_end = any(abs(Fraction(end) - Fraction(x)) <= NEAR for zone in one.zones_mm for end in zone)
            inside = any(low <= x <= high for low, high in one.zones_mm)
            touches = exact.may_touch(one.reading, told, exact.Place(Fraction(x)), model)
            assert near_an_end or inside == touches
    for x in [Decimal(0), *xs]:
        assert near_or_none(found.upper_mm(x), defined_upper(told, x, model))
        assert near_or_none(found.tip_upper_mm(x), defined_tip(told, x, model))


def defined_upper(told: list[Reading], x: Decimal, model: Model) -> Fraction | None:
    """For x up to the most apical place of the zone, the widest the held file can have been over it; the least."""
    widths = []
    for one in told:
        if one.how is How.STOPPED:
            places = exact.turning_places(one, told, model)
            first = min(at.x for at in places if exact.may_touch(one, told, at, model))
            upper = exact.upper_of(one, told, model)
            if upper is not None and Fraction(x) <= first + NEAR:
                widths.append(upper)
    return min(widths, default=None)


def defined_tip(told: list[Reading], x: Decimal, model: Model) -> Fraction | None:
    """The least d + tol of files held with s0 >= x that can have been held at their tips, and what is proved anyway."""
    widths = []
    for one in told:
        if one.how is How.STOPPED:
            start = exact.touches_within(one, model)[0]
            if Fraction(x) <= start and exact.may_touch(one, told, exact.Place(start), model):
                widths.append(exact.profile(one, start, model))
    upper = defined_upper(told, x, model)
    return min([*widths, *([upper] if upper is not None else [])], default=None)


def near_or_none(given_mm: Decimal | None, defined: Fraction | None, near: Fraction = NEAR) -> bool:
    if given_mm is None or defined is None:
        return given_mm is defined is None
    return abs(Fraction(given_mm) - defined) <= near


@often
@given(evidence, tools, models)
def test_a_comparison_is_its_definition(told: list[Reading], tool: Tool, model: Model) -> None:
    found = bounds(told, model)
    assume(not found.contradiction)
    one = compare(tool, found, None)
    question = Reading(tool, How.PASSED, Decimal(0))
    over_passed = over_tip = unknown = Fraction(0)
    for a, b in stretches(told, question, model):
        x = (a + b) / 2
        at = Decimal(x.numerator) / Decimal(x.denominator)
        width, low = exact.nominal(question, x), exact.lower(told, exact.Place(x), model)
        upper, tip = defined_upper(told, at, model), defined_tip(told, at, model)
        over_passed += (b - a) * (width > low)
        over_tip += (b - a) * (tip is not None and width > tip)
        unknown += (b - a) * (width > low and (upper is None or width <= upper))
    near = 100 * NEAR  # the last digit of a width moves where a taper of .01 crosses it a hundred times as far
    assert near_or_none(one.over_passed_mm, over_passed, near)
    bounded = defined_tip(told, Decimal(0), model) is not None
    assert near_or_none(one.over_tip_held_mm, over_tip if bounded else None, near)
    assert near_or_none(one.unknown_mm, unknown, near)
    assert one.within_passed == (tool.cutting_mm >= APICAL_MM and over_passed < near)


def stretches(told: list[Reading], question: Reading, model: Model) -> list[tuple[Fraction, Fraction]]:
    """The apical 3 mm cut wherever a file in question can cross a bound, or a bound jumps or bends."""
    end = min(Fraction(APICAL_MM), exact.corners(question)[-1][0])
    exactly = replace(model, tolerance_mm=Decimal(0), tolerance_over_60_mm=Decimal(0))
    xs = {Fraction(0), end} | exact.proof_places(told, model)
    lines = exact.proof_lines(question, exactly)
    for one in told:
        for line in exact.proof_lines(one, model):
            xs = xs.union(*(exact.crossing(line, other) for other in lines))
        if one.how is How.STOPPED:
            places = exact.turning_places(one, told, model)
            xs |= {at.x for at in places if exact.may_touch(one, told, at, model)}
            level = [exact.upper_of(one, told, model), exact.profile(one, exact.touches_within(one, model)[0], model)]
            for width in level:
                if width is not None:
                    flat = (Fraction(0), end, width, Fraction(0))
                    xs = xs.union(*(exact.crossing(flat, other) for other in lines))
    inner = sorted(x for x in xs if 0 <= x <= end)
    return list(pairwise(inner))
