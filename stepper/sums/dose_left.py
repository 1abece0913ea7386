"""What is left of a local anaesthetic: how much of it may still be given, in mL and in whole cartridges.

By shares: what the agents given leave of 1, times the agent's own maximum. By the lowest maximum: what all mg together
leave of the lowest maximum, which the agent itself may lower. In either case no more than its epinephrine has room for.
Where a maximum that is needed is not known, what is left is not known. Sources as in `dose`.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from stepper.sums.dose import Agent, Dose, Method, Part, Total, forecast, lowest_of, percent, shares_of, total

_BILLION = 1_000_000_000


@dataclass(frozen=True)
class Left:
    """What may still be given of an agent: the most mL that pass nothing, and the whole cartridges in them.

    Both are 0 where a maximum is reached, None where one is not known. mL are rounded down to a billionth; where a
    maximum has to be stayed below, they are below it.
    """

    ml: Decimal | None
    cartridges: int | None


def left(given: Total, agent: Agent, method: Method) -> Left:
    """Tell what is left of an agent after all that was given, whether or not any was of this agent."""
    own = total([Dose(agent, Decimal(0))], given.weight_kg).parts[0]
    if own.maximum_mg is None or given.share(method) is None:
        return Left(None, None)
    parts = [*(part for part in given.parts if part.ml), own]
    room = _by_shares(parts, own) if method == "shares" else _by_lowest(parts, given.mg)
    most = _billionths(room / Fraction(agent.mg_per_ml), strict=_strict(parts, method))
    if agent.epinephrine_ug_per_ml and given.epinephrine_limit_ug is not None:
        spare_ug = Fraction(given.epinephrine_limit_ug) - Fraction(given.epinephrine_ug)
        most = min(most, _billionths(spare_ug / Fraction(agent.epinephrine_ug_per_ml), strict=False))
    most = max(0, most)
    return Left(Decimal(most) / _BILLION, floor(Fraction(most, _BILLION) / Fraction(agent.cartridge_ml)))


@dataclass(frozen=True)
class Outlook:
    """What is left of an agent before its next whole cartridge, and what all agents would come to after it."""

    left: Left
    after: Total


def outlook(given: Total, agent: Agent, method: Method) -> Outlook:
    """Tell what is left of an agent, and what its next whole cartridge would bring all of them to."""
    doses = [Dose(part.agent, part.ml) for part in given.parts]
    coming = Dose(agent, agent.cartridge_ml)
    after = forecast(doses, coming, given.weight_kg, given.epinephrine_limit_ug).after
    return Outlook(left(given, agent, method), after)


def reasons(found: Total, method: Method) -> tuple[str, ...]:
    """Say what is over by one method, a sentence each."""
    said: list[str] = []
    limit = "below" if _strict([part for part in found.parts if part.ml], method) else "at most"
    if method in found.drugs_over and found.share(method) is None:
        said.append("Over the maximum: what is known alone comes to more than is allowed.")
    elif method in found.drugs_over and method == "shares":
        used = percent(sum((part.share or Decimal(0) for part in found.parts), Decimal(0)))
        said.append(f"Over the maximum: the agents' shares come to {used} %, where {limit} 100 % is allowed.")
    elif method in found.drugs_over and found.lowest_maximum_mg is not None:
        amount = f"{found.lowest_maximum_mg.normalize():f} mg"
        said.append(f"Over the lowest maximum: {found.mg.normalize():f} mg, where {limit} {amount} is allowed.")
    if found.epinephrine_over and found.epinephrine_limit_ug is not None:
        used_ug, most_ug = (f"{one.normalize():f} µg" for one in (found.epinephrine_ug, found.epinephrine_limit_ug))
        said.append(f"Over the epinephrine limit: {used_ug}, where at most {most_ug} is allowed.")
    return tuple(said)


def _by_shares(parts: list[Part], own: Part) -> Fraction:
    """Give the mg of the agent that the others' shares and its own leave."""
    return (1 - shares_of(parts)) * Fraction(own.maximum_mg or 0)


def _by_lowest(parts: list[Part], given_mg: Decimal) -> Fraction:
    """Give the mg that are left of the lowest maximum."""
    lowest = lowest_of(parts)
    return Fraction(lowest[0] if lowest is not None else 0) - Fraction(given_mg)


def _strict(parts: list[Part], method: Method) -> bool:
    """Tell whether the whole has to stay below its maximum."""
    lowest = lowest_of(parts)
    return any(part.strict for part in parts) if method == "shares" else lowest is not None and lowest[1]


def _billionths(ml: Fraction, *, strict: bool) -> int:
    """Give the most billionths of a mL up to, or below, a volume."""
    return ceil(ml * _BILLION) - 1 if strict else floor(ml * _BILLION)
