"""A drawing read back from its SVG by an independent parser, in mm of the sheet, by the parts that it says it has."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal
from xml.etree import ElementTree as ET

D = Decimal
SVG = "{http://www.w3.org/2000/svg}"
PLAIN = {"svg", "g", "path", "circle", "text", "title", "desc"}
ATTRIBUTES = {
    *("width", "height", "viewBox", "role", "aria-label", "font-family", "fill", "data-part", "d", "stroke"),
    *("stroke-width", "stroke-dasharray", "cx", "cy", "r", "x", "y", "font-size", "font-weight", "text-anchor"),
}
Point = tuple[Decimal, Decimal]


@dataclass
class Part:
    """What one part of a drawing holds."""

    paths: list[list[Point]] = field(default_factory=list)
    texts: list[tuple[Point, str]] = field(default_factory=list)
    rings: list[Point] = field(default_factory=list)

    def text(self) -> list[str]:
        return [one for _, one in self.texts]


@dataclass
class Sheet:
    """A whole drawing; what belongs to no part is under the empty name, lanes one after another."""

    width: Decimal
    height: Decimal
    title: str
    told: str
    parts: dict[str, Part]
    lanes: list[Part]

    def words(self) -> list[str]:
        return [one for part in (*self.parts.values(), *self.lanes) for one in part.text()]

    def corners(self) -> list[Point]:
        return [point for part in (*self.parts.values(), *self.lanes) for path in part.paths for point in path]


def read(svg: str) -> Sheet:
    """Read a drawing; fails on anything but shapes and words, and on any address, script, style or shared name."""
    root = ET.fromstring(svg)
    for element in root.iter():
        assert element.tag.removeprefix(SVG) in PLAIN, element.tag
        assert set(element.attrib) <= ATTRIBUTES, element.attrib
        assert not any("url" in one or ":" in one for key, one in element.attrib.items() if key != "aria-label")
    assert root.attrib["font-family"] == "sans-serif"
    wide, high = root.attrib["width"], root.attrib["height"]
    assert wide.endswith("mm") and high.endswith("mm")
    width, height = D(wide[:-2]), D(high[:-2])
    assert root.attrib["viewBox"] == f"0 0 {width} {height}"
    title, told = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None and told is not None
    sheet = Sheet(width, height, title.text or "", told.text or "", {"": Part()}, [])
    for element in root:
        name = element.get("data-part")
        if name == "lane":
            sheet.lanes.append(Part())
            _take(element, sheet.lanes[-1])
        elif name is not None:
            assert name not in sheet.parts
            sheet.parts[name] = Part()
            _take(element, sheet.parts[name])
        else:
            _take([element], sheet.parts[""])
    return sheet


def _take(elements: object, part: Part) -> None:
    for one in elements:  # type: ignore[attr-defined]
        kind = one.tag.removeprefix(SVG)
        if kind == "path":
            part.paths.append([(D(x), D(y)) for x, y in re.findall(r"[ML](\S+) ([^LZ]+)", one.attrib["d"])])
        elif kind == "text":
            part.texts.append(((D(one.attrib["x"]), D(one.attrib["y"])), one.text or ""))
        elif kind == "circle":
            part.rings.append((D(one.attrib["cx"]), D(one.attrib["cy"])))
        else:
            assert kind in ("title", "desc"), kind


@dataclass(frozen=True)
class Canal:
    """The scales of a canal's drawing, as its own axes tell them."""

    zero_down: Decimal
    per_mm: Decimal
    middle: Decimal
    per_wide_mm: Decimal

    def place(self, point: Point) -> Decimal:
        """How far short of length a point is drawn."""
        return (self.zero_down - point[1]) / self.per_mm

    def width(self, point: Point) -> Decimal:
        """How wide a canal is that has its wall at a point."""
        return 2 * abs(point[0] - self.middle) / self.per_wide_mm


def scales(sheet: Sheet) -> Canal:
    """Read the axes: each figure stands at its tick."""
    long, wide = sheet.parts["axis-length"], sheet.parts["axis-width"]
    ticks = [path[0][1] for path in long.paths[1:]]
    per_mm = ticks[0] - ticks[1]
    assert all(ticks[0] - tick == count * per_mm for count, tick in enumerate(ticks))
    for (_, down), text in long.texts:
        if text.isdecimal():
            assert abs(down - D("0.9") - (ticks[0] - int(text) * per_mm)) < D("0.01")
    marks = {path[0][0] for path in wide.paths[1:]}
    figures = [(across, D(text)) for (across, _), text in wide.texts]
    assert {across for across, _ in figures} == marks
    middle = next(across for across, figure in figures if figure == 0)
    per_wide = {2 * abs(across - middle) / figure for across, figure in figures if figure}
    assert len(per_wide) == 1
    return Canal(ticks[0], per_mm, middle, per_wide.pop())
