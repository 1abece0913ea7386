"""How figures are written and said, the same in questions, remarks and notes."""

from __future__ import annotations

from decimal import Decimal


def plain(value: Decimal) -> str:
    """Write a decimal without needless zeros: 20.50 as 20.5, 21.0 as 21."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def distance(short_mm: Decimal) -> str:
    """Say a distance from the working length: at length, 1.5 mm short, 1 mm beyond."""
    if short_mm == 0:
        return "at length"
    return f"{plain(abs(short_mm))} mm {'short' if short_mm > 0 else 'beyond'}"
