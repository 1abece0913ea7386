"""What part of a canal is drawn, and how large: places and widths of the canal as places on the sheet, all in mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from stepper.note.scene import Line, Profile, Scene, widths_at
from stepper.note.vector import Point

WIDTH: Final = Decimal(83)
"""Two of them stand side by side on A4."""

SHORT_MM, BEYOND_MM = Decimal(8), Decimal(1)
"""How much of a canal is drawn: so far up from length, and so far beyond it."""

MM_PER_MM: Final = Decimal(3)
"""Of the drawing for one of the canal's length."""

STRETCHES: Final = (10, 8, 6, 4, 2, 1)
"""How many times wider than long it is drawn, the widest first; the first that has room."""

TOP, LEFT, RIGHT = Decimal(11), Decimal(7), Decimal(38)
MIDDLE: Final = (LEFT + RIGHT) / 2
LENGTH: Final = TOP + SHORT_MM * MM_PER_MM
BOTTOM: Final = LENGTH + BEYOND_MM * MM_PER_MM
UNIT: Final = BOTTOM + Decimal("3.2")
BESIDE: Final = Decimal("42.5")
"""Where the words begin that name what is drawn."""

SMALL, SIZE, TITLE = Decimal("2.2"), Decimal("2.4"), Decimal("3.2")
ROW: Final = Decimal("2.9")
SWATCH: Final = Decimal("5.4")
HATCH_MM: Final = Decimal("0.25")
HALF: Final = Decimal("0.5")
TICK: Final = Decimal("0.8")
APART_MM: Final = Decimal("1.2")
DOT: Final = Decimal("1.4")


@dataclass(frozen=True, slots=True)
class Frame:
    """How many mm of the drawing one mm of width takes; the same for every canal of a note."""

    stretch: int

    def down(self, short_mm: Decimal) -> Decimal:
        """Give how far down a place in the canal is drawn."""
        return LENGTH - short_mm * MM_PER_MM

    def half(self, wide_mm: Decimal) -> Decimal:
        """Give how far from the middle a wall is drawn."""
        return wide_mm * MM_PER_MM * self.stretch / 2

    @property
    def widest_mm(self) -> Decimal:
        """The largest width that has room."""
        return (RIGHT - LEFT) / (MM_PER_MM * self.stretch)


def frame_for(scenes: Sequence[Scene]) -> Frame:
    """Choose how wide canals are drawn, so that all of them have room at one scale."""
    widest = max((width for scene in scenes for _, width in _drawn_lines(scene)), default=Decimal(0))
    fitting = (Frame(one) for one in STRETCHES)
    return next((one for one in fitting if one.widest_mm >= widest), Frame(STRETCHES[-1]))


def shown(scene: Scene) -> tuple[Profile, ...]:
    """Give the instruments drawn: master apical file and cone; the last files that cut while none was declared."""
    ended = tuple(one for one in scene.profiles if one.sign in "MC")
    return ended if any(one.sign == "M" for one in ended) else scene.profiles


def inside(short_mm: Decimal) -> bool:
    """Tell whether a place is in the part that is drawn."""
    return -BEYOND_MM <= short_mm <= SHORT_MM


def _drawn_lines(scene: Scene) -> Iterator[tuple[Decimal, Decimal]]:
    """Give every corner that is drawn."""
    for profile in shown(scene):
        yield from clipped(placed(profile))
    if scene.has_bounds:
        yield from clipped(scene.lower)
        yield from clipped(scene.upper)
    yield from ((one.short_mm, one.diameter_mm) for one in scene.stops if inside(one.short_mm))
    if scene.tip_held is not None:
        yield (Decimal(0), scene.tip_held)


def placed(profile: Profile) -> Line:
    """Give an instrument's widths by their places in the canal."""
    return tuple((x + profile.tip_short_mm, width) for x, width in profile.points)


def clipped(line: Line) -> Line:
    """Give the part of a line that is drawn, with corners at its ends."""
    if not line:
        return ()
    there = {x for x, _ in line}
    ends = [x for x in (-BEYOND_MM, SHORT_MM) if line[0][0] < x < line[-1][0] and x not in there]
    corners = [*line, *((x, width) for x in ends for width in widths_at(line, x))]
    return tuple(sorted((one for one in corners if inside(one[0])), key=lambda one: one[0]))


def wall(line: Line, frame: Frame, side: int) -> list[Point]:
    """Give one wall of what is so wide, the left (-1) or the right (1)."""
    return [(MIDDLE + side * frame.half(width), frame.down(x)) for x, width in line]


def width_ticks(frame: Frame) -> tuple[Decimal, ...]:
    """Give the widths with a figure at the axis."""
    step = next(one for one in map(Decimal, ("0.5", "1", "2", "5")) if frame.half(one) >= 5)
    return tuple(step * count for count in range(int(frame.widest_mm / step) + 1))
