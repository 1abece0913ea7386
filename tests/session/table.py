"""All cases of the ways out, and one of each conversation."""

from __future__ import annotations

from tests.session.asks import ASKS
from tests.session.states import STATES
from tests.session.stops import ALARMS, GATE, STOPS
from tests.session.ways import Case

CASES: tuple[Case, ...] = (*ASKS, *ALARMS, *STOPS, *GATE, *STATES)

EACH_CONVERSATION: tuple[Case, ...] = tuple({case.mode: case for case in reversed(CASES)}.values())
"""The first case of each kind of conversation."""
