"""What the local anaesthetic of the visit comes to, all agents together."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from stepper.kinds.computing import Computed, Result, result
from stepper.kinds.doses import DoseRule, DosesGiven, as_supplied, doses_given
from stepper.kinds.judging import Seen
from stepper.sums.dose import Total
from stepper.sums.dose_left import Left, left


def _of_total(pick: Callable[[Total], Decimal | None]) -> Callable[[Seen, int], Result | None]:
    def of(seen: Seen, canal: int) -> Result | None:  # noqa: ARG001 - the doses are the patient's
        given = doses_given(seen, seen.tables.rules_of(DoseRule))
        if not given.groups:
            return None
        return result(pick(given.total()), _entries(given))

    return of


def _left(pick: Callable[[Left], Decimal | int | None]) -> Callable[[Seen, int], Result | None]:
    """Give the least that is left of any agent that was given, by the protocol's method.

    None where an agent or a volume was not recorded: less is left than could be told.
    """

    def of(seen: Seen, canal: int) -> Result | None:  # noqa: ARG001 - the doses are the patient's
        given = doses_given(seen, seen.tables.rules_of(DoseRule))
        found = given.total()
        rests = [pick(left(found, as_supplied(agent), given.method)) for agent in given.agents]
        known = [rest for rest in rests if rest is not None]
        if given.at_least or not known:  # where what is left of one is not known, it is of none
            return None
        return result(min(known), _entries(given))

    return of


def _entries(given: DosesGiven) -> tuple[int, ...]:
    """Give the entries of the doses and of the weight."""
    doses = [seq for group in given.groups for seq in group.entries]
    return (*doses, *((given.weight.seq,) if given.weight is not None else ()))


def _percent(share: Decimal | None) -> Decimal | None:
    return share * 100 if share is not None else None


VALUES = (
    Computed(
        "dose_share_percent", "T", "%", "sum of the agents' shares", _of_total(lambda t: _percent(t.share_of_maximum))
    ),
    Computed(
        "dose_by_lowest_percent",
        "T",
        "%",
        "all agents' mg as a share of the lowest of their maxima",
        _of_total(lambda t: _percent(t.share_by_lowest_maximum)),
    ),
    Computed("dose_left_ml", "T", "mL", "the least that is left of an agent that was given", _left(lambda one: one.ml)),
    Computed("dose_left_cartridges", "T", "", "the same in whole cartridges", _left(lambda one: one.cartridges)),
    Computed("dose_mg", "T", "mg", "local anaesthetic in all", _of_total(lambda t: t.mg)),
    Computed("epinephrine_ug", "T", "µg", "epinephrine in all", _of_total(lambda t: t.epinephrine_ug)),
)
"""What was given comes to."""
