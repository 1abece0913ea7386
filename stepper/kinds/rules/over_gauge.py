"""The master apical file against the size that the canal was gauged at."""

from typing import ClassVar

from stepper.facts.values import Instrument, Size
from stepper.kinds.gauged import gauged_row
from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Whole
from stepper.sums.gauging.compare import steps_over
from stepper.sums.iso3630 import name


class OverGauge(Rule, tag="over_gauge", frozen=True):
    """Speaks when the master apical file is fewer than `at_least` ISO sizes over the gauged size.

    Gaps: file, gauge, steps, at_least.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"file", "gauge", "steps", "at_least"})

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
        steps = steps_over(declared.value.size, gauge.value.size)
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
