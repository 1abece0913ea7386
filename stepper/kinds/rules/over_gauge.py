"""The master apical file against the size that the canal was gauged at."""

from __future__ import annotations

from bisect import bisect
from typing import ClassVar, Literal

from stepper.facts.state import Row, View
from stepper.facts.values import Instrument, Size
from stepper.kinds.judging import Finding, Limits, Rule, Seen
from stepper.kinds.shape import Whole
from stepper.sums.iso3630 import SIZES, name


class OverGauge(Rule):
    """Speaks when the master apical file is fewer than `at_least` ISO sizes over the gauged size.

    Gaps: file, gauge, steps, at_least.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"file", "gauge", "steps", "at_least"})

    kind: Literal["over_gauge"]
    at_least: Whole

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it goes by roles
        """Count the steps in the ISO series from the largest gauging file at length.

        A stock file between two sizes of the series counts as the smaller of them.
        """
        declared = seen.view.role("master_apical_file", canal) if canal else None
        gauged = gauged_row(seen.view, canal, seen.limits) if declared else None
        if declared is None or gauged is None or not isinstance(declared.value, Size):
            return None
        gauge = gauged.get("gauge_file")
        if gauge is None or not isinstance(gauge.value, Instrument):
            return None
        steps = bisect(SIZES, declared.value.size) - bisect(SIZES, gauge.value.size)
        if steps >= self.at_least:
            return None
        return Finding(
            tuple(sorted({declared.seq, gauge.seq})),
            {
                "file": name(declared.value.size, declared.value.taper),
                "gauge": str(gauge.value.size),
                "steps": str(steps),
                "at_least": str(self.at_least),
            },
        )


def gauged_row(view: View, canal: int, limits: Limits) -> Row | None:
    """Give the row of the largest gauging file that reached length, since the length was last measured anew."""
    if ("gauge_file", canal) not in view.by_role:
        return None
    length = view.canals[canal].length
    rows = [row for row in view.rows_with("gauge_file", canal) if length is None or row.place > length.anew]
    reached = [(value.size, row) for row in rows if (value := _gauge(row)) and value.short_mm <= limits.at_length_mm]
    return max(reached, key=lambda pair: pair[0])[1] if reached else None


def _gauge(row: Row) -> Instrument | None:
    fact = row.get("gauge_file")
    return fact.value if fact is not None and isinstance(fact.value, Instrument) else None
