"""Patency that was lost and not regained."""

from typing import ClassVar

from stepper.kinds.judging import Finding, Rule, Seen
from stepper.kinds.shape import Name
from stepper.kinds.words import plain
from stepper.sums.iso3630 import name


class PatencyLost(Rule, tag="patency_lost", frozen=True):
    """Speaks while the last file of a purpose in a canal stopped further from length than the at-length limit.

    The distance is that keyed, in mm. Gaps: canal, file, short.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"canal", "file", "short"})

    purpose: Name

    def standing(self, seen: Seen, step: str, canal: int) -> Finding | None:  # noqa: ARG002 - it goes by roles
        """Look at the last such file."""
        if not canal:
            return None
        uses = [use for use in seen.view.canals[canal].file_rows.lasts if use.purpose == self.purpose]
        last = max(uses, key=lambda use: use.place, default=None)
        if last is None or last.short_mm <= seen.limits.at_length_mm:
            return None
        file, canal_name = name(last.size, last.taper), seen.view.canals[canal].name
        return Finding((last.seq,), {"canal": canal_name, "file": file, "short": plain(last.short_mm)})
