"""How curved a canal is: an angle together with the method it was measured by, and Schneider's classes.

Angles of one canal by Schneider's, Weine's and the long-axis method differ significantly (seen), so an angle without
its method says nothing; and canals of one angle may differ in radius (Pruett et al. 1997, seen), so both are kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from stepper.sums.checked import above_zero, zero_to

MOST_DEGREES = Decimal(180)
"""No canal bends further back than upon itself."""

PI = Decimal("3.141592653589793238462643383")
"""To 28 digits, as many as decimals here are reckoned with."""


class Method(Enum):
    """How an angle was measured."""

    SCHNEIDER = "Schneider 1971"
    WEINE = "Weine"
    LONG_AXIS = "the long axes"
    PRUETT = "Pruett et al. 1997"


class Curved(Enum):
    """Schneider's classes of 1971, as published (seen in a work that quotes them)."""

    STRAIGHT = "straight, 5 degrees or less"
    MODERATE = "moderate, 10 to 20 degrees"
    SEVERE = "severe, 25 to 70 degrees"


@dataclass(frozen=True)
class Curvature:
    """An angle in degrees with its method, and the radius in mm where one was measured.

    Raises:
        ValueError: the angle is not 0 to 180 degrees, or the radius not above 0.

    """

    angle_deg: Decimal
    method: Method
    radius_mm: Decimal | None = None

    def __post_init__(self) -> None:
        zero_to("Angle", self.angle_deg, MOST_DEGREES, "degrees")
        if self.radius_mm is not None:
            above_zero("Radius", self.radius_mm, "mm")


@dataclass(frozen=True)
class Classed:
    """Schneider's class of an angle, None where he names none, and a sentence that says so."""

    curved: Curved | None
    sentence: str


def schneider(curvature: Curvature) -> Classed:
    """Class an angle as Schneider published it: at most 5, 10 to 20, 25 to 70 degrees, and nothing between or above.

    Many works close the gaps, each in its own way; here they stay open.

    Raises:
        ValueError: the angle was measured by another method.

    """
    angle = curvature.angle_deg
    if curvature.method is not Method.SCHNEIDER:
        raise ValueError(
            f"An angle by {curvature.method.value} is in no class of Schneider's; one by his method is allowed."
        )
    if angle <= 5:
        curved = Curved.STRAIGHT
    elif 10 <= angle <= 20:
        curved = Curved.MODERATE
    elif 25 <= angle <= 70:
        curved = Curved.SEVERE
    else:
        where = "above 70" if angle > 70 else "between 5 and 10" if angle < 10 else "between 20 and 25"
        return Classed(None, f"{angle} degrees: Schneider 1971 names no class {where} degrees.")
    return Classed(curved, f"{angle} degrees: {curved.value} (Schneider 1971).")


def arc_mm(radius_mm: Decimal, angle_deg: Decimal) -> Decimal:
    """Return the length in mm of a bend of that radius and angle: radius x angle in radians (derived).

    Raises:
        ValueError: the radius is not above 0, or the angle not 0 to 180 degrees.

    """
    above_zero("Radius", radius_mm, "mm")
    return radius_mm * zero_to("Angle", angle_deg, MOST_DEGREES, "degrees") * PI / 180
