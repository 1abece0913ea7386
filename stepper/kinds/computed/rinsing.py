"""How long solutions were in a canal, what the final rinse lacks, and how much the canal holds."""

from __future__ import annotations

from decimal import Decimal

from stepper.facts.state import Canal, Rinse
from stepper.facts.values import Span
from stepper.kinds.computing import Computed, Result, result
from stepper.kinds.judging import Seen
from stepper.kinds.touched import activated, final_rinses
from stepper.sums.clash import final_rinse_gap
from stepper.sums.envelope import Cut
from stepper.sums.iso3630 import CUTTING_MM
from stepper.sums.solution_time import minutes, watched_s
from stepper.sums.volume import cut_mm3


def _minutes(seen: Seen, canal: int) -> Result | None:
    rinses = _counted(seen, canal)
    moments = [seen.moment(one.seq) for one in rinses]
    known = [one for one in moments if one is not None]
    if not known or len({one.boot for one in known}) > 1 or len(known) < len(moments):
        return None
    return result(minutes(one.us for one in known), tuple(one.seq for one in rinses))


def _activated(seen: Seen, canal: int) -> Result | None:
    spans = [row.get("rinse_seconds") for row in activated(seen.view, canal)]
    told = [(span.value.seconds, span.seq) for span in spans if span is not None and isinstance(span.value, Span)]
    return result(watched_s(seconds for seconds, _ in told), tuple(seq for _, seq in told)) if told else None


def _lacks(seen: Seen, canal: int) -> Result | None:
    mine = seen.view.canals.get(canal)
    if mine is None or not mine.rinses:
        return None
    gap = final_rinse_gap([one.family for one in final_rinses(seen.view, canal)], seen.limits.final_rinse)
    return result(len(gap), tuple(one.seq for one in mine.rinses))


def _volume(seen: Seen, canal: int) -> Result | None:
    """Give the volume from length up; None where a file cut that is no straight cone of 16 mm."""
    mine = seen.view.canals.get(canal)
    cuts = _cuts(mine) if mine is not None else []
    stock = [seen.tables.file_of(use.stock) for use in mine.files_of_all if use.purpose == "cut"] if mine else []
    if not cuts or any(one is not None and (one.diameters_mm or one.cutting_mm != CUTTING_MM) for one in stock):
        return None
    volume = cut_mm3([cut for cut, _ in cuts], Decimal(0), min(Decimal(16), seen.limits.reckoned_mm))
    return result(volume, tuple(seq for _, seq in cuts))


def _cuts(mine: Canal) -> list[tuple[Cut, int]]:
    if mine.length is None:
        return []
    return [
        (Cut(use.size, use.taper, mine.length.mm - use.absolute_mm), use.seq)
        for use in mine.files_of_all
        if use.purpose == "cut" and use.absolute_mm is not None and use.taper > 0
    ]


def _counted(seen: Seen, canal: int) -> list[Rinse]:
    mine = seen.view.canals.get(canal)
    return [one for one in mine.rinses if not one.outside] if mine is not None else []


VALUES = (
    Computed("solution_minutes", "C", "min", "whole minutes from the first rinse keyed to the last", _minutes),
    Computed("activation_seconds", "C", "s", "seconds of activation, as told", _activated),
    Computed("final_rinse_lacking", "C", "", "how many solutions of the final rinse are lacking", _lacks),
    Computed("cut_volume_mm3", "C", "mm3", "what the cut files make room for, from length up", _volume),
)
"""What irrigation comes to."""
