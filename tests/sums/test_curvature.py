"""Angles with their methods, Schneider's classes with their gaps, arcs."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepper.sums.curvature import PI, Curvature, Curved, Method, arc_mm, schneider

D = Decimal


@pytest.mark.parametrize(
    ("angle", "curved"),
    [
        ("0", Curved.STRAIGHT),
        ("4", Curved.STRAIGHT),
        ("5", Curved.STRAIGHT),
        ("10", Curved.MODERATE),
        ("15", Curved.MODERATE),
        ("20", Curved.MODERATE),
        ("25", Curved.SEVERE),
        ("30", Curved.SEVERE),
        ("70", Curved.SEVERE),
    ],
)
def test_classes_as_published(angle: str, curved: Curved):
    """Schneider 1971, seen in a work that quotes it."""
    found = schneider(Curvature(D(angle), Method.SCHNEIDER))
    assert found.curved is curved
    assert found.sentence == f"{angle} degrees: {curved.value} (Schneider 1971)."


@pytest.mark.parametrize(
    ("angle", "where"),
    [
        ("5.1", "between 5 and 10"),
        ("7", "between 5 and 10"),
        ("9.9", "between 5 and 10"),
        ("20.1", "between 20 and 25"),
        ("22", "between 20 and 25"),
        ("24.9", "between 20 and 25"),
        ("70.1", "above 70"),
        ("180", "above 70"),
    ],
)
def test_gaps_stay_open_and_are_told(angle: str, where: str):
    found = schneider(Curvature(D(angle), Method.SCHNEIDER))
    assert found.curved is None
    assert found.sentence == f"{angle} degrees: Schneider 1971 names no class {where} degrees."


@pytest.mark.parametrize("method", [Method.WEINE, Method.LONG_AXIS, Method.PRUETT])
def test_angles_by_other_methods_have_no_class(method: Method):
    """Schneider, Weine and long-axis angles differ significantly on one canal (seen)."""
    with pytest.raises(ValueError, match=f"An angle by {method.value} is in no class of Schneider's"):
        schneider(Curvature(D(15), method))


def test_the_method_and_the_radius_are_kept_with_the_angle():
    kept = Curvature(D(30), Method.PRUETT, D(5))
    assert (kept.angle_deg, kept.method, kept.radius_mm) == (30, Method.PRUETT, 5)
    assert kept != Curvature(D(30), Method.PRUETT, D(2))
    assert kept != Curvature(D(30), Method.SCHNEIDER, D(5))


@pytest.mark.parametrize(("radius", "arc"), [("5", "5.24"), ("2", "2.09")])
def test_arcs_of_60_degrees(radius: str, arc: str):
    """Worked example 28: geometry; the radii are Pruett et al. 1997's (seen)."""
    assert round(arc_mm(D(radius), D(60)), 2) == D(arc)


@given(st.decimals("0.1", "50", places=1), st.decimals("0", "180", places=1))
def test_arcs_against_radians(radius: Decimal, angle: Decimal):
    assert math.isclose(float(arc_mm(radius, angle)), float(radius) * math.radians(angle), rel_tol=1e-12)


def test_pi():
    assert float(PI) == math.pi


@pytest.mark.parametrize("angle", ["-1", "180.1", "NaN"])
def test_angles_that_are_none(angle: str):
    with pytest.raises(ValueError, match=r"Angle: .* degrees is not allowed; 0 to 180 degrees is"):
        Curvature(D(angle), Method.SCHNEIDER)
    with pytest.raises(ValueError, match=r"Angle: .* 0 to 180 degrees is"):
        arc_mm(D(5), D(angle))


def test_radii_are_above_zero():
    with pytest.raises(ValueError, match="Radius: 0 mm is not allowed"):
        Curvature(D(30), Method.PRUETT, D(0))
    with pytest.raises(ValueError, match="Radius: -2 mm is not allowed"):
        arc_mm(D(-2), D(60))
