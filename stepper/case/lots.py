"""Clause 7 of the gate: whether the lots of what goes into the canal for good are in date."""

from __future__ import annotations

from stepper.case.look import Look
from stepper.facts.entries import TOOTH
from stepper.facts.remarks import Weight
from stepper.facts.state import Row
from stepper.facts.values import Choice, Expiry
from stepper.sums.expiry import expired


def lots(look: Look) -> str | None:
    """Clause 7: the lots of cones and sealer set up today are in date; an unknown expiry needs a spoken reason."""
    fact = look.view.role("sealer", look.canal)
    sealer = fact.value.options[0] if fact is not None and isinstance(fact.value, Choice) else ""
    if not sealer:
        return "no sealer is chosen"
    cones = {one.id for one in look.protocol.item if one.category == "cone"}
    for what, items in (("sealer", {sealer}), ("cones", cones)):
        rows = _set_up(look, items)
        if not rows:
            return f"the lot of the {what} is not set up"
        reason = next((reason for row in rows if (reason := _lot(look, row, what)) is not None), None)
        if reason is not None:
            return reason
    return None


def _lot(look: Look, row: Row, what: str) -> str | None:
    item = row.get("item")
    expiry = next((fact for fact in row.facts.values() if fact.role == "item_expiry"), None)
    if row.outside:
        return f"the lot of the {what} is outside the chain"
    if expiry is not None and item is not None and expiry.place < item.place:
        return f"the expiry of the {what} is not known"
    if expiry is None or not isinstance(expiry.value, Expiry):
        return None if _asked_and_passed(look, row) else f"the expiry of the {what} is not known"
    late = expired(expiry.value.year, expiry.value.month, look.case.today, expiry.value.day)
    return f"the lot of the {what} is expired" if late else None


def _set_up(look: Look, items: set[str]) -> list[Row]:
    """Give the last set-up row of each of some items: which of several boxes of cones is used is not known."""
    last: dict[str, Row] = {}
    for row in sorted(look.view.rows_with("item", TOOTH), key=lambda row: (row.place, row.number)):
        last.update(dict.fromkeys(items & set(row.options("item")), row))
    return list(last.values())


def _asked_and_passed(look: Look, row: Row) -> bool:
    """Tell whether an ask about this row's expiry was passed with a reason."""
    asks = [one for one in look.view.row_remarks.values() if one.step == row.step and one.weight is Weight.ASK]
    about = [one for one in asks if set(one.evidence) & set(row.seqs)]
    return bool(about) and all(one.key in look.case.departures for one in about)
