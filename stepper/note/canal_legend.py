"""What is named beside the drawing of a canal, and the same in words for who does not see it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from enum import Enum, auto
from typing import Final

from stepper.kinds.words import plain
from stepper.note.phrases import full_stop
from stepper.note.scene import Profile, Scene, Stop

LEAST_DASHES, MOST_DASHES = "0.4 0.6", "1.6 0.7"
CONE_DASHES, CUT_DASHES = "0.3 0.7", "2 0.6 0.4 0.6"

NO_BOUNDS: Final = "No bounds are known from gauging."

_HUNDREDTH: Final = Decimal("0.01")


class Kind(Enum):
    """What a key looks like."""

    LINE = auto()
    BETWEEN = auto()
    STOP = auto()
    CONE = auto()
    FILL = auto()
    WORDS = auto()


@dataclass(frozen=True, slots=True)
class Key:
    """What one pattern or sign stands for."""

    kind: Kind
    text: str
    sign: str = ""
    dashes: str = ""
    wide: str = "0.25"


def keys(
    scene: Scene, fill_short_mm: Decimal | None, shown: Sequence[Profile], part: tuple[Decimal, Decimal]
) -> list[Key]:
    """Name everything that is drawn; `part` is how far up and how far beyond length a canal is drawn."""
    found = [_instrument(one, part) for one in shown]
    if fill_short_mm is not None:
        found.append(Key(Kind.FILL, f"fill ends {where(fill_short_mm)}{_off(fill_short_mm, part)}", "F"))
    for number, stop in enumerate(scene.stops, start=1):
        found.append(Key(Kind.STOP, f"{stopped(stop)}{_off(stop.short_mm, part)}", str(number)))
    return [*found, *_bounds(scene)]


def _instrument(one: Profile, part: tuple[Decimal, Decimal]) -> Key:
    text = f"{instrument(one)}{_off(one.tip_short_mm, part)}"
    if one.sign == "C":
        return Key(Kind.CONE, text, "C", CONE_DASHES)
    solid = one.sign == "M"
    return Key(Kind.LINE, text, one.sign, "" if solid else CUT_DASHES, "0.35" if solid else "0.3")


def _bounds(scene: Scene) -> Iterator[Key]:
    if not scene.has_bounds:
        yield Key(Kind.WORDS, scene.no_bounds or NO_BOUNDS)
        return
    if any(width for _, width in scene.lower):
        yield Key(Kind.LINE, "at least so wide", dashes=LEAST_DASHES)
    if scene.upper:
        yield Key(Kind.LINE, "at most so wide", dashes=MOST_DASHES)
        yield Key(Kind.BETWEEN, "narrowest width in here")


def _off(short_mm: Decimal, part: tuple[Decimal, Decimal]) -> str:
    """Say of what lies outside of the part that is drawn that it does."""
    return "" if -part[1] <= short_mm <= part[0] else " (not in this part)"


def instrument(one: Profile) -> str:
    """Name an instrument and where its tip was."""
    return f"{one.name}, tip {where(one.tip_short_mm)}"


def stopped(one: Stop) -> str:
    """Name a gauging file that was held and where."""
    return f"{one.name} {'held' if one.short_mm == 0 else 'stopped'} {where(one.short_mm)}"


def where(short_mm: Decimal) -> str:
    """Say a place in the canal."""
    if not short_mm:
        return "at length"
    return f"{plain(abs(short_mm))} mm {'short' if short_mm > 0 else 'beyond'}"


def bounds_at_length(scene: Scene) -> list[tuple[str, Decimal, str]]:
    """Give what gauging proves at length: its name, its width, and the words for it, rounded outward."""
    zero, found = Decimal(0), []
    least, most = scene.least_mm(zero), scene.most_mm(zero)
    if scene.has_bounds and least is not None:
        low = least.quantize(_HUNDREDTH, ROUND_FLOOR)
        said = f"at least {low} mm" if most is not None else f"{low} mm or wider"
        found.append(("least", least, f"at length, {said}"))
    if scene.has_bounds and most is not None:
        found.append(("most", most, f"at length, at most {most.quantize(_HUNDREDTH, ROUND_CEILING)} mm"))
    if scene.tip_held is not None:
        held = scene.tip_held.quantize(_HUNDREDTH, ROUND_CEILING)
        found.append(("tip-held", scene.tip_held, f"at most {held} mm if held at the tip"))
    return found


def told(scene: Scene, fill_short_mm: Decimal | None, shown: Sequence[Profile]) -> str:
    """Say in plain sentences what the drawing shows."""
    length = f", working length {plain(scene.length_mm)} mm" if scene.length_mm is not None else ""
    said = [f"{scene.canal}{length}, drawn to scale"]
    if scene.has_bounds or scene.tip_held is not None:
        said += [f"narrowest width {words}" for _, _, words in bounds_at_length(scene)]
    said += [scene.no_bounds or NO_BOUNDS] if not scene.has_bounds else []
    said += [f"gauging file {stopped(one)}" for one in scene.stops]
    said += [instrument(one) for one in shown]
    said += [f"the fill ends {where(fill_short_mm)}"] if fill_short_mm is not None else []
    return " ".join(full_stop(_capital(one)) for one in (*said, scene.caveat) if one)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
