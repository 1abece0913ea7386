"""Hypothesis plays with a session: entries, crashes, clocks, a second writer, bits turned over, in any order."""

from __future__ import annotations

from tests.campaign.proofs import PROOFS


def test_whatever_happens_the_file_holds_what_was_acknowledged() -> None:
    tally = PROOFS["state machine"].for_each_change()
    assert tally.bad == 0, tally.told
    assert tally.count >= PROOFS["state machine"].least
