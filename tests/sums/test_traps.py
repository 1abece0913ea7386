"""What is easily got wrong: names that mean two things, limits that are strict, gaps that are real."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from decimal import Decimal

import pytest

import stepper.sums
from stepper.sums.clash import Mixed, with_chlorhexidine
from stepper.sums.curvature import Curvature, Method, schneider
from stepper.sums.fill_level import Level, Range, level
from stepper.sums.iso3630 import COLOURS, diameter_mm, steps_between, tip_mm, up_by
from stepper.sums.iso3950 import from_universal, universal
from stepper.sums.motion import Counted, Use, net_turns_per_cycle, uses
from stepper.sums.needle import TUBES, reach, tube

D = Decimal

MEASURING_POINT = re.compile(r"\b[dD]_?[0-9]+\b")


def public() -> Iterator[tuple[str, object]]:
    """Give every public name of the sums, and of every function the names of what it takes."""
    for found in pkgutil.walk_packages(stepper.sums.__path__, "stepper.sums."):
        module = importlib.import_module(found.name)
        for name, thing in vars(module).items():
            if getattr(thing, "__module__", None) != found.name or name.startswith("_"):
                continue
            yield name, thing
            if callable(thing):
                yield from ((f"{name}({taken})", thing) for taken in inspect.signature(thing).parameters)


def test_no_sum_takes_or_is_named_by_a_measuring_point():
    """ "d3" of a 025/.02 is 0.31 mm in trade use (3 mm from the tip) and 0.57 mm by ISO's own letters (16 mm)."""
    names = [name for name, _ in public()]
    assert "diameter_mm(x_mm)" in names
    assert [name for name in names if MEASURING_POINT.search(name)] == []
    assert MEASURING_POINT.search("diameter(d3)"), "the pattern would find one"


def test_where_a_diameter_is_meant_is_said_in_mm():
    """Both readings of "d3" by their distance: from memory, medium confidence."""
    assert diameter_mm(25, D("0.02"), D(3)) == D("0.31")
    assert diameter_mm(25, D("0.02"), D(16)) == D("0.57")


def test_010_is_purple_not_black():
    """A lay page that says black was seen and is wrong; the series is from memory, high confidence."""
    assert COLOURS[10] == "purple"
    assert [size for size, colour in COLOURS.items() if colour == "black"] == [40, 80, 140]


@pytest.mark.parametrize(("size", "larger"), [(8, 20), (55, 80)])
def test_three_sizes_are_positions_and_not_015_mm(size: int, larger: int):
    """Seen: "three sizes larger" is counted in the series."""
    assert up_by(size, 3) == larger
    assert tip_mm(larger) - tip_mm(size) != D("0.15")
    assert steps_between(size, larger) == 3


def test_a_needle_is_as_wide_as_its_band_allows_and_not_as_designated():
    """30 G is designated 0.30 and at most 0.320 mm, so it does not reach the tip of a size 30 (from memory)."""
    needle = tube(30)
    assert needle.designated_mm == tip_mm(30)
    assert needle.largest_mm > tip_mm(30)
    by_largest = reach(30, D("0.04"), needle.largest_mm)
    assert by_largest.touches_short_mm == D("0.5")
    assert reach(30, D("0.04"), needle.designated_mm).touches_short_mm == 0


def test_a_designated_size_may_lie_outside_its_own_band():
    """31 G: 0.25 against at least 0.254 mm (from memory, medium confidence)."""
    outside = [gauge for gauge, one in TUBES.items() if not one.least_mm <= one.designated_mm <= one.largest_mm]
    assert 31 in outside
    assert all(one.designated_mm < one.largest_mm for one in TUBES.values())


@pytest.mark.parametrize("angle", ["5.01", "7", "9.99", "20.01", "22", "24.99", "70.01"])
def test_angles_that_schneider_left_undefined_stay_so(angle: str):
    """Schneider 1971 as published (seen): 5 to 10 and 20 to 25 degrees are in no class."""
    found = schneider(Curvature(D(angle), Method.SCHNEIDER))
    assert found.curved is None
    assert "names no class" in found.sentence


@pytest.mark.parametrize("angle", ["5", "10", "20", "25", "70"])
def test_the_published_ends_of_the_classes_belong_to_them(angle: str):
    assert schneider(Curvature(D(angle), Method.SCHNEIDER)).curved is not None


def test_an_angle_says_by_which_method():
    """Methods differ significantly on one canal (seen): the method cannot be left out, nor another's be classed."""
    with pytest.raises(TypeError):
        Curvature(D(15))  # type: ignore[call-arg]
    with pytest.raises(ValueError, match="no class of Schneider's"):
        schneider(Curvature(D(15), Method.WEINE))


def test_thresholds_begin_where_they_were_seen():
    """ "From" 0.023 and 0.19 % (Basrani et al. 2007, seen): the figure itself is in."""
    assert with_chlorhexidine(D("0.0229")) is Mixed.NOTHING
    assert with_chlorhexidine(D("0.023")) is Mixed.COLOUR
    assert with_chlorhexidine(D("0.1899")) is Mixed.COLOUR
    assert with_chlorhexidine(D("0.19")) is Mixed.PRECIPITATE


def test_flush_with_the_apex_is_whatever_the_protocol_says():
    """Sources disagree whether 0.0 mm is flush or over (seen)."""
    counts = Range(D(0), D(2), "a protocol")
    over = Range(D(0), D(2), "another protocol", least_counts=False)
    assert level(D("0.0"), counts) is Level.WITHIN
    assert level(D("0.0"), over) is Level.BEYOND


@pytest.mark.parametrize("number", ["11", "18", "21", "28", "31", "32"])
def test_a_bare_tooth_number_means_another_tooth_in_the_other_system(number: str):
    """ISO 11 is Universal 8, and Universal 11 is ISO 23 (derived): each function's name says which one it takes."""
    assert from_universal(number) != number
    assert universal(number) != number


@pytest.mark.parametrize(("number", "tooth"), [("11", "23"), ("30", "46"), ("8", "11")])
def test_universal_numbers_in_iso(number: str, tooth: str):
    assert from_universal(number) == tooth


def test_the_speed_of_a_reciprocating_file_does_not_tell_its_turns():
    """Derived: what counts is what one cycle leaves over."""
    assert net_turns_per_cycle(D(90), D(90)) == 0
    assert net_turns_per_cycle(D(150), D(30)) > 0 > net_turns_per_cycle(D(30), D(150))


def test_what_one_use_is_has_to_be_said():
    """No standard says whether it is a canal or a tooth (common practice differs)."""
    log = [Use("a", "1", "46", canal) for canal in ("MB", "ML", "D")]
    assert (uses(log, "a", Counted.CANAL), uses(log, "a", Counted.TOOTH)) == (3, 1)
    with pytest.raises(TypeError):
        uses(log, "a")  # type: ignore[call-arg]
