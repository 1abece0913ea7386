"""A canal gauged as a clinician would: files cut, then gauging files go in, ascending, until two or three are held."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from decimal import Decimal
from random import Random

from stepper.sums.gauging.model import How, Reading, Tool
from tests.gauging.canals import Canal, Model, Stock, canal, real, stock
from tests.gauging.walls import RealFile

SERIES = (15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80, 90, 100, 110, 120, 130, 140)
LEDGE_MM = (0.5, 3.0)
CAUGHT = 1 / 3
"""How often a gauging file is caught at the ledge, where the canal has one."""


@dataclass
class Visit:
    """A canal, what was read in it, and where each file that was held truly touched."""

    canal: Canal
    readings: list[Reading] = field(default_factory=list)
    touched: list[tuple[float, ...]] = field(default_factory=list)

    @property
    def held(self) -> int:
        return len(self.touched)


@dataclass(frozen=True)
class Plan:
    """What is done: the files that cut, each with how far short of length, then gauging files of one taper."""

    cuts: tuple[tuple[Stock, float], ...]
    gauging: tuple[Stock, ...]
    until_held: int
    shake_mm: float = 0.0
    """How far off a stop is seen before it is rounded to half a millimetre."""
    then_cut: tuple[tuple[Stock, float], ...] = ()
    """What cuts after that; the gauging files then go in once more."""


def plain_plan(cut_taper: float | None, gauging_taper: float, draw: Random) -> Plan:
    """Plan nothing or one 25 of a taper to length, then gauging files from the next smaller or equal size on."""
    cuts = ((stock(25, cut_taper), 0.0),) if cut_taper is not None else ()
    first = 25 if cuts else 15
    return Plan(cuts, tuple(stock(size, gauging_taper) for size in SERIES if size >= first), draw.choice((2, 3)))


def mixed_plan(draw: Random) -> Plan:
    """Plan anything: flares short of length, short cutting parts, tables of diameters, a file pushed again, errors."""
    cuts = [(_cutting(draw), 0.0) for _ in range(draw.randint(0, 2))]
    cuts += [(_flare(draw), draw.choice((1.0, 2.0, 3.0, 5.0, 8.0))) for _ in range(draw.randint(0, 2))]
    draw.shuffle(cuts)
    taper = draw.choice((0.02, 0.04))
    first = draw.choice((15, 20, 25, 30, 40))
    gauging = [stock(size, taper, draw.choice((16.0, 16.0, 16.0, 10.0))) for size in SERIES if size >= first]
    again = [file for file, short in cuts if short == 0][-1:] if draw.random() < 0.3 else []
    then = ((_cutting(draw), 0.0),) if draw.random() < 0.25 else ()
    return Plan(tuple(cuts), (*again, *gauging), draw.randint(1, 4), 0.049, then)


def _cutting(draw: Random) -> Stock:
    if draw.random() < 0.2:
        return Stock(25, ((0.0, 0.25), (3.0, 0.49), (16.0, 0.49 + 13 * draw.choice((0.0, 0.02, 0.04)))))
    return stock(draw.choice((20, 25, 30, 35)), draw.choice((0.02, 0.04, 0.06, 0.08)))


def _flare(draw: Random) -> Stock:
    if draw.random() < 0.3:
        return stock(draw.choice((30, 70)), draw.choice((0.06, 0.1)), draw.choice((4.0, 9.0)))
    return stock(draw.choice((40, 50, 60)), draw.choice((0.02, 0.06, 0.08)))


def visit(plan: Plan, model: Model, draw: Random) -> Visit:
    """Draw a canal and gauge it by a plan."""
    seen = Visit(canal(model, draw))
    # The same file may cut and gauge: it is one real file, with one error of its diameter.
    cutting = [file for file, _ in (*plan.cuts, *plan.then_cut)]
    files = {file: real(file, model, draw) for file in (*cutting, *plan.gauging)}
    ledge = draw.uniform(*LEDGE_MM) if model.ledges else None
    for cuts in (plan.cuts, plan.then_cut)[: 2 if plan.then_cut else 1]:
        seen.readings = [_freed(one) for one in seen.readings]
        seen.touched.clear()
        for file, short in cuts:
            off = draw.uniform(-0.25 - plan.shake_mm, 0.25 + plan.shake_mm) if short else 0.0
            seen.canal.wall = seen.canal.wall.cut_by(files[file], short + off + _stop_off(model, draw))
            seen.readings.append(Reading(_tool(file), How.CUT, Decimal(str(short))))
        for file in plan.gauging:
            if seen.held >= plan.until_held:
                break
            caught = ledge if ledge is not None and draw.random() < CAUGHT else None
            _gauge(seen, file, files[file], caught, _stop_off(model, draw), draw.uniform(-1, 1) * plan.shake_mm)
    return seen


def _freed(one: Reading) -> Reading:
    """What was held before a cut bounds the canal no more."""
    return replace(one, how=How.FREED) if one.held else one


def _stop_off(model: Model, draw: Random) -> float:
    return draw.choice((-1, 1)) * model.stop_off_mm


def _gauge(seen: Visit, file: Stock, real_file: RealFile, ledge: float | None, off: float, shake: float) -> None:
    """Push a file: to where its stop reads length, or until it touches; `off`, the tip is short of what is read."""
    stop, touched = seen.canal.wall.stop_of(real_file)
    if ledge is not None and ledge > stop:
        stop, touched = ledge, (ledge,)
    if stop < off - 1e-12:
        seen.readings.append(Reading(_tool(file), How.PASSED, Decimal(0)))
        return
    halves = max(math.floor((stop - off + shake) * 2 + 0.5), 0)
    seen.readings.append(Reading(_tool(file), How.STOPPED, Decimal(halves) / 2))
    seen.touched.append(touched)


def _tool(file: Stock) -> Tool:
    corners = tuple((Decimal(str(u)), Decimal(str(round(width, 6)))) for u, width in file.corners)
    return Tool(f"{file.size:02d}/{(corners[1][1] - corners[0][1]) / corners[1][0]}", file.size, corners)
