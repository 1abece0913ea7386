"""All proofs, and how many rounds they are run in: where every change is tested, and in the campaign."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from tests.campaign import app_kills, changes, children, fuzz, going_on, machine, power, registers, rivals
from tests.campaign.tally import Tally, Trial


@dataclass(frozen=True)
class Proof:
    """A proof, its rounds for every change and in the campaign, and the least that has to be counted for a change."""

    run: Callable[[Trial], Tally]
    each_change: int
    campaign: int
    least: int

    def for_each_change(self) -> Tally:
        """Run it as for every change."""
        return self.run(Trial(self.each_change))


PROOFS: Mapping[str, Proof] = {
    "power cuts": Proof(power.power_cuts, 50, 3_000, 10_000),
    "faults": Proof(power.faults, 6, 100, 500),
    "going on": Proof(going_on.going_on_cuts, 12, 600, 1_500),
    "going on, faults": Proof(going_on.going_on_faults, 1, 5, 80),
    "kills": Proof(children.kills, 1_000, 10_000, 1_000),
    "app kills": Proof(app_kills.app_kills, 50, 200, 50),
    "short writes": Proof(children.starved, 2, 20, 2_000),
    "crowd": Proof(children.crowds, 100, 2_000, 400),
    "second writer": Proof(rivals.second_writers, 5, 200, 15),
    "meddling": Proof(rivals.meddlers, 20, 1_000, 100),
    "cuts": Proof(changes.cuts, 2, 10, 5_000),
    "bit flips": Proof(changes.flips, 400, 20_000, 10_000),
    "lines moved": Proof(changes.lines, 4, 100, 1_500),
    "files swapped": Proof(changes.files, 3, 100, 48),
    "forged lines": Proof(changes.forgeries, 4, 200, 300),
    "register": Proof(registers.removals, 3, 200, 90),
    "state machine": Proof(machine.plays, 200, 10_000, 200),
    "fuzz": Proof(fuzz.fuzz, 600, 20_000, 600),
    "large files": Proof(fuzz.large, 6, 6, 6),
    "strange paths": Proof(fuzz.strange_paths, 7, 7, 8),
}
