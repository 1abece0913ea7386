"""The local anaesthetic forecast of one agent: what the next volume would bring the total to, before it is given.

Of the maxima that the protocol names (per kg of body weight, a cap, epinephrine) the lowest counts. A maximum that is
not listed is neither zero nor without bound: it is not known, and the forecast says so. No figure is kept here; the
protocol brings them, with the label or handbook that they come from.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal


@dataclass(frozen=True)
class Agent:
    """A local anaesthetic as supplied. `strictly_below` holds for the cap: some labels say "below", not "up to"."""

    id: str
    name: str
    mg_per_ml: Decimal
    max_mg_per_kg: Decimal | None
    max_mg: Decimal | None
    strictly_below: bool
    epinephrine_ug_per_ml: Decimal
    cartridge_ml: Decimal

    def __post_init__(self) -> None:
        figures = (self.mg_per_ml, self.cartridge_ml, self.max_mg_per_kg, self.max_mg)
        if any(figure is not None and figure <= 0 for figure in figures) or self.epinephrine_ug_per_ml < 0:
            raise ValueError(
                f"Agent {self.id}: strength, cartridge and maxima have to be above 0, epinephrine 0 or more; "
                "a maximum that is not listed is left out."
            )


@dataclass(frozen=True)
class Forecast:
    """Where one agent would stand after the next volume.

    `maximum_mg` is the lowest of the agent's own maxima, None where none is known; `share` is the part of it used,
    1 at the maximum. `over` and what is left count the epinephrine limit too; what is left is told after the next
    volume, None where nothing bounds it. Where the cap says "below", `left_ml` itself is already too much.
    """

    given_mg: Decimal
    after_mg: Decimal
    maximum_mg: Decimal | None
    share: Decimal | None
    epinephrine_ug: Decimal
    over: bool
    reasons: tuple[str, ...]
    cartridges_left: int | None
    left_ml: Decimal | None


@dataclass(frozen=True)
class Given:
    """What was given of one agent: mL, mg, cartridges as supplied and µg of epinephrine.

    `maximum_mg` is the lowest of the agent's own maxima and `basis` says which one it is; `share` is the part of it
    that was used. All three are empty where no maximum is known; `gaps` says what could not be compared.
    """

    ml: Decimal
    mg: Decimal
    cartridges: Decimal
    epinephrine_ug: Decimal
    maximum_mg: Decimal | None
    basis: str
    share: Decimal | None
    gaps: tuple[str, ...]


@dataclass(frozen=True)
class _Bound:
    """A maximum in `unit`, of a substance of which one mL holds `per_ml`; `what` says whose maximum it is."""

    what: str
    amount: Decimal
    unit: str
    per_ml: Decimal
    strict: bool = False

    def exceeded(self, ml: Decimal) -> bool:
        used = ml * self.per_ml
        return used > self.amount or (self.strict and used == self.amount)

    def left_ml(self, ml: Decimal) -> Decimal:
        return max(Decimal(0), self.amount - ml * self.per_ml) / self.per_ml

    def cartridges_left(self, ml: Decimal, cartridge_ml: Decimal) -> int:
        each = cartridge_ml * self.per_ml
        whole, rest = divmod(max(Decimal(0), self.amount - ml * self.per_ml), each)
        return int(whole) - 1 if self.strict and whole and not rest else int(whole)

    def sentence(self, ml: Decimal) -> str:
        limit = f"{'below' if self.strict else 'at most'} {_text(self.amount, ROUND_FLOOR)} {self.unit}"
        if self.exceeded(ml):
            used = f"{_text(ml * self.per_ml, ROUND_CEILING)} {self.unit}"
            return f"Over the {self.what}: {used}, where {limit} is allowed."
        return f"The {self.what}: {limit}."


def forecast(
    agent: Agent,
    given_ml: Decimal,
    next_ml: Decimal,
    weight_kg: Decimal | None,
    epinephrine_limit_ug: Decimal | None,
) -> Forecast:
    """Foretell where `agent` stands after `next_ml` more mL, `given_ml` having been given.

    With the weight not known, a maximum per kg is left out and `reasons` says so.

    Raises:
        ValueError: a negative volume, or a weight that is not above zero.

    """
    if given_ml < 0 or next_ml < 0:
        raise ValueError(f"{min(given_ml, next_ml)} mL is not allowed: a volume is 0 mL or more.")
    if weight_kg is not None and weight_kg <= 0:
        raise ValueError(f"A weight of {weight_kg} kg is not allowed: a weight is above 0 kg.")
    after_ml = given_ml + next_ml
    own = _own_bounds(agent, weight_kg)
    bounds = own + _epinephrine_bounds(agent, epinephrine_limit_ug)
    maximum_mg = min((bound.amount for bound in own), default=None)
    after_mg = after_ml * agent.mg_per_ml
    gaps = _unknown(agent, weight_kg)
    return Forecast(
        given_mg=given_ml * agent.mg_per_ml,
        after_mg=after_mg,
        maximum_mg=maximum_mg,
        share=None if maximum_mg is None else after_mg / maximum_mg,
        epinephrine_ug=after_ml * agent.epinephrine_ug_per_ml,
        over=any(bound.exceeded(after_ml) for bound in bounds),
        reasons=tuple(bound.sentence(after_ml) for bound in bounds) + gaps,
        cartridges_left=min((bound.cartridges_left(after_ml, agent.cartridge_ml) for bound in bounds), default=None),
        left_ml=min((bound.left_ml(after_ml) for bound in bounds), default=None),
    )


def given(agent: Agent, ml: Decimal, weight_kg: Decimal | None) -> Given:
    """Add up what `ml` mL of an agent came to, for a patient of `weight_kg` kg, None where that is not known.

    Raises:
        ValueError: a negative volume, or a weight that is not above zero.

    """
    known = forecast(agent, ml, Decimal(0), weight_kg, None)
    return Given(
        ml=ml,
        mg=known.given_mg,
        cartridges=ml / agent.cartridge_ml,
        epinephrine_ug=known.epinephrine_ug,
        maximum_mg=known.maximum_mg,
        basis="" if known.maximum_mg is None else _basis(agent, known.maximum_mg, weight_kg),
        share=known.share,
        gaps=_unknown(agent, weight_kg),
    )


def percent(share: Decimal) -> int:
    """Give a share in whole per cent, rounded up: what is over the maximum never reads as 100."""
    return int((share * 100).to_integral_value(ROUND_CEILING))


def total_share(parts: Iterable[Decimal | None]) -> Decimal | None:
    """Add the shares of several agents; None where one is not known, for it is not zero."""
    total = Decimal(0)
    for part in parts:
        if part is None:
            return None
        total += part
    return total


def _own_bounds(agent: Agent, weight_kg: Decimal | None) -> list[_Bound]:
    bounds: list[_Bound] = []
    if agent.max_mg_per_kg is not None and weight_kg is not None:
        what = f"maximum of {agent.name} by weight ({agent.max_mg_per_kg} mg/kg at {weight_kg} kg)"
        bounds.append(_Bound(what, agent.max_mg_per_kg * weight_kg, "mg", agent.mg_per_ml))
    if agent.max_mg is not None:
        bounds.append(_Bound(f"cap for {agent.name}", agent.max_mg, "mg", agent.mg_per_ml, agent.strictly_below))
    return bounds


def _basis(agent: Agent, maximum_mg: Decimal, weight_kg: Decimal | None) -> str:
    """Say which of an agent's maxima is the lowest one."""
    if agent.max_mg == maximum_mg:
        return f"cap, {'below' if agent.strictly_below else 'at most'} {_text(maximum_mg, ROUND_FLOOR)} mg"
    return f"{agent.max_mg_per_kg} mg/kg at {weight_kg} kg"


def _epinephrine_bounds(agent: Agent, limit_ug: Decimal | None) -> list[_Bound]:
    if limit_ug is None or not agent.epinephrine_ug_per_ml:
        return []
    return [_Bound("epinephrine limit", limit_ug, "µg", agent.epinephrine_ug_per_ml)]


def _unknown(agent: Agent, weight_kg: Decimal | None) -> tuple[str, ...]:
    """Say what could not be compared."""
    by_weight = agent.max_mg_per_kg is not None
    if by_weight and weight_kg is None and agent.max_mg is not None:
        return (f"Weight not known: of the maxima of {agent.name} the cap alone was compared.",)
    if by_weight and weight_kg is None:
        return (f"Weight not known and no cap listed: no maximum of {agent.name} is known, none was compared.",)
    if not by_weight and agent.max_mg is None:
        return (f"No maximum of {agent.name} is listed: none was compared.",)
    return ()


def _text(amount: Decimal, rounding: str) -> str:
    """Write an amount to hundredths at most; rounded so that what is over never reads as equal."""
    return format(amount.quantize(Decimal("0.01"), rounding).normalize(), "f")
