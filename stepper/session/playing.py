"""A session played as it happened: which entry it is at, so long after it was set going."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from msgspec.structs import replace

from stepper.case.clocks import keyed
from stepper.facts.entries import AnyEntry
from stepper.record.clock import Moment

SPEEDS = {1: "as it happened", 10: "ten times as fast", 60: "a minute in a second"}
"""How many seconds of the session pass in one, in words."""


@dataclass(frozen=True, slots=True)
class Playing:
    """Set going at entry `begun`, at `since_us` of the replaying machine's clock."""

    entries: Sequence[AnyEntry]
    begun: int
    since_us: int
    speed: int

    def passed_us(self, now: Moment) -> int:
        """Give how much of the session has passed since the entry that it began at, in microseconds."""
        return max(now.mono_us - self.since_us, 0) * self.speed

    def at(self, now: Moment) -> int:
        """Give the last entry that was keyed by then."""
        left, at = self.passed_us(now), self.begun
        while at + 1 < len(self.entries) and (wait := self._wait_us(at)) <= left:
            left, at = left - wait, at + 1
        return at

    def moment(self, now: Moment) -> Moment:
        """Give the moment of the session that it is at: so long after the last entry that was keyed by then."""
        at = self.at(now)
        stands = keyed(self.entries[at])
        if at + 1 == len(self.entries):
            return stands
        since_us = self.passed_us(now) - sum(self._wait_us(one) for one in range(self.begun, at))
        return replace(stands, wall_us=stands.wall_us + since_us, mono_us=stands.mono_us + since_us)

    def _wait_us(self, at: int) -> int:
        """Give the time from an entry to the next: by the machine's clock, over a restart by the wall clock."""
        here, there = keyed(self.entries[at]), keyed(self.entries[at + 1])
        if here.boot == there.boot:
            return max(there.mono_us - here.mono_us, 0)
        return max(there.wall_us - here.wall_us, 0)
