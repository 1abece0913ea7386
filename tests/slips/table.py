"""The whole table of slips at questions."""

from __future__ import annotations

from tests.slips.amounts import AMOUNTS
from tests.slips.answers import ANSWERS
from tests.slips.canals import CANALS
from tests.slips.endings import ENDINGS
from tests.slips.measures import MEASURES
from tests.slips.shape import ReadBack, Slip

SLIPS: tuple[Slip, ...] = (*MEASURES, *AMOUNTS, *ANSWERS, *ENDINGS, *CANALS)

ONLY_READ_BACK = tuple(one for one in SLIPS if isinstance(one.follows, ReadBack) and not one.follows.rings)
"""Slips that no limit and no rule notices: plausible values. Nothing but the read-back stands against them."""
