"""How often the files of the stock were used in a visit: one use is one canal, however often a file went into it."""

from __future__ import annotations

from stepper.facts.state import View
from stepper.sums.motion import Counted, Use, uses


def uses_of(view: View, stock: int, also: int | None = None) -> int:
    """Count the canals that a stock file was in, and with them one that it is about to go into."""
    today = [(mine.number, use) for mine in view.canals.values() for use in mine.file_rows.firsts]
    log = [Use(str(use.stock), "", view.tooth, str(number)) for number, use in today]
    if also is not None:
        log.append(Use(str(stock), "", view.tooth, str(also)))
    return uses(log, str(stock), Counted.CANAL)
