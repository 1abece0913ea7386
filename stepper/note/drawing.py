"""A drawing of one canal in plain text, to scale, that needs no colour: how wide it is at which distance from length.

It stands upright, its tip below. Each row is a cut across the canal at the place written before it; what lies between
two rows, such as a stop, is shown in the nearer one, and the legend has its exact place. Where several things fall into
one cell the one that the legend lists first is seen: stops, then the width if a file was held at its tip, then the
instruments as given, then the bounds. Whatever is seen in no cell is listed with a word on where it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Final

from stepper.lines.refusal import visible
from stepper.note.canvas import (
    MM_PER_ROW,
    Cell,
    Mark,
    Scale,
    band,
    fitted,
    laid_over,
    margin,
    painted,
    places_mm,
    plain,
)
from stepper.note.legend import cells, folded, in_pairs
from stepper.note.scene import STOP_SIGNS, TIP_HELD_SIGN, Profile, Scene, Stop, widest_mm, widths_at

WIDTH, HEIGHT = 78, 18
"""Cells and rows that a page of text has on the smallest screen."""

LEAST_WIDTH, LEAST_HEIGHT = 60, 14
LEAST_ROWS: Final = 4
"""Rows that the canal itself has at least."""

_AROUND: Final = 3
"""Rows around the canal at least: title, axis, a legend of one row."""

_HUNDREDTH = Decimal("0.01")

ACROSS: Final = 4
"""Columns from one sign to the next where a tip is drawn across."""


@dataclass(frozen=True, slots=True)
class _Item:
    """Something that is drawn with one sign: what the legend calls it, and its cells."""

    mark: Mark
    text: str


@dataclass(frozen=True, slots=True)
class _Picture:
    """The canal drawn at one scale: bounds, what lies over them, and what is seen of all."""

    scale: Scale
    bands: Mapping[Cell, str]
    items: tuple[_Item, ...]
    seen: Mapping[Cell, str]


def draw(scene: Scene, width: int = WIDTH, height: int = HEIGHT, *, ascii_only: bool = False) -> tuple[str, ...]:
    """Draw a canal in rows of at most `width` cells, at most `height` of them, at the closest scale that has room.

    Nothing is ever left out: files or a caveat too many for a canal of four rows make it higher than was asked.

    Raises:
        ValueError: less room than 60 cells by 14 rows.

    """
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        raise ValueError(
            f"{width} x {height} is too small for the drawing of a canal: at least {LEAST_WIDTH} cells by "
            f"{LEAST_HEIGHT} rows are needed."
        )
    rows = _closest(scene, width, height, texture=":" if ascii_only else "░")
    return tuple(map(_ascii, rows) if ascii_only else rows)


def _closest(scene: Scene, width: int, height: int, texture: str) -> list[str]:
    """Draw at the closest scale of length that has room, or else at the least close one."""
    if scene.empty:
        nothing = f"{_clean(scene.canal)}: there is nothing to draw yet: no gauging, no file and no cone."
        return in_pairs([nothing, *_clean_all(scene.no_bounds)], width)
    scales = [one for one in MM_PER_ROW if len(places_mm(scene.span_mm, one)) >= LEAST_ROWS]
    for mm_per_row in scales:
        if len(places_mm(scene.span_mm, mm_per_row)) + _AROUND <= height:
            rows = _rows(scene, mm_per_row, width, texture)
            if len(rows) <= height:
                return rows
    return _rows(scene, scales[-1], width, texture)


def _rows(scene: Scene, mm_per_row: Decimal, width: int, texture: str) -> list[str]:
    """Draw at a scale of length: title, axis, canal, legend, caveat."""
    places = places_mm(scene.span_mm, mm_per_row)
    scale = fitted(len(places), width - margin(places) - 1, mm_per_row, widest_mm(scene, places))
    picture = _picture(scene, scale, texture)
    shown = [*folded(_title(scene, scale), width), *painted(scale, picture.seen)]
    if not picture.seen:
        shown = folded(f"{_clean(scene.canal)}: nothing lies within {plain(scene.span_mm)} mm of length.", width)
    return [*shown, *in_pairs(_entries(scene, picture, texture), width), *folded(_clean(scene.caveat), width)]


def _picture(scene: Scene, scale: Scale, texture: str) -> _Picture:
    bands: dict[Cell, str] = {}
    if scene.has_bounds:
        for row in range(scale.rows):
            x = scale.place_mm(row)
            shown = band(scene.least_mm(x), scene.most_mm(x), scale, texture)
            bands |= {(row, column): sign for column, sign in shown.items()}
    items = tuple(_items(scene, scale))
    return _Picture(scale, bands, items, laid_over(bands, [one.mark for one in items]))


def _items(scene: Scene, scale: Scale) -> Iterator[_Item]:
    """Give what is drawn over the bounds, first what is seen where several fall into one cell."""
    for sign, stop in zip(STOP_SIGNS, scene.stops, strict=False):
        row = scale.row(stop.short_mm) if stop.short_mm <= scene.span_mm else None
        taken = frozenset({(row, scale.column(stop.diameter_mm))} if row is not None else ())
        yield _Item(Mark(sign, taken), _named(stop))
    if scene.tip_held is not None:
        most = scene.tip_held.quantize(_HUNDREDTH, ROUND_CEILING)
        taken = frozenset({(0, scale.column(scene.tip_held))})
        yield _Item(Mark(TIP_HELD_SIGN, taken), f"at most {most} mm if held at the tip")
    for profile in scene.profiles:
        yield _Item(Mark(profile.sign, _profile_cells(profile, scale)), _named(profile))


def _profile_cells(profile: Profile, scale: Scale) -> frozenset[Cell]:
    """Give the wall of an instrument, and its tip across where it is short of length: it could hide in a wall."""
    widths = (widths_at(profile.points, scale.place_mm(row) - profile.tip_short_mm) for row in range(scale.rows))
    wall = {(row, scale.column(max(found))) for row, found in enumerate(widths) if found}
    tip = scale.row(profile.tip_short_mm)
    if tip is not None and 0 < profile.tip_short_mm <= scale.place_mm(scale.rows - 1):
        wall |= {(tip, column) for column in range(1, scale.column(profile.points[0][1]), ACROSS)}
    return frozenset(wall)


def _named(one: Stop | Profile) -> str:
    """Name a file and where its tip is."""
    if isinstance(one, Stop):
        word = "held" if one.short_mm == 0 else "stopped"
        return f"{_clean(one.name)} {word} {_where(one.short_mm)}"
    return f"{_clean(one.name)}, tip {_where(one.tip_short_mm)}"


def _where(short_mm: Decimal) -> str:
    if not short_mm:
        return "at length"
    return f"{plain(abs(short_mm))} mm {'short' if short_mm > 0 else 'beyond'}"


def _title(scene: Scene, scale: Scale) -> str:
    length = f", working length {scene.length_mm:f} mm" if scene.length_mm is not None else ""
    return (
        f"{_clean(scene.canal)}{length}. "
        f"To scale: a row {plain(scale.mm_per_row)} mm, a column {plain(scale.mm_per_column)} mm"
    )


def _entries(scene: Scene, picture: _Picture, texture: str) -> Iterator[str]:
    """Give the legend, in the order in which things are seen where several fall into one cell."""
    covered = False
    for item in picture.items:
        over = {picture.seen[cell] for cell in item.mark.cells} - {item.mark.sign}
        covered = covered or bool(over)
        yield f"{item.mark.sign} {item.text}{_unseen(item.mark, picture, over)}"
    yield from _bounds_entries(scene, picture, texture)
    covered = covered or any(sign in "[]=" and picture.seen[cell] != sign for cell, sign in picture.bands.items())
    if covered:
        yield "Same cell: the first listed shows"


def _unseen(mark: Mark, picture: _Picture, over: set[str]) -> str:
    if not mark.cells:
        return " (not on these rows)"
    if any(picture.seen[cell] == mark.sign for cell in mark.cells):
        return ""
    return f" (behind {', '.join(sorted(over))})"


def _bounds_entries(scene: Scene, picture: _Picture, texture: str) -> Iterator[str]:
    if not scene.has_bounds:
        yield from _clean_all(scene.no_bounds) or ["No bounds are known, so none are drawn."]
        return
    signs = set(picture.bands.values())
    if "]" in signs:
        yield f"[{texture}{texture}] narrowest width lies in here"
    if "=" in signs:
        yield "= narrowest width, bounds in one cell"
    if ">" in signs:
        yield "[- - > this or wider, NO UPPER BOUND"
    if any(scene.least_mm(picture.scale.place_mm(row)) is None for row in range(picture.scale.rows)):
        yield "From the axis on: nothing proved"
    yield f"Narrowest at length: {_span(scene)}"


def _span(scene: Scene) -> str:
    """Write the bounds at length, rounded outward."""
    least, most = scene.least_mm(Decimal(0)), scene.most_mm(Decimal(0))
    low = least.quantize(_HUNDREDTH, ROUND_FLOOR) if least is not None else None
    high = most.quantize(_HUNDREDTH, ROUND_CEILING) if most is not None else None
    if low is not None and high is not None:
        return f"{low}-{high} mm"
    if low is not None:
        return f"{low} mm or more"
    return f"{high} mm or less" if high is not None else "not known"


def _ascii(row: str) -> str:
    """Give a row without accents, and a question mark for every other sign that ASCII lacks: it gets no wider."""
    return "".join(sign for sign in row if cells(sign)).encode("ascii", "replace").decode()


def _clean(text: str) -> str:
    """Give a text on one line, with nothing in it that a terminal would obey."""
    return visible(" ".join(text.split()))


def _clean_all(text: str) -> list[str]:
    return [_clean(text)] if text else []
