"""Readings drawn at random, of no canal: some agree with one another and some cannot."""

from __future__ import annotations

from decimal import Decimal
from random import Random

from stepper.sums.gauging.model import How, Model, Reading, Tool, straight


def _tool(name: str, *corners: str) -> Tool:
    table = tuple((Decimal(x), Decimal(width)) for x, width in (corner.split() for corner in corners))
    return Tool(name, int(name[:2]), table)


TABLES = (
    _tool("25 by a table", "0 .25", "4 .57", "16 .93"),
    _tool("20 by a table", "0 .20", "2.5 .25", "9 .77"),
    _tool("30, then level", "0 .30", "3.3 .63", "12 .63"),
)
SIZES = (15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80)


def model(draw: Random) -> Model:
    """Draw how exactly things are known."""
    if draw.random() < 0.5:
        return Model()
    error, tolerance = draw.choice(("0", "0.1", "0.3", "0.55")), draw.choice(("0", "0.01", "0.03"))
    return Model(Decimal(error), Decimal(tolerance), Decimal(tolerance) * 2, Decimal(16))


def readings(draw: Random, most: int = 7) -> list[Reading]:
    """Draw readings that often agree: what is held is mostly a step or more larger than what has passed."""
    passed = draw.choice((20, 25, 30, 35))
    out = [_reading(draw, How.CUT, passed) for _ in range(draw.randint(0, 2))]
    out += [_reading(draw, How.PASSED, passed) for _ in range(draw.randint(0, 1))]
    out += [_reading(draw, How.STOPPED, passed) for _ in range(draw.randint(0 if out else 1, 4))]
    return out[-most:]


def _reading(draw: Random, how: How, passed: int) -> Reading:
    taper = Decimal(draw.choice(("0.02", "0.04", "0.06", "0.08") if how is How.CUT else ("0.02", "0.04", "0.06")))
    cutting = Decimal(draw.choice(("16", "16", "16", "10", "4.5")))
    if how is How.STOPPED:
        size = draw.choice([size for size in SIZES if size >= passed + draw.choice((-5, 5, 5, 15))])
        short = draw.choice((_halves(draw, 6), _halves(draw, 6), _hundredths(draw, 600)))
    else:
        size = draw.choice([size for size in SIZES if size <= passed])
        short = Decimal(0)
        if how is How.CUT and draw.random() < 0.5:
            size, short = draw.choice(SIZES[2:8]), draw.choice((_halves(draw, 20), _hundredths(draw, 1550)))
    tool = draw.choice(TABLES) if draw.random() < 0.15 else straight(size, taper, cutting)
    return Reading(tool, how, short)


def _halves(draw: Random, most: int) -> Decimal:
    return Decimal(draw.randint(0, most)) / 2


def _hundredths(draw: Random, most: int) -> Decimal:
    return Decimal(draw.randint(0, most)) / 100
