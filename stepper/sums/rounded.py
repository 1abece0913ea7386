"""Exact figures made into hundredths, as they are shown: to the nearest, or outward where they are bounds."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction


def nearest(exact: Fraction) -> Decimal:
    """Round to the nearest hundredth, halves upward."""
    return _hundredths(math.floor(exact * 100 + Fraction(1, 2)))


def down(exact: Fraction) -> Decimal:
    """Round to the hundredth at or below: a lower bound stays one."""
    return _hundredths(math.floor(exact * 100))


def up(exact: Fraction) -> Decimal:
    """Round to the hundredth at or above: an upper bound stays one."""
    return _hundredths(math.ceil(exact * 100))


def _hundredths(count: int) -> Decimal:
    return Decimal(count).scaleb(-2)
