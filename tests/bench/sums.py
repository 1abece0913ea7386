"""Every public sum, timed: any one of them in under 1 ms at the median.

To add one: a line in `SUMS`, named by its module and function, on evidence as heavy as a visit brings. A test fails
until each public function of `stepper.sums` has its line, but for those of `STEPS`, which others are made of.
"""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Callable, Mapping
from decimal import Decimal

from stepper.sums import (
    agents,
    clash,
    cone,
    curvature,
    dose,
    dose_left,
    envelope,
    expiry,
    fill_level,
    iso3630,
    iso3950,
    motion,
    needle,
    radiograph,
    solution_time,
    volume,
)
from stepper.sums.gauging import bounds, compare, contradiction, model, next_reading, words
from tests.bench.outcome import Asked, Outcome
from tests.bench.timing import Clock, Figures, baseline, members, time_in_turns

TURNS = 40
LIMIT_NS = 1_000_000
LOOP = "baseline loop"
STEPS = ("checked", "rounded", "gauging.pieces", "gauging.proof")
"""Modules whose functions are steps of sums and timed within them."""

D = Decimal


def _cut(size: int, percent: int, short_mm: int) -> envelope.Cut:
    return envelope.Cut(size, D(percent) / 100, D(short_mm))


def _read(how: model.How, size: int, percent: int, short_mm: str = "0") -> model.Reading:
    return model.Reading(model.straight(size, D(percent) / 100), how, D(short_mm))


_DAY = dt.date(2026, 3, 2)
_CUTS = [
    *(_cut(size, 2, 0) for size in (10, 15)),
    *(_cut(size, 4, 0) for size in (20, 25, 30, 40)),
    _cut(25, 8, 5),
    _cut(35, 6, 1),
]
_MASTER = _CUTS[5]
_CLASHES = [clash.Clash("hypochlorite", other, "", "") for other in ("edta", "alcohol", "citric_acid", "chlorhexidine")]
_RINSED = ["hypochlorite", "saline", "edta", "hypochlorite"] * 5
_RINSE = ["hypochlorite", "edta", "hypochlorite"]
_RINSED_US = [[number * 97_000_000 + canal for number in range(12)] for canal in range(4)]

_AGENTS = [agents.published(agent) for agent in agents.SUPPLIED]
_DOSES = [dose.Dose(agent, D("1.8")) for agent in _AGENTS for _ in range(2)]
_TOTAL = dose.total(_DOSES, D(62), D(200))

_WALL, _CONE = cone.Canal(40, D("0.04")), cone.Cone(45, D("0.06"))
_BENT = curvature.Curvature(D(23), curvature.Method.SCHNEIDER, D("5.5"))
_LEVEL = fill_level.Range(D(0), D(2), "protocol")
_USES = [motion.Use("25/.04 A", f"visit {day}", "46", canal) for day in range(8) for canal in ("MB", "ML", "DB", "DL")]

_CUT, _PASSED, _STOPPED = model.How.CUT, model.How.PASSED, model.How.STOPPED
_READ = (
    *(_read(_CUT, size, 4) for size in (15, 20, 25)),
    _read(_CUT, 25, 6),
    _read(_CUT, 40, 8, "5"),
    *(_read(_PASSED, size, 2) for size in (15, 20, 25, 30)),
    _read(_STOPPED, 35, 2, "0.5"),
    _read(_STOPPED, 40, 2, "1.5"),
    _read(_STOPPED, 45, 2, "2.5"),
)
_FEW = (_read(_CUT, 25, 6), _read(_CUT, 40, 8, "5"), _read(_PASSED, 30, 2), *_READ[-3:-1])
_CANNOT_BE = (
    *(_read(_PASSED, size, 2) for size in (6, 8, 10, 15, 20, 25, 30)),
    *(_read(_CUT, size, 4) for size in (10, 15)),
    _read(_CUT, 40, 1),
    _read(_STOPPED, 30, 2),
    _read(_CUT, 60, 4, "5"),
)
"""The last three cannot all be true, and no two of these: a long search."""
_MODEL = model.Model()
_FOUND, _FOUND_OF_FEW = bounds.bounds(_READ, _MODEL), bounds.bounds(_FEW, _MODEL)
_NARROWED = bounds.bounds((_READ[2], _read(_STOPPED, 35, 2, "1")), _MODEL)
_IN_QUESTION = model.straight(45, D("0.04"))
_GAUGED = 30
_COMPARED = compare.compare(_IN_QUESTION, _FOUND, _GAUGED)
_STOCK = [model.straight(size, D("0.02")) for size in iso3630.SIZES if size >= 15]


def _gauging() -> object:
    """Reckon all that follows one gauging entry, from the readings to the sentences."""
    found = bounds.bounds(_READ, _MODEL)
    return words.sentences(found), words.comparison(compare.compare(_IN_QUESTION, found, _GAUGED), found)


SUMS: dict[str, Callable[[], object]] = {
    "agents.published": lambda: agents.published("lidocaine-2-epi-100"),
    "clash.clashes_in": lambda: clash.clashes_in(_RINSED, _CLASHES),
    "clash.final_rinse_gap": lambda: clash.final_rinse_gap(_RINSED, _RINSE),
    "clash.in_order": lambda: clash.in_order(_RINSED, _RINSE),
    "clash.with_chlorhexidine": lambda: clash.with_chlorhexidine(D("0.19")),
    "cone.cone_tolerance_mm": lambda: cone.cone_tolerance_mm(45),
    "cone.matches": lambda: cone.matches(_CONE, _WALL),
    "cone.rest": lambda: cone.rest(_CONE, _WALL),
    "cone.trim_mm": lambda: cone.trim_mm(cone.Cone(35, D("0.04")), _WALL),
    "curvature.arc_mm": lambda: curvature.arc_mm(D("5.5"), D(23)),
    "curvature.schneider": lambda: curvature.schneider(_BENT),
    "dose.forecast": lambda: dose.forecast(_DOSES[:-1], _DOSES[-1], D(62), D(200)),
    "dose.lowest_of": lambda: dose.lowest_of(_TOTAL.parts),
    "dose.own_maximum": lambda: dose.own_maximum(_AGENTS[0], D(62)),
    "dose.percent": lambda: dose.percent(D("0.6137")),
    "dose.shares_of": lambda: dose.shares_of(_TOTAL.parts),
    "dose.too_fine": lambda: dose.too_fine(D("1.8")),
    "dose.total": lambda: dose.total(_DOSES, D(62), D(200)),
    "dose_left.left": lambda: dose_left.left(_TOTAL, _AGENTS[0], "lowest_maximum"),
    "dose_left.outlook": lambda: dose_left.outlook(_TOTAL, _AGENTS[0], "shares"),
    "dose_left.reasons": lambda: dose_left.reasons(_TOTAL, "shares"),
    "envelope.envelope_mm": lambda: envelope.envelope_mm(_CUTS, D("2.5")),
    "envelope.profile_mm": lambda: envelope.profile_mm(_MASTER, D("2.5")),
    "envelope.reaches": lambda: envelope.reaches(_MASTER, D("0.5")),
    "envelope.same_size": lambda: envelope.same_size(_MASTER, _CUTS[0]),
    "envelope.wider_within": lambda: envelope.wider_within(_MASTER, _CUTS[4]),
    "expiry.expired": lambda: expiry.expired(2028, 2, _DAY),
    "expiry.last_day": lambda: expiry.last_day(2028, 2),
    "fill_level.level": lambda: fill_level.level(D("0.5"), _LEVEL),
    "gauging.bounds.bounds": lambda: bounds.bounds(_READ, _MODEL),
    "gauging.bounds.bounds, contradictory": lambda: bounds.bounds(_CANNOT_BE, _MODEL),
    "gauging.compare.compare": lambda: compare.compare(_IN_QUESTION, _FOUND, _GAUGED),
    "gauging.compare.steps_over": lambda: compare.steps_over(_IN_QUESTION.size, _GAUGED),
    "gauging.contradiction.smallest_contradiction": lambda: contradiction.smallest_contradiction(_CANNOT_BE, _MODEL),
    "gauging.model.gauged_size": lambda: model.gauged_size(_READ),
    "gauging.model.straight": lambda: model.straight(35, D("0.02")),
    "gauging.next_reading.next_larger": lambda: next_reading.next_larger(_FOUND, _STOCK),
    "gauging.next_reading.next_reading": lambda: next_reading.next_reading(_NARROWED, _STOCK),
    "gauging.next_reading.next_reading, few read": lambda: next_reading.next_reading(_FOUND_OF_FEW, _STOCK),
    "gauging.next_reading.next_reading, many read": lambda: next_reading.next_reading(_FOUND, _STOCK),
    "gauging.words.comparison": lambda: words.comparison(_COMPARED, _FOUND),
    "gauging.words.contradiction": lambda: words.contradiction(_CANNOT_BE[-3:]),
    "gauging.words.further": lambda: words.further(_FOUND, _STOCK),
    "gauging.words.outward": lambda: words.outward(_FOUND.low_mm, _FOUND.high_mm),
    "gauging.words.sentences": lambda: words.sentences(_FOUND),
    "gauging.words.span": lambda: words.span(_FOUND.low_mm, _FOUND.high_mm),
    "gauging, all that one entry brings": _gauging,
    "iso3630.diameter_mm": lambda: iso3630.diameter_mm(35, D("0.04"), D("4.5")),
    "iso3630.is_iso_size": lambda: iso3630.is_iso_size(35),
    "iso3630.name": lambda: iso3630.name(35, D("0.045")),
    "iso3630.read_taper": lambda: iso3630.read_taper(D("4.0")),
    "iso3630.steps_between": lambda: iso3630.steps_between(10, 80),
    "iso3630.tip_mm": lambda: iso3630.tip_mm(35),
    "iso3630.tolerance_mm": lambda: iso3630.tolerance_mm(35),
    "iso3630.up_by": lambda: iso3630.up_by(8, 3),
    "iso3950.describe": lambda: iso3950.describe("46"),
    "iso3950.from_palmer": lambda: iso3950.from_palmer("LR6"),
    "iso3950.from_universal": lambda: iso3950.from_universal("30"),
    "iso3950.is_tooth": lambda: iso3950.is_tooth("46"),
    "iso3950.palmer": lambda: iso3950.palmer("46"),
    "iso3950.spoken": lambda: iso3950.spoken("46"),
    "iso3950.universal": lambda: iso3950.universal("46"),
    "motion.gf_cm": lambda: motion.gf_cm(D("1.8")),
    "motion.n_cm": lambda: motion.n_cm(D(180)),
    "motion.net_turns_per_cycle": lambda: motion.net_turns_per_cycle(D(150), D(30)),
    "motion.turns": lambda: motion.turns(D(300), D(84)),
    "motion.turns_per_s": lambda: motion.turns_per_s(D(300)),
    "motion.uses": lambda: motion.uses(_USES, "25/.04 A", motion.Counted.CANAL),
    "needle.reach": lambda: needle.reach(30, D("0.04"), D("0.42")),
    "needle.tube": lambda: needle.tube(27),
    "radiograph.length_mm": lambda: radiograph.length_mm(D("21.5"), radiograph.Resorption.BONE),
    "radiograph.tooth_mm": lambda: radiograph.tooth_mm(D(20), D("21.5"), D("23.2")),
    "solution_time.minutes": lambda: solution_time.minutes(_RINSED_US[0]),
    "solution_time.watched_s": lambda: solution_time.watched_s([20, 20, 20]),
    "volume.cut_mm3": lambda: volume.cut_mm3(_CUTS, D(0), D(16)),
    "volume.frustum_mm3": lambda: volume.frustum_mm3(D("0.35"), D("0.47"), D(3)),
}


def bench(asked: Asked) -> Outcome:
    """Time every sum, in turns with the baseline loop."""
    return run(SUMS, asked.turns or TURNS)


def run(sums: Mapping[str, Callable[[], object]], turns: int, clock: Clock = time.perf_counter_ns) -> Outcome:
    """Time `sums`; the limit is kept where the median of each lies under it."""
    figures = time_in_turns({LOOP: baseline, **sums}, turns, clock)
    loop = figures[LOOP]
    over = [name for name in sums if figures[name].median_ns >= LIMIT_NS]
    verdict = f"under 1 ms at the median: all {len(sums)}"
    if over:
        verdict = f"NOT under 1 ms at the median: {', '.join(over)}"
    width = max(map(len, figures))
    return Outcome(
        [
            f"Sums: {turns} turns, one call:",
            f"{'':{width}}  median µs     p95 µs   of the loop",
            *(_row(name.ljust(width), one, loop) for name, one in figures.items()),
            verdict,
        ],
        {name: members(one, loop) for name, one in figures.items()},
        kept=not over,
    )


def _row(name: str, one: Figures, loop: Figures) -> str:
    return f"{name}  {one.median_ns / 1000:9.2f}  {one.p95_ns / 1000:9.2f}  {one.ratio_to(loop):12.3f}"
