"""Random lines that an assistant might key, from wherever the session is."""

from __future__ import annotations

import random
from pathlib import Path

from stepper.session.modes.closing import CloseVisit, Leave, VoidVisit
from tests.drive import Chair
from tests.session.plausible import answer, asking, listed, mode, question
from tests.session.stations import OTHER, VISIT, seated

STRAY = (
    "", "/", "//", "+", "++", "-", "--", "-/", "-.", ".", "*", "..", "2*", "1*", "5--", "3/--", "11/--", "4/-.", "1",
    "2", "3", "0", "9", "11", "12", "12*25/4-0", "0*35/4-0", "0*1**4**-2**31", "]d201040123", "1**1", "35/4", "30/4",
    "35/4-0", "25/4+1", "0**1", "0**3**2", "word", "30-0", "1.1", "99/", "1+2", "0*--", "1**", "35-", "22.5", "-1",
    "4**2**-2", "1**4**-1", "11**1.2026**503", "2*2", "1*2**17.5", "2*2*2", "]d21728053110L5",
)  # fmt: skip
"""Lines that mean something somewhere, wherever they are keyed."""


def a_line(draw: random.Random, chair: Chair) -> str:
    """The next line: mostly one that fits, now and then a stray one. The visit is ended only on purpose."""
    if isinstance(mode(chair), CloseVisit | Leave | VoidVisit):
        return draw.choice(("0", "1", "", "9"))
    if draw.random() < 0.2:
        return draw.choice((*STRAY, *(f"{number}/" for number in range(1, 18))))
    if not asking(chair):
        return draw.choice((*listed(chair), "0", "", "1**1", "-/"))
    asked = question(chair)
    return answer(chair, asked) if asked is not None and draw.random() < 0.85 else ""


def wander(draw: random.Random, folder: Path) -> tuple[Chair, str]:
    """A chair somewhere in a visit, and where."""
    station = draw.choice((*VISIT, *OTHER))
    return seated(folder / f"{draw.getrandbits(40)}", station), station
