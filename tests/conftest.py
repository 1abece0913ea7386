"""What every test may rely on."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.drive import Chair


@pytest.fixture(autouse=True)
def _chairs_are_left() -> Iterator[None]:
    """Close the files of the chairs that a test opened: a process has only so many."""
    before = len(Chair.made)
    yield
    for chair in Chair.made[before:]:
        chair.lobby.leave()
        if chair._last is not None:
            chair._last.leave()
    del Chair.made[before:]
