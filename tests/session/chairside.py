"""Gauging and shaping as the design's example has them, keyed at the chair; and what is shown then."""

from __future__ import annotations

from stepper.screens.page import page_rows
from stepper.screens.palette import DARK, Look
from stepper.session.view import ChairView
from tests.drive import Chair
from tests.screens.views import CLOCKS

BOTH = (
    "Round, straight canal assumed: narrowest width at length 0.28-0.44 mm. If the 35 was held at its tip: 0.28-0.37. "
    "A ledge, a curve, debris or an oval canal make both wrong."
)
"""As the design has it, word for word: 25/.06 cut to length, the 30 went there, the 35 stopped 0.5 mm short."""

DESIGNED = ("25/6-0", "", "30-0", "35-0.5")
CUT = ("", "25/4-0", "40/4-0", "")
COMPARED = (
    "40/.04 against the canal as gauged. Larger at length: unknown; if the 35 was held at its tip: yes. "
    "1 ISO size over 35. In the apical 3 mm: larger than what passed over 3 mm, of these unknown over 3 mm."
)
NEEDLE = "30 G in 40/.04: loose down to length (smallest cut). Protocol: 2 mm short."


def sums(view: ChairView) -> tuple[str, ...]:
    return view.prompt.sums


def page(chair: Chair, size: tuple[int, int] = (80, 24)) -> list[str]:
    rows = page_rows(chair.session.view(), CLOCKS, "", None, size, Look(DARK))
    assert len(rows) == size[1]
    assert {row.cell_length for row in rows} == {size[0]}
    return [row.text for row in rows]


def flat(rows: list[str]) -> str:
    """What stands right of the steps, in one line."""
    return " ".join(" ".join(row[24:] for row in rows).replace("▌", " ").split())


def to_cone(chair: Chair) -> ChairView:
    """From the declared 40/.04 to the blind question of its cone."""
    return chair.key("1**4**-2**31", "2**2**-2", "1**4**-2", "", "0**1", "", "1**11")
