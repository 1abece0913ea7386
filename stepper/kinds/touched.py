"""Where something last was in a canal, or in the part that it shares with canals that join it."""

from __future__ import annotations

from itertools import takewhile

from stepper.facts.state import Place, Rinse, Row, View

NEVER: Place = (-1, 0, 0)
"""Before anything that happened."""


def last_touch(view: View, canal: int, purpose: str = "") -> Place:
    """Tell where a file last was in a canal or in the shared part of canals that join it; of one purpose, if given."""
    tags = [tag for tag in view.touched if tag[1] == canal and _of_file(tag[0], purpose)]
    carried = view.canals[canal].carried if canal in view.canals else None
    earlier = [use.place for use in carried.files if purpose in ("", use.purpose)] if carried is not None else []
    return max((*earlier, *(view.touched[tag][0] for tag in tags)), default=NEVER)


def final_rinses(view: View, canal: int) -> list[Rinse]:
    """Give the rinses of a canal since the last cut, without those outside the chain.

    What was rinsed through a canal that joins did not reach all of it.
    """
    last_cut = last_touch(view, canal, "cut")
    since = takewhile(lambda one: one.place > last_cut, reversed(view.canals[canal].rinses))
    return [one for one in since if not one.outside][::-1]


def activated(view: View, canal: int) -> list[Row]:
    """Give the rows of a canal in which a solution was activated, without those outside the chain."""
    rows = [row for row in view.rows_with("activation", canal) if not row.outside]
    return [row for row in rows if row.options("activation") not in ((), ("none",))]


def _of_file(tag: str, purpose: str) -> bool:
    """Tell whether a tag is a file's: they alone have a purpose behind a dot."""
    _, dot, found = tag.partition(".")
    return bool(dot) and purpose in ("", found)
