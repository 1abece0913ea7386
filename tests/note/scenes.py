"""Invented scenes of a canal, and a reader of their drawings that goes by what stands on the page alone."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from string import ascii_uppercase

from hypothesis import strategies as st

from stepper.note.scene import Line, Profile, Scene, Stop

D = Decimal
NEAR = D("1e-9")
"""For what division leaves over."""

CAVEAT = "Round, straight canal assumed. A ledge, a curve, debris or an oval canal make both wrong."


def tapered(tip_mm: Decimal, taper: Decimal, cutting_mm: Decimal = Decimal(16)) -> Line:
    """Give the points of an instrument of constant taper, in mm per mm, over its cutting part (ISO 3630-1: 16 mm)."""
    return ((Decimal(0), tip_mm), (cutting_mm, tip_mm + taper * cutting_mm))


def file(name: str, sign: str, size: int, taper: str, short: str = "0") -> Profile:
    return Profile(name, sign, D(short), tapered(D(size) / 100, D(taper)))


FILES = (file("MAF 35/.04", "M", 35, "0.04"), file("cone 40/.04", "C", 40, "0.04"))
STOPS = (Stop("35/.02", D("0.5"), D("0.35")), Stop("40/.02", D("1.5"), D("0.40")))
LOWER: Line = ((D(0), D("0.28")), (D(5), D("0.53")), (D(16), D("1.2")))
UPPER: Line = ((D(0), D("0.44")), (D(1), D("0.44")), (D(1), D("0.5")), (D(2), D("0.5")))


def scene(span: str = "16", lower: Line = LOWER, upper: Line = UPPER, **more: object) -> Scene:
    """Make a scene with everything in it."""
    given: dict[str, object] = {
        "tip_held_mm": D("0.37"),
        "stops": STOPS,
        "profiles": FILES,
        "caveat": CAVEAT,
        **more,
    }
    return Scene("MB", D("20.5"), lower, upper, span_mm=D(span), **given)  # type: ignore[arg-type]


@dataclass
class Seen:
    """A drawing read back: mm per column as the axis says, rows by their place, and what stands beneath."""

    per_column: Decimal
    rows: dict[Decimal, str] = field(default_factory=dict)
    beneath: list[str] = field(default_factory=list)

    @property
    def cells(self) -> dict[tuple[Decimal, int], str]:
        """What is seen, by place and column; the upright of the axis is nothing seen."""
        found = {(x, at): sign for x, row in self.rows.items() for at, sign in enumerate(row) if sign != " "}
        return {cell: sign for cell, sign in found.items() if cell[1] or sign != "|"}


def read(rows: Sequence[str]) -> Seen:
    """Read a drawing back from its text."""
    top = next(at for at, row in enumerate(rows) if row.startswith("mm short"))
    axis = rows[top]
    zero = axis.index("|")
    ticks = [(found.start() - zero, D(found.group(1))) for found in re.finditer(r"\|([\d.]+)", axis)]
    seen = Seen(ticks[1][1] / ticks[1][0])
    assert all(width == column * seen.per_column for column, width in ticks)
    for at in range(top + 1, len(rows)):
        place = re.sub("crown|tip", "", rows[at][:zero])
        seen.rows[D(place.strip())] = rows[at][zero:]
        if rows[at].startswith("tip"):
            seen.beneath = list(rows[at + 1 :])
            break
    return seen


def legend(rows: Sequence[str]) -> str:
    """Give rows as one line of words, as if they had never been folded."""
    return " ".join(" ".join(rows).split())


def hundredths(low: int, high: int) -> st.SearchStrategy[Decimal]:
    return st.integers(low, high).map(lambda count: D(count) / 100)


def tenths(low: int, high: int) -> st.SearchStrategy[Decimal]:
    return st.integers(low, high).map(lambda count: D(count) / 10)


@st.composite
def lines(draw: st.DrawFn, least: int, most: int, corners: int = 4) -> Line:
    """Lines that never get narrower; they may have steps, and may begin and end anywhere."""
    places = sorted(draw(st.lists(tenths(0, 160), min_size=corners, max_size=corners)))
    widths = sorted(draw(st.lists(hundredths(least, most), min_size=corners, max_size=corners)))
    return tuple(zip(places, widths, strict=True))


NAMES = st.sampled_from(["MAF 35/.04", "cone", "last file 25/.06"])


@st.composite
def scenes(draw: st.DrawFn, names: st.SearchStrategy[str] = NAMES) -> Scene:
    """Any scene: bounds or none, stops and files anywhere, also beyond length and above what is drawn."""
    signs = draw(st.lists(st.sampled_from(ascii_uppercase.replace("T", "")), unique=True, max_size=4))
    profiles = [
        Profile(draw(names), sign, draw(tenths(-20, 60)), tapered(draw(hundredths(6, 140)), draw(hundredths(0, 12))))
        for sign in signs
    ]
    stops = [Stop(draw(names), draw(tenths(-20, 90)), draw(hundredths(6, 140))) for _ in range(draw(st.integers(0, 4)))]
    return Scene(
        canal=draw(names),
        length_mm=draw(st.none() | tenths(100, 300)),
        lower=draw(st.just(()) | lines(0, 60)),
        upper=draw(st.just(()) | lines(60, 180)),
        tip_held_mm=draw(st.none() | hundredths(10, 140)),
        stops=tuple(stops),
        profiles=tuple(profiles),
        caveat=draw(st.sampled_from(["", CAVEAT])),
        span_mm=draw(st.integers(1, 20).map(D)),
    )
