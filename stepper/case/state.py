"""A case as it stands: what the fold of the entries leaves behind."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from stepper.facts.entries import Answer, AnyEntry, Correction, Departure, Ending, Held, Open, Owe
from stepper.facts.ringing import SoundState
from stepper.facts.signature import Signature
from stepper.facts.state import Fact, Place, View
from stepper.kinds.judging import Moment, Seen
from stepper.protocol.models import Protocol


@dataclass(slots=True)
class Case:
    """Everything the entries say. `told` holds all of it, `sure` leaves out what the clinician has not confirmed.

    As long as there is nothing to leave out, both are one view.

    Rows by (step, canal, number): `dropped` ones are no evidence, `ended` ones are, but take no further answers;
    `overruled` ones are outside the chain.
    `incidents` by the entry that stamped them: what each was, None while nobody has said; `incident_in` the canal,
    where one was said; `details` are their answers.
    `ending` is there once the visit ends early. `heard` says whether sound can be heard, by the last word on it.
    """

    protocol: Protocol
    header: Open
    told: View
    sure: View
    entries: list[AnyEntry] = field(default_factory=list)
    places: dict[int, Place] = field(default_factory=dict)
    late: set[int] = field(default_factory=set)
    confirmed: set[int] = field(default_factory=set)
    departures: dict[str, Departure] = field(default_factory=dict)
    owed: dict[str, Owe] = field(default_factory=dict)
    held: list[Held] = field(default_factory=list)
    dropped: set[tuple[str, int, int]] = field(default_factory=set)
    ended: set[tuple[str, int, int]] = field(default_factory=set)
    overruled: set[tuple[str, int, int]] = field(default_factory=set)
    incidents: dict[int, str | None] = field(default_factory=dict)
    incident_in: dict[int, int] = field(default_factory=dict)
    details: dict[int, dict[str, Fact]] = field(default_factory=dict)
    ending: Ending | None = None
    rung: set[str] = field(default_factory=set)
    sounds: int = 0
    heard: SoundState | None = None
    misses: dict[str, int] = field(default_factory=dict)
    fills: dict[int, bool] = field(default_factory=dict)
    keyed_by: int | None = None
    closed: bool = False
    void: str | None = None
    signatures: list[Signature] = field(default_factory=list)
    keyed_wrong: set[int] = field(default_factory=set)
    """The corrections that say of an entry that it was otherwise."""
    fill_said: bool = False
    """Whether anything was said yet that can have filled a canal."""
    behind: bool = False
    """Whether the views are older than the entries, because one changed what stood before it: `fold` sees to it."""
    unsure: bool = False
    """Whether `sure` alone is older."""
    today: dt.date = field(init=False)
    """The local day on which the session was opened."""

    def __post_init__(self) -> None:
        hours, minutes = int(self.header.off[1:3]), int(self.header.off[4:6])
        offset = dt.timedelta(hours=hours, minutes=minutes)
        self.today = (self.header.t - offset if self.header.off[0] == "-" else self.header.t + offset).date()

    def seen(self, view: View) -> Seen:
        """Give a view with what rules may look at beside it."""
        happened = frozenset(what for what in self.incidents.values() if what is not None)
        about = (self.protocol, self.protocol.limits, self.today, self.protocol.rests_on, happened)
        return Seen(view, *about, moment=self.moment)

    def root(self, seq: int) -> int:
        """Follow keyed-wrong corrections back to the entry whose facts they replace."""
        entry = self.entries[seq] if 0 <= seq < len(self.entries) else None
        while isinstance(entry, Correction) and entry.how == "keyed_wrong" and entry.of < entry.seq:
            seq = entry.of
            entry = self.entries[seq] if 0 <= seq < len(self.entries) else None
        return seq

    def moment(self, seq: int) -> Moment | None:
        """Tell when what an entry says happened; None for an entry that is not there yet."""
        if not 0 <= seq < len(self.entries):
            return None
        entry = self.entries[self.root(seq)]
        ago_min = (entry.ago_min or 0) if isinstance(entry, Answer) else 0
        return Moment(entry.boot, entry.mono_us - ago_min * 60_000_000)

    def waits(self, entry: AnyEntry) -> bool:
        """Tell whether an entry needs the clinician's yes before it may open a gate."""
        return entry.seq in self.late or entry.seq in self.keyed_wrong

    @property
    def signed_up_to(self) -> int:
        """Give the number of the last signature; what comes after it is an addendum. 0 where nobody has signed."""
        return self.signatures[-1].seq if self.signatures else 0

    @property
    def unconfirmed(self) -> tuple[int, ...]:
        """The late entries and keyed-wrong corrections that still wait for the clinician's yes."""
        return tuple(sorted((self.late | self.keyed_wrong) - self.confirmed))

    @property
    def views(self) -> tuple[View, ...]:
        """The views that entries are put into; while nothing waits for the clinician they say the same, and are one."""
        return (self.told,) if self.told is self.sure or self.unsure else (self.told, self.sure)
