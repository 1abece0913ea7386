"""How often the bounds are wrong, in the model and where a canal or a file departs from it; and how wide they are."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from statistics import median

from stepper.sums.gauging.bounds import bounds
from tests.gauging.canals import Model
from tests.gauging.visits import Visit

CUTS: tuple[float | None, ...] = (None, 0.04, 0.06, 0.08)
"""Cut before gauging: nothing, or a 25 of this taper to length."""

GAUGING = (0.02, 0.04)
"""Tapers of the gauging files."""

DEPARTURES = {
    "none": Model(),
    "stops set 0.25 mm off": Model(stop_off_mm=0.25),
    "conical tips": Model(conical_tip=True),
    "twice the tolerance": Model(tolerances=2),
    "hourglass apex": Model(hourglass=True),
    "stops at a ledge": Model(ledges=True),
    "all five together": Model(0.25, conical_tip=True, tolerances=2, hourglass=True, ledges=True),
    "narrow beyond 16 mm": Model(orifice_mm=(16.0, 24.0)),
}

FIRST_TRY = {
    None: ((36, 74), (0.39, 0.70)),
    0.04: ((17, 53), (0.20, 0.68)),
    0.06: ((11, 45), (0.15, 0.32)),
    0.08: ((7, 36), (0.13, 0.21)),
}
"""What the design tells of a first simulation: tip-held wrong in per cent, median width in mm, each for .02 and .04."""

FLOATS_MM = 1e-9


@dataclass
class Tally:
    """What came of canals that were gauged."""

    canals: int = 0
    contradictions: int = 0
    beyond: int = 0
    too_low: int = 0
    too_high: int = 0
    tip_bound: int = 0
    tip_wrong: int = 0
    widths_mm: list[float] = field(default_factory=list)
    outside_mm: list[float] = field(default_factory=list)
    """How far outside of the bounds the truth was, where it was."""
    narrowest_missed: int = 0
    """How often they miss the narrowest place, which in an hourglass lies further out than length."""

    @property
    def given(self) -> int:
        """In how many canals bounds were given."""
        return self.canals - self.contradictions - self.beyond

    def take(self, seen: Visit) -> None:
        """Count one canal; `too_low` the bounds lie below the truth, `too_high` above it."""
        self.canals += 1
        if any(one.short_mm > 16 for one in seen.readings):
            self.beyond += 1  # the program takes no such reading, and says so
            return
        found = bounds(seen.readings)
        if found.contradiction:
            self.contradictions += 1
            return
        truth, narrowest, tip = seen.canal.apical_mm, seen.canal.wall.width(0.0), found.tip_high_mm
        low, high = float(found.low_mm or 0), float(found.high_mm if found.high_mm is not None else math.inf)
        self.too_low += truth > high + FLOATS_MM
        self.too_high += truth < low - FLOATS_MM
        if not low - FLOATS_MM <= truth <= high + FLOATS_MM:
            self.outside_mm.append(max(truth - high, low - truth))
        self.narrowest_missed += not low - FLOATS_MM <= narrowest <= high + FLOATS_MM
        self.tip_bound += tip is not None
        self.tip_wrong += tip is not None and truth > float(tip) + FLOATS_MM
        if high < math.inf:
            self.widths_mm.append(high - low)

    def add(self, other: Tally) -> None:
        """Take in what another share counted."""
        self.canals += other.canals
        self.contradictions += other.contradictions
        self.beyond += other.beyond
        self.too_low += other.too_low
        self.too_high += other.too_high
        self.tip_bound += other.tip_bound
        self.tip_wrong += other.tip_wrong
        self.widths_mm += other.widths_mm
        self.outside_mm += other.outside_mm
        self.narrowest_missed += other.narrowest_missed


def cut_name(taper: float | None) -> str:
    """Name what was cut before gauging."""
    return "nothing" if taper is None else f"25/{taper:.2f} to length".replace("/0.", "/.")


def in_the_model(tallies: dict[tuple[float | None, float], Tally]) -> list[str]:
    """Write how often the tip-held upper bound is wrong, and how wide the cautious bounds are."""
    rows = [
        "| cut before gauging | tip-held wrong, .02 files (first try) | .04 files | median width, .02 / .04 files |",
        "| --- | --- | --- | --- |",
    ]
    for cut in CUTS:
        wrong = [100 * one.tip_wrong / one.tip_bound for one in (tallies[cut, taper] for taper in GAUGING)]
        wide = [median(tallies[cut, taper].widths_mm) for taper in GAUGING]
        (w2, w4), (m2, m4) = FIRST_TRY[cut]
        cells = f"{wrong[0]:.0f} % ({w2} %) | {wrong[1]:.0f} % ({w4} %)"
        rows.append(f"| {cut_name(cut)} | {cells} | {wide[0]:.2f} / {wide[1]:.2f} mm ({m2:.2f} / {m4:.2f}) |")
    return rows


def departed(tallies: dict[str, Tally]) -> list[str]:
    """Write how often the bounds miss where the model is departed from, of the canals in which bounds were given."""
    rows = [
        "| departure | cautious bounds miss | too low / too high | half of them by more than "
        "| one in twenty by more than | miss the narrowest place | contradiction told instead | tip-held wrong |",
        "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ]
    for name, one in tallies.items():
        cells = [
            f"{_share(one.too_low + one.too_high, one.given)}",
            f"{_share(one.too_low, one.given)} / {_share(one.too_high, one.given)}",
            _beyond(one.outside_mm, 0.5),
            _beyond(one.outside_mm, 0.95),
            f"{_share(one.narrowest_missed, one.given)}",
            f"{_share(one.contradictions, one.canals)}",
            f"{_share(one.tip_wrong, one.tip_bound)}",
        ]
        rows.append(f"| {name} | {' | '.join(cells)} |")
    return rows


def _beyond(outside_mm: list[float], share: float) -> str:
    ordered = sorted(outside_mm)
    return f"{ordered[int(share * len(ordered))]:.2f} mm" if ordered else "none"


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.1f} %" if whole else "none"
