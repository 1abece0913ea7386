"""The ISO 3630-1 instrument series: sizes, colours, diameters, tapers.

The sizes and colours are told from memory of ISO 3630-1, with high confidence; its step of 0.05 mm from 010 to 060
and its taper formula were seen in works that quote it. The tolerances are told from memory, with less confidence.
"""

from __future__ import annotations

from decimal import Decimal

SIZES: tuple[int, ...] = (6, 8, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80, 90, 100, 110, 120, 130, 140)
"""The 21 sizes, smallest first, in hundredths of a millimetre at the tip."""

CUTTING_MM = Decimal(16)
"""Length of the cutting part of a standard file, in mm (ISO 3630-1)."""

WIDEST_TAPER = Decimal("0.12")
"""The widest taper taken for meant, in mm per mm (common practice, no source)."""

_SMALLEST = ("pink", "grey", "purple")
_CYCLE = ("white", "yellow", "red", "blue", "green", "black")

COLOURS: dict[int, str] = dict(zip(SIZES, _SMALLEST + 3 * _CYCLE, strict=True))
"""Handle colour by size: three of their own, then six that repeat from 015."""

_POSITION = {size: position for position, size in enumerate(SIZES)}


def is_iso_size(size: int) -> bool:
    """Say whether `size` belongs to the series."""
    return size in _POSITION


def steps_between(smaller: int, larger: int) -> int:
    """Count the positions in the series from `smaller` up to `larger`; negative when `larger` is the smaller one.

    Positions, not hundredths of a millimetre: three steps up from 055 is 080.

    Raises:
        ValueError: a size is not in the series.

    """
    return _position(larger) - _position(smaller)


def up_by(size: int, steps: int) -> int:
    """Return the size that is `steps` positions up in the series; negative steps go down.

    Positions, not hundredths of a millimetre: three up from 008 is 020 (how handbooks count, seen).

    Raises:
        ValueError: a size is not in the series, or the series ends before.

    """
    position = _position(size) + steps
    if not 0 <= position < len(SIZES):
        raise ValueError(
            f"{steps} steps from size {size} leave the ISO 3630-1 series: {SIZES[0]} to {SIZES[-1]} are allowed."
        )
    return SIZES[position]


def tip_mm(size: int) -> Decimal:
    """Return D0, the diameter in mm projected to the tip, of any size in hundredths of a millimetre.

    Sizes outside the series are taken too: a trimmed cone may well be a 12.

    Raises:
        ValueError: the size is not above zero.

    """
    if size <= 0:
        raise ValueError(f"Size {size} is not allowed: a size is a whole number of hundredths of a mm above 0.")
    return Decimal(size) / 100


def diameter_mm(size: int, taper: Decimal, x_mm: Decimal, cutting_mm: Decimal = CUTTING_MM) -> Decimal:
    """Return D(x) = D0 + taper * x, in mm, at `x_mm` from the tip of an instrument of constant taper.

    Source: ISO 3630-1 as quoted by Qualtrough et al. 2005.

    Raises:
        ValueError: `x_mm` lies outside the cutting part, where the formula does not hold.

    """
    if not (x_mm.is_finite() and 0 <= x_mm <= cutting_mm):
        raise ValueError(f"{x_mm} mm from the tip is outside the cutting part: 0 to {cutting_mm} mm is allowed.")
    return tip_mm(size) + taper * x_mm


def tolerance_mm(size: int) -> Decimal:
    """Return the tolerance either way of a file's diameter, in mm (ISO 3630-1:1992, from memory)."""
    return Decimal("0.02") if size <= 60 else Decimal("0.04")


def read_taper(text_value: Decimal) -> Decimal:
    """Read a taper as the trade says it and return it in mm per mm: 1 or more is per cent, less is mm per mm.

    Equal tapers come back with equal digits, so that 4, 4.0 and .040 are all logged as 0.04.

    Raises:
        ValueError: not above zero, or wider than 12 per cent.

    """
    if text_value.is_finite() and text_value > 0:
        taper = text_value / 100 if text_value >= 1 else text_value
        if taper <= WIDEST_TAPER:
            return _plain_digits(taper)
    raise ValueError(
        f"Taper {text_value} is not allowed: key 1 to 12 for per cent, or above 0 up to .12 for mm per mm."
    )


def name(size: int, taper: Decimal) -> str:
    """Name an instrument as the trade does: "35/.04", "08/.02", "35/.045"."""
    return f"{size:02d}/{format(_plain_digits(taper), 'f').removeprefix('0')}"


def _position(size: int) -> int:
    if size not in _POSITION:
        raise ValueError(f"Size {size} is not in the ISO 3630-1 series: {', '.join(map(str, SIZES))} are allowed.")
    return _POSITION[size]


def _plain_digits(taper: Decimal) -> Decimal:
    hundredths = taper.quantize(Decimal("0.01"))
    return hundredths if hundredths == taper else taper.normalize()
