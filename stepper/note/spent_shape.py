"""Where the time of a visit went, as records: stretches of time, what was done in them, each canal's share."""

from __future__ import annotations

from dataclasses import dataclass, replace

from stepper.facts.entries import AnyEntry


@dataclass(frozen=True, slots=True)
class Stretch:
    """Time from the start of the visit, in microseconds, and the entries that it lies between."""

    since_us: int
    until_us: int
    entries: tuple[int, ...]

    @property
    def us(self) -> int:
        """How long it is."""
        return self.until_us - self.since_us


@dataclass(frozen=True, slots=True)
class Work:
    """Time at a step, for the canals that were keyed together (0 for the tooth)."""

    step: str
    canals: tuple[int, ...]
    when: Stretch


@dataclass(frozen=True, slots=True)
class Standing:
    """A solution in a canal, from its rinse until another took its place, or it was dried, dressed or filled."""

    item: str
    canal: int
    when: Stretch
    ended: bool


@dataclass(frozen=True, slots=True)
class Mark:
    """An incident, or a remark that rang, at its moment."""

    at_us: int
    entry: AnyEntry


@dataclass(frozen=True, slots=True)
class Share:
    """The time of a step in one canal: its part of what was keyed for several at once, from when and until when."""

    step: str
    canal: int
    us: int
    when: Stretch


@dataclass(frozen=True, slots=True)
class Spent:
    """Where the time went. `about`: over a restart of the machine only the wall clock tells, or nothing does."""

    work: tuple[Work, ...]
    waits: tuple[Stretch, ...]
    away: tuple[Stretch, ...]
    solutions: tuple[Standing, ...]
    marks: tuple[Mark, ...]
    whole: Stretch
    about: bool

    @property
    def shares(self) -> tuple[Share, ...]:
        """The time per step and canal, in the order in which each came first; all shares add up to all work."""
        found: dict[tuple[str, int], list[Share]] = {}
        for one in self.work:
            part, rest = divmod(one.when.us, len(one.canals))
            for number, canal in enumerate(one.canals):
                here = Share(one.step, canal, part + (number < rest), one.when)
                found.setdefault((one.step, canal), []).append(here)
        return tuple(_together(parts) for parts in found.values())


def _together(parts: list[Share]) -> Share:
    entries = dict.fromkeys(seq for one in parts for seq in one.when.entries)
    when = Stretch(parts[0].when.since_us, parts[-1].when.until_us, tuple(entries))
    return replace(parts[0], us=sum(one.us for one in parts), when=when)
