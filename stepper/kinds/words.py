"""How figures are written and said, the same in questions, remarks and notes."""

from __future__ import annotations

from decimal import Decimal

from stepper.facts.values import Expiry


def plain(value: Decimal) -> str:
    """Write a decimal without needless zeros: 20.50 as 20.5, 21.0 as 21."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def distance(short_mm: Decimal) -> str:
    """Say a distance from the working length: at length, 1.5 mm short, 1 mm beyond."""
    if short_mm == 0:
        return "at length"
    return f"{plain(abs(short_mm))} mm {'short' if short_mm > 0 else 'beyond'}"


def year_first(expiry: Expiry) -> str:
    """Write an expiry as 2028-05, or as 2028-05-14 where its day is known."""
    return f"{expiry.year:04d}-{expiry.month:02d}" + (f"-{expiry.day:02d}" if expiry.day is not None else "")
