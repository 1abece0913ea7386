"""Places in a visit to start a test from: what was keyed up to there, kept as a file and resumed, not keyed anew.

The visit is that of an upper central incisor with one canal, ready to be filled single cone to 35/.04. Person, chart
and lots are invented.
"""

from __future__ import annotations

import datetime as dt
import tempfile
from functools import cache
from pathlib import Path
from unittest.mock import patch

from stepper.session import typed_entries
from tests import drive
from tests.drive import START, Chair

DIAGNOSED = ("2**1**1**2**1**1**1**3**2**1", "27.2.2026**1")
TIMED_OUT = ("4711", "{tooth}", "{tooth}")
SET_UP = ("1**12.2027**501", "2**9.2027**502", "11**6.2027**503", "41**11.2028**504", "31**1.2028**505")
LABELLED = ("", "1**1")
NUMBED = ("74", "22**1.8**1**1", "", "1")
ISOLATED = ("1**1**{tooth}**1",)
OPENED = ("{tooth}**3", "1", "1**1")
MEASURED = ("22.5", "22**22**22**1**1", "")
FLARED = ("0/54-14", "")
GAUGED = ("30-0", "35-1**1", "")
SHAPED = ("25/4-0", "30/4-0", "35/4-0", "", "35/4")
RINSED = ("1**4**-2**31", "2**2**-2", "1**4**-2", "")
DRIED = ("0**1", "")
CHOSEN = ("1**11",)
FITTED = ("35/4", "0**1**1")
LOT = ("503",)
FILLED = ("1", "1", "-0.5**1", "")
SEALED = ("1**4**1**1**16.3.2026",)
COUNTED = ("1**1**1+3**1",)

VISIT: dict[str, tuple[str, ...]] = {
    "diagnosis": (),
    "time-out": DIAGNOSED,
    "set-up": TIMED_OUT,
    "labels": (*SET_UP, ""),
    "anaesthesia": ("1**1",),
    "isolation": NUMBED,
    "access": ISOLATED,
    "length": OPENED,
    "flare": MEASURED,
    "gauging": FLARED,
    "shaping": GAUGED,
    "irrigation": SHAPED,
    "drying": RINSED,
    "technique": DRIED,
    "cone": CHOSEN,
    "lot": FITTED,
    "fill": LOT,
    "coronal seal": FILLED,
    "closing": SEALED,
    "closed": COUNTED,
}
"""What is keyed to come to each place from the one before it. At `closed` only the closing itself is left."""

TWO_CANALS = ("{tooth}**3", "7+4", "1**1")
"""B is canal 1, P is canal 2."""
BOTH_MEASURED = ("12*22", "12*21**21**21**2**1")
THREE_CANALS = ("{tooth}**3", "2+5+11", "1**1")
"""MB is canal 1, ML is canal 2, D is canal 3."""

OTHER: dict[str, tuple[str, tuple[str, ...]]] = {
    "two canals": ("14", TWO_CANALS),
    "both measured": ("14", (*TWO_CANALS, *BOTH_MEASURED)),
    "three canals": ("36", THREE_CANALS),
    "access of a molar": ("36", ()),
}
"""Places with more canals, straight after the isolation: which tooth, and what was keyed from the access on."""


def keyed(station: str) -> tuple[str, tuple[str, ...]]:
    """The tooth, and every line from the opened session to a place."""
    tooth, more = OTHER.get(station, ("11", ()))
    order = list(VISIT)
    last = "access" if station in OTHER else station
    lines = [line for place in order[: order.index(last) + 1] for line in VISIT[place]]
    return tooth, tuple(line.replace("{tooth}", tooth) for line in (*lines, *more))


def rest(station: str, to: str = "closed") -> tuple[str, ...]:
    """Every line from one place of the plain visit to another."""
    order = list(VISIT)
    places = order[order.index(station) + 1 : order.index(to) + 1]
    return tuple(line.replace("{tooth}", "11") for place in places for line in VISIT[place])


@cache
def _kept(station: str) -> tuple[str, bytes, dt.datetime]:
    """A session keyed as far as a place and left there, once for each run: its name, what it holds, and the time then.

    Nothing rings and nothing waits on the way.
    """
    tooth, lines = keyed(station)
    with tempfile.TemporaryDirectory() as folder:
        chair = Chair(Path(folder) / "sessions")
        chair.open(tooth=tooth)
        chair.key(*lines)
        assert chair.bells == 0
        assert not chair.session.room.queue
        chair.session.leave()
        return chair.path.name, chair.path.read_bytes(), chair.clock.now().wall


_LOAD_FILE, _LOAD_TEXT = cache(drive.load_file), cache(typed_entries.load_text)


def seated(folder: Path, station: str) -> Chair:
    """A chair at a place of the visit, with a copy of that session open. The protocol is always the same: read once."""
    name, held, wall = _kept(station)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    (folder / name).write_bytes(held)
    with patch.object(drive, "load_file", _LOAD_FILE), patch.object(typed_entries, "load_text", _LOAD_TEXT):
        chair = Chair(folder, start=wall.astimezone(START.tzinfo))
        number = next(one.number for one in chair.lobby.view().prompt.choices if "4711" in one.text)
        chair.key(number)
    assert chair.lobby.session is not None
    return chair
