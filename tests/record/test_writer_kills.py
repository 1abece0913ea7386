"""Real processes killed, starved and set on each other in numbers; test_crashes.py tells a few such stories singly."""

from __future__ import annotations

import pytest

from tests.campaign.proofs import PROOFS
from tests.campaign.rivals import movers
from tests.campaign.tally import Trial


@pytest.mark.parametrize("name", ["kills", "app kills", "short writes", "crowd", "second writer", "meddling"])
def test_nothing_acknowledged_is_lost(name: str) -> None:
    tally = PROOFS[name].for_each_change()
    assert tally.bad == 0, tally.told
    assert tally.count >= PROOFS[name].least
    if name == "kills":
        assert tally.seen["whole, 0 more"]
        assert tally.seen["whole, 1 more"]
    if name == "app kills":  # a kill before anything was said to be logged proves little
        assert sum(count for one, count in tally.seen.items() if one.startswith("some shown")) >= 40
    if name == "short writes":
        assert min(tally.seen[one] for one in ("entry not saved", "entry saved", "rescue rescued")) > 0


def test_a_file_that_was_moved_away_takes_no_entry() -> None:
    tally = movers(Trial(1))
    assert tally.bad == 0, tally.told
