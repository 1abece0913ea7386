"""Files as the sums' commands take them: SIZE/TAPER, with -MM short of length where a file stopped or was cut to."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

from stepper.cli.refused import Refused
from stepper.facts.values import Instrument, Size
from stepper.lines import instruments
from stepper.lines.refusal import Refusal


def file(option: str, typed: str) -> Size:
    """Read SIZE/TAPER, as 40/.04."""
    found = instruments.size(typed, None, None)
    if isinstance(found, Refusal):
        raise Refused(f"{option}: {found.sentence}.")
    return found


def file_at(option: str, typed: str) -> Instrument:
    """Read SIZE/TAPER or SIZE/TAPER-MM; without a distance the file is at length."""
    if "-" not in typed and "+" not in typed:
        at_length = file(option, typed)
        return Instrument(size=at_length.size, taper=at_length.taper, short_mm=Decimal(0))
    found = instruments.instrument(typed, None, None)
    if isinstance(found, Refusal):
        raise Refused(f"{option}: {found.sentence}.")
    if found.short_mm < 0:
        raise Refused(f"{option}: {typed} is beyond length; -MM short of length is allowed, as 35/.02-0.5.")
    return found


def number(option: str, typed: str, least: Decimal, most: Decimal, unit: str) -> Decimal:
    """Read a number between two limits, both allowed."""
    try:
        value = Decimal(typed.replace(",", ".")) if typed.isascii() else Decimal("NaN")
    except InvalidOperation:
        raise Refused(f"{option}: {typed!r} is no number; {least} to {most} {unit} is allowed.") from None
    if not value.is_finite() or not least <= value <= most:
        raise Refused(f"{option}: {typed} is not allowed; {least} to {most} {unit} is allowed.")
    return value
