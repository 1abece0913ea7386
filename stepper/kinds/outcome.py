"""How a canal ended, as far as the record tells."""

from __future__ import annotations

from stepper.facts.state import Canal, View
from stepper.facts.values import Choice

FILLED = "filled"
FILLED_OUTSIDE = "filled_outside"
DRESSED = "dressed"
JOINS = "joins"
GIVEN_UP = frozenset({"blocked", "fragment"})
"""Outcomes of a canal that was worked in and not filled."""
ENDED = frozenset({"not_treated", "blocked", "fragment"})
"""What may be stated of a canal that is not gone on with at another visit."""
FINAL = ENDED | {FILLED, FILLED_OUTSIDE, JOINS}
"""The outcomes after which a canal is not gone on with at another visit."""


def outcome_of(view: View, number: int) -> str | None:
    """Tell the outcome of a canal, or None while there is none.

    The fill and what the gate said of it come first, since they are what happened; then what was stated at closing. How
    it ended at an earlier visit stands, if that is final, until something is done in the canal today.
    """
    canal = view.canals[number]
    if canal.fill is not None:
        return FILLED if canal.fill.gate_open else FILLED_OUTSIDE
    if canal.joins is not None:
        return JOINS
    stated = view.role("outcome", number)
    if stated is not None and isinstance(stated.value, Choice):
        return stated.value.options[0]
    if view.role("dressing", number) is not None:
        return DRESSED
    return canal.carried.outcome if canal.carried is not None and not treated(view, number) else None


def without_outcome(view: View) -> list[Canal]:
    """Give the canals that have no outcome."""
    return [canal for number, canal in view.canals.items() if outcome_of(view, number) is None]


def treated(view: View, number: int) -> bool:
    """Tell whether anything was done in a canal today."""
    canal = view.canals[number]
    return bool(canal.file_rows or canal.rinse_rows)
