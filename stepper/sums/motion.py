"""The arithmetic of motor-driven files: speed, turns, torque; and how often a file was used.

Log turns, or speed and time: speed alone does not tell how tired a file is (Pruett et al. 1997, seen).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from stepper.sums.checked import above_zero, zero_to

GF_PER_N = 1000 / Decimal("9.80665")
"""Gram-force in a newton, by standard gravity (derived): 1 N·cm is 101.97 gf·cm."""

MOST_DEGREES = Decimal(3600)
"""Ten turns in one stroke of a reciprocating file: more is a slip (common practice, no source)."""


class Counted(Enum):
    """What one use of a file is. No source says: whoever counts has to say which."""

    CANAL = "canal"
    TOOTH = "tooth"


@dataclass(frozen=True)
class Use:
    """A file taken into a canal: which file, at which visit, tooth and canal, by whatever names tell them apart."""

    file: str
    visit: str
    tooth: str
    canal: str


def turns_per_s(rpm: Decimal) -> Decimal:
    """Return revolutions a second from revolutions a minute (derived).

    Raises:
        ValueError: the speed is not above 0.

    """
    return above_zero("Speed", rpm, "rpm") / 60


def turns(rpm: Decimal, seconds: Decimal) -> Decimal:
    """Return the turns made at `rpm` in `seconds`: 300 rpm for 84 s are 420 (derived).

    Raises:
        ValueError: speed or time is not above 0.

    """
    return above_zero("Speed", rpm, "rpm") * above_zero("Time", seconds, "s") / 60


def net_turns_per_cycle(counterclockwise_deg: Decimal, clockwise_deg: Decimal) -> Decimal:
    """Return what one reciprocating cycle turns the file on, in turns counter-clockwise (negative: clockwise).

    Derived. A reciprocating file's speed in rpm therefore does not tell its turns.

    Raises:
        ValueError: an angle is below 0 or above ten turns.

    """
    zero_to("Angle counter-clockwise", counterclockwise_deg, MOST_DEGREES, "degrees")
    zero_to("Angle clockwise", clockwise_deg, MOST_DEGREES, "degrees")
    return (counterclockwise_deg - clockwise_deg) / 360


def gf_cm(n_cm: Decimal) -> Decimal:
    """Return a torque in gf·cm from one in N·cm (derived).

    Raises:
        ValueError: the torque is not above 0.

    """
    return above_zero("Torque", n_cm, "N·cm") * GF_PER_N


def n_cm(gf_cm: Decimal) -> Decimal:
    """Return a torque in N·cm from one in gf·cm (derived).

    Raises:
        ValueError: the torque is not above 0.

    """
    return above_zero("Torque", gf_cm, "gf·cm") / GF_PER_N


def uses(log: Iterable[Use], file: str, counted: Counted) -> int:
    """Count the uses of a file: in one canal, or in one tooth, it counts once at a visit however often it went in."""
    mine = [use for use in log if use.file == file]
    if counted is Counted.CANAL:
        return len({(use.visit, use.tooth, use.canal) for use in mine})
    return len({(use.visit, use.tooth) for use in mine})
