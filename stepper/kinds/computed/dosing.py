"""What the local anaesthetic of the visit comes to, all agents together."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from stepper.kinds.computing import Computed, Found, Result, picked
from stepper.kinds.doses import DoseRule, DosesGiven, as_supplied, doses_given
from stepper.kinds.judging import Seen
from stepper.sums.dose import Total
from stepper.sums.dose_left import Left, left


def _total(seen: Seen, canal: int) -> Found[Total] | None:  # noqa: ARG001 - the doses are the patient's
    given = doses_given(seen, seen.tables.rules_of(DoseRule))
    return (given.total(), _entries(given)) if given.groups else None


def _rests(seen: Seen, canal: int) -> Found[list[Left]] | None:  # noqa: ARG001 - the doses are the patient's
    """Give what is left of each agent that was given, by the protocol's method.

    None where an agent or a volume was not recorded, for less is left than could be told; and where what is left of
    one is not known, for then it is of none.
    """
    given = doses_given(seen, seen.tables.rules_of(DoseRule))
    found = given.total()
    rests = [left(found, as_supplied(agent), given.method) for agent in given.agents]
    if given.at_least or not rests or any(rest.ml is None for rest in rests):
        return None
    return rests, _entries(given)


def _of_total(pick: Callable[[Total], Decimal | None]) -> Callable[[Seen, int], Result | None]:
    return picked(_total, pick)


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
    Computed(
        "dose_left_ml",
        "T",
        "mL",
        "the least that is left of an agent that was given",
        picked(_rests, lambda all_of: min(rest.ml or Decimal(0) for rest in all_of)),
    ),
    Computed(
        "dose_left_cartridges",
        "T",
        "",
        "the same in whole cartridges",
        picked(_rests, lambda all_of: min(rest.cartridges or 0 for rest in all_of)),
    ),
    Computed("dose_mg", "T", "mg", "local anaesthetic in all", _of_total(lambda t: t.mg)),
    Computed("epinephrine_ug", "T", "µg", "epinephrine in all", _of_total(lambda t: t.epinephrine_ug)),
)
"""What was given comes to."""
