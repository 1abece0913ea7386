"""Which finished steps are reopened, and by what.

A step rests on others (`rests_on` in the protocol: a step, or `step.purpose` for files of one purpose). It is reopened
when something it rests on happened after its own last row, or when a step that it rests on is itself reopened.
"""

from __future__ import annotations

from collections.abc import Mapping

from stepper.facts.state import FIRST, LAST, Place, View


def own_place(view: View, step: str, canal: int) -> Place | None:
    """Tell where the last row of a step stands, or None; what is asked once around the rows is no row."""
    rows = [row for row in view.rows_of(step, canal) if FIRST < row.number < LAST]
    return max((row.place for row in rows), default=None)


def reopened_by(view: View, rests_on: Mapping[str, tuple[str, ...]], step: str, canal: int) -> int | None:
    """Tell the entry that reopened a step for a canal, or None."""
    return _reopened(view, rests_on, step, canal, frozenset())


def _reopened(
    view: View, rests_on: Mapping[str, tuple[str, ...]], step: str, canal: int, path: frozenset[str]
) -> int | None:
    own = own_place(view, step, canal)
    if own is None or step in path:
        return None
    for base in rests_on.get(step, ()):
        touched = view.touched.get((base, canal)) or view.touched.get((base, 0))
        if touched is not None and touched[0] > own:
            return touched[1]
        under = _reopened(view, rests_on, base.partition(".")[0], canal, path | {step})
        if under is not None:
            return under
    return None
