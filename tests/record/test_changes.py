"""Changes to session files, in numbers; test_verify.py tells what is said of single ones."""

from __future__ import annotations

import pytest

from tests.campaign.proofs import PROOFS


@pytest.mark.parametrize("name", ["cuts", "bit flips", "lines moved", "files swapped", "forged lines", "register"])
def test_no_change_goes_unseen(name: str) -> None:
    tally = PROOFS[name].for_each_change()
    assert tally.bad == 0, tally.told
    assert tally.count >= PROOFS[name].least
