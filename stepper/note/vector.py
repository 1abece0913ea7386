"""A drawing as SVG: lines, shapes and words in mm, nothing else. The same calls give the same bytes.

There is no script, style sheet, address, font file or name that another drawing on the same page could use as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final, TypeAlias

from stepper.lines.refusal import visible

Point: TypeAlias = tuple[Decimal, Decimal]
"""Across from the left and down from the top, in mm."""

LETTER: Final = Decimal("0.56")
"""The width of a letter at most, on the average of a line, by its size: sans-serif may be any font."""

BLACK, GREY, LINES, PALE = "#000", "#555", "#aaa", "#ddd"

_HUNDREDTH: Final = Decimal("0.01")
_SIGNS: Final = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"}


class Drawing:
    """A sheet of so many mm, with a title and what it shows in words."""

    def __init__(self, width: Decimal, title: str, told: str) -> None:
        self.width = width
        self._head = f"<title>{words(title)}</title><desc>{words(told)}</desc>"
        self._name = words(title)
        self._parts: list[str] = []

    def begin(self, part: str) -> None:
        """Begin a part: what follows belongs to it until `end`."""
        self._parts.append(f'<g data-part="{words(part)}">')

    def end(self) -> None:
        """End the part."""
        self._parts.append("</g>")

    def line(self, points: Sequence[Point], wide: str = "0.2", dashes: str = "", colour: str = BLACK) -> None:
        """Draw a line through points."""
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        self._parts.append(
            f'<path d="{_path(points)}" fill="none" stroke="{colour}" stroke-width="{wide}"{dashed}/>',
        )

    def shape(self, points: Sequence[Point], fill: str, wide: str = "0") -> None:
        """Draw a filled shape, with an outline where it is given a width."""
        outline = f' stroke="{BLACK}" stroke-width="{wide}"' if wide != "0" else ""
        self._parts.append(f'<path d="{_path(points)}Z" fill="{fill}"{outline}/>')

    def ring(self, at: Point, radius: Decimal) -> None:
        """Draw a circle, white inside."""
        across, down = map(figure, at)
        self._parts.append(
            f'<circle cx="{across}" cy="{down}" r="{figure(radius)}" fill="#fff" stroke="{BLACK}" stroke-width="0.2"/>'
        )

    def words(self, at: Point, text: str, size: Decimal, *, anchor: str = "start", bold: bool = False) -> None:
        """Write words on one line, beginning, ending or (`middle`) centred at a point of their base line."""
        across, down = map(figure, at)
        weight = ' font-weight="bold"' if bold else ""
        placed = f' text-anchor="{anchor}"' if anchor != "start" else ""
        self._parts.append(
            f'<text x="{across}" y="{down}" font-size="{figure(size)}"{placed}{weight}>{words(text)}</text>'
        )

    def svg(self, height: Decimal) -> str:
        """Give the whole as a document of its own, so high."""
        wide, high = figure(self.width), figure(height)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}" '
            f'role="img" aria-label="{self._name}" font-family="sans-serif" fill="{BLACK}">'
            f"{self._head}{''.join(self._parts)}</svg>"
        )


def figure(mm: Decimal) -> str:
    """Write a length in mm to hundredths, with no zeros that say nothing and no minus before none."""
    rounded = mm.quantize(_HUNDREDTH, ROUND_HALF_EVEN)
    return f"{rounded.normalize():f}" if rounded else "0"


def words(text: str) -> str:
    """Write words so that they are read as nothing else, with every sign shown."""
    return "".join(_SIGNS.get(sign, sign) for sign in visible(text))


def letters(width: Decimal, size: Decimal) -> int:
    """Tell how many letters of a size surely have room."""
    return int(width / (size * LETTER))


def cut(text: str, width: Decimal, size: Decimal) -> str:
    """Give as much of a text as has room on one line; what the drawing says in words has all of it."""
    shown, most = visible(text), letters(width, size)
    return shown if len(shown) <= most else f"{shown[: most - 1]}…"


def box(left: Decimal, top: Decimal, right: Decimal, bottom: Decimal) -> tuple[Point, ...]:
    """Give the corners of a box."""
    return ((left, top), (right, top), (right, bottom), (left, bottom))


def _path(points: Iterable[Point]) -> str:
    return "M" + "L".join(f"{figure(across)} {figure(down)}" for across, down in points)
