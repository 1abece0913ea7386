"""When the clocks alone move on, their cells are painted; when the screen has to change with them, all of it is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from textual.geometry import Size

from stepper.screens.palette import DARK, Look
from stepper.screens.shown import Shown
from stepper.session.view import Clocks
from tests.screens.desks import FakeDesk
from tests.screens.views import CLOCKS, SHAPING


def ticked(clocks: Clocks) -> bool:
    """Whether cells alone were painted, after `CLOCKS`."""
    shown = Shown(FakeDesk(SHAPING))
    shown.clocks = CLOCKS
    return shown.ticked(clocks, None, Size(80, 24), Look(DARK)) is not None


def test_a_clock_that_runs_on_is_painted_alone() -> None:
    assert ticked(replace(CLOCKS, now="23:59"))


@pytest.mark.parametrize("change", [{"entry": 7}, {"away": True}, {"locked": True}])
def test_what_the_view_says_too_is_painted_whole(change: dict[str, object]) -> None:
    assert not ticked(replace(CLOCKS, now="23:59", **change))  # type: ignore[arg-type]
