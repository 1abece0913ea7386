"""Lengths from a film: a tooth by proportion to an instrument of known length, and what is taken off the tooth."""

from __future__ import annotations

from decimal import Decimal
from enum import Enum

from stepper.sums.checked import above_zero


class Resorption(Enum):
    """What the film shows resorbed at the apex; the value is the mm taken off by Weine's modification (seen)."""

    NEITHER = Decimal(1)
    BONE = Decimal("1.5")
    BONE_AND_ROOT = Decimal(2)


def tooth_mm(instrument_mm: Decimal, instrument_on_film_mm: Decimal, tooth_on_film_mm: Decimal) -> Decimal:
    """Return the tooth's length in mm by proportion: instrument x tooth on film / instrument on film.

    `instrument_mm` is the instrument's real length, and tooth and instrument are measured on the same film. The formula
    was seen, called Grossman's method.

    Raises:
        ValueError: a length is not above 0.

    """
    above_zero("Instrument", instrument_mm, "mm")
    above_zero("Instrument on film", instrument_on_film_mm, "mm")
    above_zero("Tooth on film", tooth_on_film_mm, "mm")
    return instrument_mm * tooth_on_film_mm / instrument_on_film_mm


def length_mm(tooth_mm: Decimal, resorbed: Resorption) -> Decimal:
    """Return the tooth's length less 1, 1.5 or 2 mm, in mm (Weine's modification, seen): an estimate to be confirmed.

    Raises:
        ValueError: the tooth is not longer than what is taken off.

    """
    if not (tooth_mm.is_finite() and tooth_mm > resorbed.value):
        raise ValueError(f"Tooth: {tooth_mm} mm is not allowed; more than the {resorbed.value} mm taken off is.")
    return tooth_mm - resorbed.value
