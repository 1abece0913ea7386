"""One canal as a drawing to scale: cut along its axis, crown side up, its width drawn wider than its length.

It shows a scene: at length the bounds as a pair of calipers, up the canal as lines with hatching between them; where
gauging files were held; the master apical file; the cone; and, if it was logged, where the fill ends. Whatever is drawn
is named beside it, by its pattern or its sign, so that no colour is needed.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Final

from stepper.kinds.words import plain
from stepper.note.canal_beside import below, beside
from stepper.note.canal_frame import (
    APART_MM,
    BEYOND_MM,
    BOTTOM,
    DOT,
    HALF,
    HATCH_MM,
    LEFT,
    LENGTH,
    MIDDLE,
    RIGHT,
    ROW,
    SHORT_MM,
    SIZE,
    SMALL,
    TICK,
    TITLE,
    TOP,
    UNIT,
    WIDTH,
    Frame,
    clipped,
    inside,
    placed,
    shown,
    wall,
    width_ticks,
)
from stepper.note.canal_legend import CONE_DASHES, CUT_DASHES, LEAST_DASHES, MOST_DASHES, bounds_at_length, keys
from stepper.note.scene import Line, Profile, Scene, widths_at
from stepper.note.vector import BLACK, GREY, PALE, Drawing, Point, box, cut


def canal_svg(scene: Scene, fill_short_mm: Decimal | None, frame: Frame, title: str, told: str) -> str:
    """Draw a canal as a whole SVG document."""
    sheet = Drawing(WIDTH, title, told)
    sheet.words((Decimal(0), Decimal(4)), cut(title, WIDTH, TITLE), TITLE, bold=True)
    _axes(sheet, frame)
    for profile in shown(scene):
        if profile.sign == "C":
            _body(sheet, profile, frame)
    _bounds(sheet, scene, frame)
    for profile in shown(scene):
        _instrument(sheet, profile, frame)
    _signs(sheet, shown(scene), frame)
    _stops(sheet, scene, frame)
    if fill_short_mm is not None and inside(fill_short_mm):
        _fill(sheet, frame.down(fill_short_mm))
    side = beside(sheet, keys(scene, fill_short_mm, shown(scene), (SHORT_MM, BEYOND_MM)))
    low = _calipers(sheet, scene, frame, max(BOTTOM + Decimal("5.9"), side + HALF))
    return sheet.svg(below(sheet, scene.caveat, low + 1))


def _axes(sheet: Drawing, frame: Frame) -> None:
    """Draw the axis of length at the left and that of width below, and length itself across."""
    sheet.begin("axis-length")
    sheet.line([(LEFT, TOP), (LEFT, BOTTOM)])
    for mm in range(int(SHORT_MM) + 1):
        down = frame.down(Decimal(mm))
        sheet.line([(LEFT - TICK, down), (LEFT, down)])
        if mm % 2 == 0:
            sheet.words((LEFT - Decimal("1.4"), down + Decimal("0.9")), str(mm), SIZE, anchor="end")
    times = f" ({frame.stretch} times wider)" if frame.stretch > 1 else ""
    text = f"To scale. Left mm from length, below mm wide{times}."
    sheet.words((Decimal(0), TOP - Decimal("3.7")), text, SIZE)
    sheet.words((MIDDLE, TOP - HALF), "crown", SMALL, anchor="middle")
    sheet.end()
    sheet.line([(LEFT, LENGTH), (RIGHT, LENGTH)], "0.15", "0.8 0.8", GREY)
    sheet.begin("axis-width")
    sheet.line([(LEFT, BOTTOM), (RIGHT, BOTTOM)])
    for wide in width_ticks(frame):
        for side in (-1, 1) if wide else (1,):
            across = MIDDLE + side * frame.half(wide)
            sheet.line([(across, BOTTOM), (across, BOTTOM + TICK)])
            sheet.words((across, UNIT), plain(wide), SIZE, anchor="middle")
    sheet.end()


def _body(sheet: Drawing, profile: Profile, frame: Frame) -> None:
    line = clipped(placed(profile))
    if line:
        sheet.begin("cone")
        sheet.shape([*wall(line, frame, -1), *reversed(wall(line, frame, 1))], PALE)
        sheet.end()


def _instrument(sheet: Drawing, profile: Profile, frame: Frame) -> None:
    """Draw the outline of an instrument, open towards the crown; its sign stands above it."""
    line = clipped(placed(profile))
    if not line:
        return
    solid = profile.sign == "M"
    sheet.begin(f"outline-{profile.sign}")
    left, right = wall(line, frame, -1), wall(line, frame, 1)
    dashes = "" if solid else CONE_DASHES if profile.sign == "C" else CUT_DASHES
    sheet.line([*reversed(left), *right], "0.35" if solid else "0.3", dashes)
    sheet.end()


def _signs(sheet: Drawing, profiles: Sequence[Profile], frame: Frame) -> None:
    """Write the signs of instruments: of master apical file and cone above, of files that cut into their walls."""
    for profile in profiles:
        line = clipped(placed(profile))
        if line and profile.sign in "MC":
            across, down = wall(line, frame, -1 if profile.sign == "M" else 1)[-1]
            sheet.words((across, down - Decimal("0.7")), profile.sign, SIZE, anchor="middle", bold=True)
        elif line:
            _sign_of_cut(sheet, profile.sign, line, frame)


def _sign_of_cut(sheet: Drawing, sign: str, line: Line, frame: Frame) -> None:
    """Write the sign of a file that cut, each file's at another height: walls lie close together."""
    x = max(line[-1][0] - APART_MM * (1 + ord(sign) - ord("A")), line[0][0])
    across, down = MIDDLE + frame.half(widths_at(line, x)[0]), frame.down(x)
    sheet.shape(box(across - 1, down - Decimal("1.2"), across + 1, down + Decimal("1.2")), "#fff")
    sheet.words((across, down + Decimal("0.85")), sign, SIZE, anchor="middle", bold=True)


def _bounds(sheet: Drawing, scene: Scene, frame: Frame) -> None:
    """Draw both bounds up the canal, with hatching where the narrowest width lies between them."""
    if not scene.has_bounds:
        return
    for part, line, dashes in (("at-least", scene.lower, LEAST_DASHES), ("at-most", scene.upper, MOST_DASHES)):
        drawn = [one for one in clipped(line) if one[1]]
        if len(drawn) > 1:
            sheet.begin(part)
            for side in (-1, 1):
                sheet.line(wall(tuple(drawn), frame, side), "0.25", dashes)
            sheet.end()
    sheet.begin("between")
    for count in range(int(SHORT_MM / HATCH_MM) + 1):
        x = count * HATCH_MM
        most = scene.most_mm(x)
        for side in (-1, 1) if most is not None else ():
            inner, outer = frame.half(scene.least_mm(x) or Decimal(0)), frame.half(most or Decimal(0))
            sheet.line([(MIDDLE + side * inner, frame.down(x)), (MIDDLE + side * outer, frame.down(x))], "0.12")
    sheet.end()


def _stops(sheet: Drawing, scene: Scene, frame: Frame) -> None:
    """Draw each file that was held as a bar as wide as its tip, where it came to rest; then their numbers over them."""
    seen = [(number, stop) for number, stop in enumerate(scene.stops, start=1) if inside(stop.short_mm)]
    for number, stop in seen:
        half, down = frame.half(stop.diameter_mm), frame.down(stop.short_mm)
        sheet.begin(f"stop-{number}")
        sheet.line([(MIDDLE - half, down), (MIDDLE + half, down)], "0.6")
        for side in (-1, 1):
            sheet.line([(MIDDLE + side * half, down - TICK), (MIDDLE + side * half, down + TICK)], "0.4")
        sheet.end()
    placed: list[Point] = []
    for number, stop in seen:
        across, down = _free(placed, frame.down(stop.short_mm))
        placed.append((across, down))
        sheet.begin(f"number-{number}")
        sheet.ring((across, down), DOT)
        sheet.words((across, down + Decimal("0.85")), str(number), SMALL, anchor="middle")
        sheet.end()


def _free(placed: Sequence[Point], down: Decimal) -> Point:
    """Give the place at a height nearest to the middle where a number covers no other."""
    places = (MIDDLE + count // 2 * 2 * DOT * (-1) ** count for count in range(1, 2 * len(placed) + 4))
    clear = (x for x in places if all(abs(x - a) >= 2 * DOT or abs(down - b) >= 2 * DOT for a, b in placed))
    return next(clear), down


def _fill(sheet: Drawing, down: Decimal) -> None:
    """Draw where the fill ends: a thick bar with its sign at the edge."""
    sheet.begin("fill")
    sheet.line([(RIGHT - 3, down), (RIGHT, down)], "0.8")
    sheet.shape([(RIGHT - 5, down), (RIGHT - 3, down - 1), (RIGHT - 3, down + 1)], BLACK)
    sheet.words((RIGHT + HALF, down + Decimal("0.9")), "F", SIZE, bold=True)
    sheet.end()


def _calipers(sheet: Drawing, scene: Scene, frame: Frame, down: Decimal) -> Decimal:
    """Draw what gauging proves at length as bars below, to the same scale; tell how far down they go."""
    bounded = scene.most_mm(Decimal(0)) is not None
    for part, wide, said in bounds_at_length(scene):
        half = frame.half(wide)
        sheet.begin(f"caliper-{part}")
        sheet.line([(MIDDLE - half, down), (MIDDLE + half, down)], "0.3", _DASHES[part])
        for side in (-1, 1):
            across = MIDDLE + side * half
            sheet.line([(across, down - 1), (across, down + 1)], "0.4")
            if part == "least" and not bounded:
                _arrow(sheet, across, down, side)
        sheet.words((MIDDLE + half + 3, down + Decimal("0.9")), said, SIZE)
        sheet.end()
        down += ROW
    return down


_DASHES: Final = {"least": LEAST_DASHES, "most": MOST_DASHES, "tip-held": ""}


def _arrow(sheet: Drawing, across: Decimal, down: Decimal, side: int) -> None:
    """Draw an arrow outward: so wide or wider."""
    end = across + side * 2
    sheet.line([(across, down), (end, down)], "0.3")
    sheet.line([(end - side, down - 1), (end, down), (end - side, down + 1)], "0.3")
