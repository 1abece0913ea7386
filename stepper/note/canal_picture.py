"""One canal as a drawing to scale: cut along its axis, crown side up, its width drawn wider than its length.

It shows a scene: at length the bounds as a pair of calipers, up the canal as lines with hatching between them; where
gauging files were held; the master apical file; the cone; and, if it was logged, where the fill ends. Whatever is drawn
is named beside it, by its pattern or its sign, so that no colour is needed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from stepper.kinds.words import plain
from stepper.note.canal_legend import (
    CONE_DASHES,
    CUT_DASHES,
    LEAST_DASHES,
    MOST_DASHES,
    Key,
    Kind,
    bounds_at_length,
    keys,
)
from stepper.note.legend import folded
from stepper.note.scene import Line, Profile, Scene, widths_at
from stepper.note.vector import BLACK, GREY, PALE, Drawing, Point, box, letters

WIDTH: Final = Decimal(83)
"""Two of them stand side by side on A4."""

SHORT_MM, BEYOND_MM = Decimal(8), Decimal(1)
"""How much of a canal is drawn: so far up from length, and so far beyond it."""

MM_PER_MM: Final = Decimal(3)
"""Of the drawing for one of the canal's length."""

STRETCHES: Final = (10, 8, 6, 4, 2, 1)
"""How many times wider than long it is drawn, the widest first; the first that has room."""

_TOP, _LEFT, _RIGHT = Decimal("11.5"), Decimal(7), Decimal(38)
_MIDDLE: Final = (_LEFT + _RIGHT) / 2
_LENGTH: Final = _TOP + SHORT_MM * MM_PER_MM
_BOTTOM: Final = _LENGTH + BEYOND_MM * MM_PER_MM
_UNIT: Final = _BOTTOM + Decimal("3.2")
_BESIDE: Final = Decimal("42.5")
"""Where the words begin that name what is drawn."""

_SMALL, _SIZE, _TITLE = Decimal("2.2"), Decimal("2.4"), Decimal("3.2")
_ROW: Final = Decimal("2.9")
_SWATCH: Final = Decimal("5.4")
_HATCH_MM: Final = Decimal("0.25")
_HALF: Final = Decimal("0.5")
_TICK: Final = Decimal("0.8")
_DOT: Final = Decimal("1.4")


@dataclass(frozen=True, slots=True)
class Frame:
    """How many mm of the drawing one mm of width takes; the same for every canal of a note."""

    stretch: int

    def down(self, short_mm: Decimal) -> Decimal:
        """Give how far down a place in the canal is drawn."""
        return _LENGTH - short_mm * MM_PER_MM

    def half(self, wide_mm: Decimal) -> Decimal:
        """Give how far from the middle a wall is drawn."""
        return wide_mm * MM_PER_MM * self.stretch / 2

    @property
    def widest_mm(self) -> Decimal:
        """The largest width that has room."""
        return (_RIGHT - _LEFT) / (MM_PER_MM * self.stretch)


def frame_for(scenes: Sequence[Scene]) -> Frame:
    """Choose how wide canals are drawn, so that all of them have room at one scale."""
    widest = max((width for scene in scenes for _, width in _drawn_lines(scene)), default=Decimal(0))
    fitting = (Frame(one) for one in STRETCHES)
    return next((one for one in fitting if one.widest_mm >= widest), Frame(STRETCHES[-1]))


def canal_svg(scene: Scene, fill_short_mm: Decimal | None, frame: Frame, title: str, told: str) -> str:
    """Draw a canal as a whole SVG document."""
    sheet = Drawing(WIDTH, title, told)
    sheet.words((Decimal(0), Decimal(4)), title, _TITLE, bold=True)
    _axes(sheet, frame)
    for profile in shown(scene):
        if profile.sign == "C":
            _body(sheet, profile, frame)
    _bounds(sheet, scene, frame)
    for profile in shown(scene):
        _instrument(sheet, profile, frame)
    _stops(sheet, scene, frame)
    if fill_short_mm is not None and _inside(fill_short_mm):
        _fill(sheet, frame.down(fill_short_mm))
    beside = _beside(sheet, keys(scene, fill_short_mm, shown(scene), (SHORT_MM, BEYOND_MM)))
    low = _calipers(sheet, scene, frame, max(_BOTTOM + Decimal("6.4"), beside + _HALF))
    return sheet.svg(_below(sheet, scene.caveat, low + 1))


def shown(scene: Scene) -> tuple[Profile, ...]:
    """Give the instruments drawn: master apical file and cone; the last files that cut while none was declared."""
    ended = tuple(one for one in scene.profiles if one.sign in "MC")
    return ended if any(one.sign == "M" for one in ended) else scene.profiles


def _inside(short_mm: Decimal) -> bool:
    return -BEYOND_MM <= short_mm <= SHORT_MM


def _drawn_lines(scene: Scene) -> Iterator[tuple[Decimal, Decimal]]:
    """Give every corner that is drawn."""
    for profile in shown(scene):
        yield from clipped(_placed(profile))
    if scene.has_bounds:
        yield from clipped(scene.lower)
        yield from clipped(scene.upper)
    yield from ((one.short_mm, one.diameter_mm) for one in scene.stops if _inside(one.short_mm))
    if scene.tip_held is not None:
        yield (Decimal(0), scene.tip_held)


def _placed(profile: Profile) -> Line:
    return tuple((x + profile.tip_short_mm, width) for x, width in profile.points)


def clipped(line: Line) -> Line:
    """Give the part of a line that is drawn, with corners at its ends."""
    if not line:
        return ()
    ends = [x for x in (-BEYOND_MM, SHORT_MM) if line[0][0] < x < line[-1][0]]
    corners = [*line, *((x, width) for x in ends for width in widths_at(line, x)[:1])]
    return tuple(sorted((one for one in corners if _inside(one[0])), key=lambda one: one[0]))


def _wall(line: Line, frame: Frame, side: int) -> list[Point]:
    return [(_MIDDLE + side * frame.half(width), frame.down(x)) for x, width in line]


def _axes(sheet: Drawing, frame: Frame) -> None:
    """Draw the axis of length at the left and that of width below, and length itself across."""
    sheet.begin("axis-length")
    sheet.line([(_LEFT, _TOP), (_LEFT, _BOTTOM)])
    for mm in range(int(SHORT_MM) + 1):
        down = frame.down(Decimal(mm))
        sheet.line([(_LEFT - _TICK, down), (_LEFT, down)])
        if mm % 2 == 0:
            sheet.words((_LEFT - Decimal("1.4"), down + Decimal("0.9")), str(mm), _SIZE, anchor="end")
    times = f"drawn {frame.stretch} times wider than long" if frame.stretch > 1 else "width and length alike"
    sheet.words((Decimal(0), _TOP - 4), f"mm from length; to scale, {times}, every canal alike", _SIZE)
    sheet.words((_MIDDLE, _TOP - _HALF), "crown", _SMALL, anchor="middle")
    sheet.end()
    sheet.line([(_LEFT, _LENGTH), (_RIGHT, _LENGTH)], "0.15", "0.8 0.8", GREY)
    sheet.begin("axis-width")
    sheet.line([(_LEFT, _BOTTOM), (_RIGHT, _BOTTOM)])
    for wide in width_ticks(frame):
        for side in (-1, 1) if wide else (1,):
            across = _MIDDLE + side * frame.half(wide)
            sheet.line([(across, _BOTTOM), (across, _BOTTOM + _TICK)])
            sheet.words((across, _UNIT), plain(wide), _SIZE, anchor="middle")
    sheet.words((_RIGHT + 3, _UNIT), "mm wide", _SIZE)
    sheet.end()


def width_ticks(frame: Frame) -> tuple[Decimal, ...]:
    """Give the widths with a figure at the axis."""
    step = next(one for one in map(Decimal, ("0.5", "1", "2", "5")) if frame.half(one) >= 5)
    return tuple(step * count for count in range(int(frame.widest_mm / step) + 1))


def _body(sheet: Drawing, profile: Profile, frame: Frame) -> None:
    line = clipped(_placed(profile))
    if line:
        sheet.begin("cone")
        sheet.shape([*_wall(line, frame, -1), *reversed(_wall(line, frame, 1))], PALE)
        sheet.end()


def _instrument(sheet: Drawing, profile: Profile, frame: Frame) -> None:
    """Draw the outline of an instrument, open towards the crown; its sign stands above it."""
    line = clipped(_placed(profile))
    if not line:
        return
    solid = profile.sign == "M"
    sheet.begin(f"outline-{profile.sign}")
    left, right = _wall(line, frame, -1), _wall(line, frame, 1)
    dashes = "" if solid else CONE_DASHES if profile.sign == "C" else CUT_DASHES
    sheet.line([*reversed(left), *right], "0.35" if solid else "0.3", dashes)
    top = left[-1] if solid else right[-1]
    sheet.words((top[0], top[1] - Decimal("0.7")), profile.sign, _SIZE, anchor="middle", bold=True)
    sheet.end()


def _bounds(sheet: Drawing, scene: Scene, frame: Frame) -> None:
    """Draw both bounds up the canal, with hatching where the narrowest width lies between them."""
    if not scene.has_bounds:
        return
    for part, line, dashes in (("at-least", scene.lower, LEAST_DASHES), ("at-most", scene.upper, MOST_DASHES)):
        drawn = [one for one in clipped(line) if one[1]]
        if len(drawn) > 1:
            sheet.begin(part)
            for side in (-1, 1):
                sheet.line(_wall(tuple(drawn), frame, side), "0.25", dashes)
            sheet.end()
    sheet.begin("between")
    for count in range(int(SHORT_MM / _HATCH_MM) + 1):
        x = count * _HATCH_MM
        most = scene.most_mm(x)
        for side in (-1, 1) if most is not None else ():
            inner, outer = frame.half(scene.least_mm(x) or Decimal(0)), frame.half(most or Decimal(0))
            sheet.line([(_MIDDLE + side * inner, frame.down(x)), (_MIDDLE + side * outer, frame.down(x))], "0.12")
    sheet.end()


def _stops(sheet: Drawing, scene: Scene, frame: Frame) -> None:
    """Draw each file that was held as a bar as wide as its tip, where it came to rest, with its number."""
    placed: list[Point] = []
    for number, stop in enumerate(scene.stops, start=1):
        if not _inside(stop.short_mm):
            continue
        half, down = frame.half(stop.diameter_mm), frame.down(stop.short_mm)
        sheet.begin(f"stop-{number}")
        sheet.line([(_MIDDLE - half, down), (_MIDDLE + half, down)], "0.6")
        for side in (-1, 1):
            sheet.line([(_MIDDLE + side * half, down - _TICK), (_MIDDLE + side * half, down + _TICK)], "0.4")
        across = next(
            at
            for at in (_MIDDLE + count * 2 * _DOT * (-1) ** count for count in range(len(scene.stops) + 1))
            if all(abs(at - x) >= 2 * _DOT or abs(down - y) >= 2 * _DOT for x, y in placed)
        )
        placed.append((across, down))
        sheet.ring((across, down), _DOT)
        sheet.words((across, down + Decimal("0.85")), str(number), _SMALL, anchor="middle")
        sheet.end()


def _fill(sheet: Drawing, down: Decimal) -> None:
    """Draw where the fill ends: a thick bar with its sign at the edge."""
    sheet.begin("fill")
    sheet.line([(_RIGHT - 3, down), (_RIGHT, down)], "0.8")
    sheet.shape([(_RIGHT - 5, down), (_RIGHT - 3, down - 1), (_RIGHT - 3, down + 1)], BLACK)
    sheet.words((_RIGHT + _HALF, down + Decimal("0.9")), "F", _SIZE, bold=True)
    sheet.end()


def _calipers(sheet: Drawing, scene: Scene, frame: Frame, down: Decimal) -> Decimal:
    """Draw what gauging proves at length as bars below, to the same scale; tell how far down they go."""
    bounded = scene.most_mm(Decimal(0)) is not None
    for part, wide, said in bounds_at_length(scene):
        half = frame.half(wide)
        sheet.begin(f"caliper-{part}")
        sheet.line([(_MIDDLE - half, down), (_MIDDLE + half, down)], "0.3", _DASHES[part])
        for side in (-1, 1):
            across = _MIDDLE + side * half
            sheet.line([(across, down - 1), (across, down + 1)], "0.4")
            if part == "least" and not bounded:
                _arrow(sheet, across, down, side)
        sheet.words((_MIDDLE + half + 3, down + Decimal("0.9")), said, _SIZE)
        sheet.end()
        down += _ROW
    return down


_DASHES: Final = {"least": LEAST_DASHES, "most": MOST_DASHES, "tip-held": ""}


def _arrow(sheet: Drawing, across: Decimal, down: Decimal, side: int) -> None:
    """Draw an arrow outward: so wide or wider."""
    end = across + side * 2
    sheet.line([(across, down), (end, down)], "0.3")
    sheet.line([(end - side, down - 1), (end, down), (end - side, down + 1)], "0.3")


def _beside(sheet: Drawing, named: Sequence[Key]) -> Decimal:
    """Name what is drawn, each beside its pattern; tell how far down it goes."""
    down = _TOP
    for key in named:
        if _BOTTOM - 2 * _ROW < down < _UNIT + _ROW:
            down = _UNIT + _ROW  # clear of the unit of the axis, which stands in between
        _swatch(sheet, key, down)
        left = _BESIDE if key.kind is Kind.WORDS else _BESIDE + _SWATCH
        for row in folded(key.text, letters(WIDTH - left, _SIZE)):
            sheet.words((left, down), row, _SIZE)
            down += _ROW
    return down


def _below(sheet: Drawing, caveat: str, down: Decimal) -> Decimal:
    """Say what is to be kept in mind; tell how far down it goes."""
    for row in folded(caveat, letters(WIDTH, _SIZE)):
        sheet.words((Decimal(0), down), row, _SIZE)
        down += _ROW
    return down - _ROW + 1


def _swatch(sheet: Drawing, key: Key, down: Decimal) -> None:
    left, right, middle = _BESIDE, _BESIDE + Decimal("4.6"), down - Decimal("0.9")
    match key.kind:
        case Kind.STOP:
            sheet.line([(left, middle), (right, middle)], "0.6")
            sheet.ring((left + Decimal("2.3"), middle), _DOT)
            sheet.words((left + Decimal("2.3"), down), key.sign, _SMALL, anchor="middle")
        case Kind.BETWEEN:
            for count in range(4):
                level = down - Decimal("2") + count * Decimal("0.7")
                sheet.line([(left, level), (right, level)], "0.12")
        case Kind.CONE:
            sheet.shape(box(left, down - 2, right, down + _HALF), PALE)
            sheet.words((left + Decimal("2.3"), down), key.sign, _SIZE, anchor="middle", bold=True)
        case Kind.FILL:
            sheet.line([(left + Decimal("2.4"), middle), (right, middle)], "0.8")
            sheet.words((left, down), key.sign, _SIZE, bold=True)
        case Kind.LINE:
            sheet.words((left, down), key.sign, _SIZE, bold=True)
            begin = left + Decimal("2.6") if key.sign else left
            sheet.line([(begin, middle), (right, middle)], key.wide, key.dashes)
        case Kind.WORDS:
            pass
