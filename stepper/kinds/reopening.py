"""Which finished steps are reopened, and by what.

A step rests on others (`rests_on` in the protocol: a step, or `step.purpose` for files of one purpose). It is reopened
when something it rests on happened after its own last row, or when a step that it rests on is itself reopened. So is a
step in which a length was agreed that is no longer in force, since its reference point broke.
"""

from __future__ import annotations

from collections.abc import Mapping

from stepper.facts.state import Place, View


def own_place(view: View, step: str, canal: int) -> Place | None:
    """Tell where the last row of a step stands, or None; what is asked once around the rows is no row."""
    return view.tally(step, canal).own


def reopened_by(view: View, rests_on: Mapping[str, tuple[str, ...]], step: str, canal: int) -> int | None:
    """Tell the entry that reopened a step for a canal, or None."""
    return _reopened(view, rests_on, step, canal, frozenset())


def _length_void(view: View, step: str, canal: int) -> int | None:
    """Give the entry that left a canal without a length although one was agreed in this step, or None."""
    known = view.canals.get(canal)
    if known is None or known.length is not None:
        return None
    agreed = [fact for row in view.rows_of(step, canal) if (fact := row.get("working_length")) is not None]
    if not agreed:
        return None
    reference = view.role("reference", canal)
    said = [agreed[-1], *([reference] if reference is not None else [])]
    return max(said, key=lambda fact: fact.place).seq


def _reopened(
    view: View, rests_on: Mapping[str, tuple[str, ...]], step: str, canal: int, path: frozenset[str]
) -> int | None:
    own = own_place(view, step, canal)
    if own is None or step in path:
        return None
    void = _length_void(view, step, canal)
    if void is not None:
        return void
    for base in rests_on.get(step, ()):
        touched = view.touched.get((base, canal)) or view.touched.get((base, 0))
        if touched is not None and touched[0] > own:
            return touched[1]
        under = _reopened(view, rests_on, base.partition(".")[0], canal, path | {step})
        if under is not None:
            return under
    return None
