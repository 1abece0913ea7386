"""Figures that a sum may be given at all: one clear sentence where one may not."""

from __future__ import annotations

from decimal import Decimal


def above_zero(what: str, value: Decimal, unit: str) -> Decimal:
    """Return `value` where it is a number above 0.

    Raises:
        ValueError: it is not; the sentence names `what` and its `unit`.

    """
    if not (value.is_finite() and value > 0):
        raise ValueError(f"{what}: {value} {unit} is not allowed; a number above 0 is.")
    return value


def zero_to(what: str, value: Decimal, most: Decimal, unit: str) -> Decimal:
    """Return `value` where it is a number from 0 to `most`, both allowed.

    Raises:
        ValueError: it is not; the sentence names `what` and its `unit`.

    """
    if not (value.is_finite() and 0 <= value <= most):
        raise ValueError(f"{what}: {value} {unit} is not allowed; 0 to {most} {unit} is.")
    return value


def tolerance_below(whose: str, within_mm: Decimal, diameter_mm: Decimal) -> Decimal:
    """Return a tolerance, in mm either way, that leaves something of the diameter it belongs to.

    Raises:
        ValueError: it is below 0, or as large as the diameter.

    """
    if not (within_mm.is_finite() and 0 <= within_mm < diameter_mm):
        raise ValueError(
            f"Tolerance of the {whose}: {within_mm} mm is not allowed; 0 to less than its {diameter_mm} mm is."
        )
    return within_mm
