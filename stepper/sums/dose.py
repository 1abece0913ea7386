"""The local anaesthetic forecast: what several agents come to together, before the next volume and after it.

Two ways of adding agents up. By shares: each agent's part of its own maximum, added. By the lowest maximum: all mg
together against the lowest of the maxima of the agents given ("keep the sum within the lower of the two maxima", rule
of the Handbook of Local Anesthesia, from memory), which is never less strict. Under both the vasoconstrictor is looked
at by itself: the share is at least that of its own limit. An agent's own maximum is the lowest of its maximum per kg of
body weight and its cap; one that is not listed is neither zero nor without bound: it is not known, and it is said so.

No maximum is kept here: the protocol or a column of `agents` brings them, with the label or handbook they are from.
Volumes are mL, doses mg, epinephrine is µg of the base; all are exact. Only a share is rounded, up, at its 28th digit,
and what is left, down, to a billionth of a mL: neither ever looks better than it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Context, Decimal
from fractions import Fraction
from typing import Literal

Method = Literal["shares", "lowest_maximum"]

METHODS: dict[Method, str] = {"shares": "by shares", "lowest_maximum": "by the lowest maximum"}
"""The two ways of adding agents up, in words."""

MOST_ML, MOST_KG = Decimal(1000), Decimal(1000)
"""More can be nothing but a slip."""

_FINEST = Decimal("1E-9")
_UP = Context(prec=28, rounding=ROUND_CEILING)


@dataclass(frozen=True)
class Agent:
    """A local anaesthetic as supplied. `strictly_below` holds for the cap: some labels say "below", not "up to".

    A maximum that is not listed is None. `source` says where the maxima are from.
    """

    id: str
    name: str
    mg_per_ml: Decimal
    max_mg_per_kg: Decimal | None
    max_mg: Decimal | None
    strictly_below: bool
    epinephrine_ug_per_ml: Decimal
    cartridge_ml: Decimal
    source: str = ""

    def __post_init__(self) -> None:
        above = [one for one in (self.mg_per_ml, self.cartridge_ml, self.max_mg_per_kg, self.max_mg) if one is not None]
        known = [*above, self.epinephrine_ug_per_ml]
        possible = all(one.is_finite() for one in known) and min(above) > 0 and self.epinephrine_ug_per_ml >= 0
        if not possible:
            raise ValueError(
                f"Agent {self.id}: strength, cartridge and maxima have to be above 0, epinephrine 0 or more; "
                "a maximum that is not listed is left out."
            )


@dataclass(frozen=True)
class Dose:
    """A volume of one agent in mL, given or about to be."""

    agent: Agent
    ml: Decimal

    def __post_init__(self) -> None:
        if not self.ml.is_finite() or not 0 <= self.ml <= MOST_ML or too_fine(self.ml):
            raise ValueError(
                f"{self.ml} mL is not allowed: a volume is 0 to {MOST_ML} mL, no finer than a billionth of a mL."
            )


@dataclass(frozen=True)
class Part:
    """What one agent came to: mL, mg, cartridges as supplied and µg of epinephrine.

    `maximum_mg` is the lowest of its own maxima, `basis` says which one that is, `strict` whether it has to stay below;
    `share` is the part of it used. They are empty where no maximum is known; `gap` says what could not be compared.
    """

    agent: Agent
    ml: Decimal
    mg: Decimal
    cartridges: Decimal
    epinephrine_ug: Decimal
    maximum_mg: Decimal | None
    strict: bool
    basis: str
    share: Decimal | None
    gap: str


@dataclass(frozen=True)
class Total:
    """What all agents come to. `parts` are one for each agent, in the order first given, also those of 0 mL.

    A share is 1 at the maximum; it is None where a maximum of an agent given is not known. `over` is told all the same
    where what is known is over already. `share_of_maximum` is at least the share of the epinephrine;
    `share_by_lowest_maximum` is of the agents' mg alone.
    """

    parts: tuple[Part, ...]
    weight_kg: Decimal | None
    mg: Decimal
    lowest_maximum_mg: Decimal | None
    share_of_maximum: Decimal | None
    share_by_lowest_maximum: Decimal | None
    drugs_over: frozenset[Method]
    epinephrine_ug: Decimal
    epinephrine_limit_ug: Decimal | None
    epinephrine_share: Decimal | None
    epinephrine_over: bool

    def share(self, method: Method) -> Decimal | None:
        """Give the share of the maximum by one of the two methods, at least that of the epinephrine."""
        share = self.share_of_maximum if method == "shares" else self.share_by_lowest_maximum
        return max(share, self.epinephrine_share or Decimal(0)) if share is not None else None

    def over(self, method: Method) -> bool:
        """Tell whether a maximum is passed: reaching it is allowed, except where a label says "below"."""
        return method in self.drugs_over or self.epinephrine_over

    @property
    def gaps(self) -> tuple[str, ...]:
        """Say what could not be compared."""
        return tuple(part.gap for part in self.parts if part.gap)


@dataclass(frozen=True)
class Forecast:
    """Where all agents stand before the next volume, and where they would stand after it."""

    coming: Dose
    before: Total
    after: Total

    def passes(self, method: Method) -> bool:
        """Tell whether the next volume would be over a maximum, or more of what is over already."""
        more_epinephrine = self.coming.agent.epinephrine_ug_per_ml > 0
        return method in self.after.drugs_over or (self.after.epinephrine_over and more_epinephrine)


def total(
    doses: Iterable[Dose], weight_kg: Decimal | None = None, epinephrine_limit_ug: Decimal | None = None
) -> Total:
    """Add up doses of one or more agents; their order does not matter.

    With the weight not known, maxima per kg are left out and `gaps` says so. Without a limit (µg) epinephrine is added
    up and held against nothing.

    Raises:
        ValueError: a weight or a limit that cannot be; a volume that cannot be is refused by `Dose`.

    """
    _check(weight_kg, epinephrine_limit_ug)
    volumes: dict[Agent, Decimal] = {}
    for dose in doses:
        volumes[dose.agent] = volumes.get(dose.agent, Decimal(0)) + dose.ml
    parts = tuple(_part(agent, ml, weight_kg) for agent, ml in volumes.items())
    given = [part for part in parts if part.ml]
    mg, epinephrine = sum((one.mg for one in parts), Decimal(0)), sum((one.epinephrine_ug for one in parts), Decimal(0))
    lowest, shares = lowest_of(given), shares_of(given)
    against_lowest = Fraction(mg) / Fraction(lowest[0]) if lowest is not None else Fraction(0)
    spent = Fraction(epinephrine) / Fraction(epinephrine_limit_ug) if epinephrine_limit_ug is not None else None
    known = all(part.maximum_mg is not None for part in given)
    return Total(
        parts=parts,
        weight_kg=weight_kg,
        mg=mg,
        lowest_maximum_mg=lowest[0] if lowest is not None and known else None,
        share_of_maximum=_decimal(max(shares, spent or Fraction(0))) if known else None,
        share_by_lowest_maximum=_decimal(against_lowest) if known else None,
        drugs_over=_over(shares, against_lowest, given),
        epinephrine_ug=epinephrine,
        epinephrine_limit_ug=epinephrine_limit_ug,
        epinephrine_share=_decimal(spent) if spent is not None else None,
        epinephrine_over=spent is not None and spent > 1,
    )


def forecast(
    given: Sequence[Dose], coming: Dose, weight_kg: Decimal | None, epinephrine_limit_ug: Decimal | None
) -> Forecast:
    """Foretell where all agents stand after one more volume. Raises as `total` does."""
    before = total(given, weight_kg, epinephrine_limit_ug)
    return Forecast(coming, before, total([*given, coming], weight_kg, epinephrine_limit_ug))


def percent(share: Decimal) -> int:
    """Give a share in whole per cent, rounded up: what is over the maximum never reads as 100."""
    return int((share * 100).to_integral_value(ROUND_CEILING))


def own_maximum(agent: Agent, weight_kg: Decimal | None) -> tuple[Decimal, bool] | None:
    """Give the lowest of an agent's own maxima in mg and whether doses have to stay below it, None if none is known."""
    by_weight = agent.max_mg_per_kg * weight_kg if agent.max_mg_per_kg is not None and weight_kg is not None else None
    if by_weight is not None and (agent.max_mg is None or by_weight < agent.max_mg):
        return by_weight, False
    return (agent.max_mg, agent.strictly_below) if agent.max_mg is not None else None


def lowest_of(parts: Iterable[Part]) -> tuple[Decimal, bool] | None:
    """Give the lowest of the maxima that are known, and whether one of those as low has to be stayed below."""
    maxima = [(part.maximum_mg, not part.strict) for part in parts if part.maximum_mg is not None]
    lowest = min(maxima, default=None)
    return (lowest[0], not lowest[1]) if lowest is not None else None


def shares_of(parts: Iterable[Part]) -> Fraction:
    """Add the shares of the agents whose maximum is known, exactly."""
    known = [(part.mg, part.maximum_mg) for part in parts if part.maximum_mg is not None]
    return sum((Fraction(mg) / Fraction(maximum) for mg, maximum in known), Fraction(0))


def too_fine(figure: Decimal) -> bool:
    """Tell whether a figure, at most some thousands, has digits beyond the billionth, which no measuring gives."""
    return figure.quantize(_FINEST) != figure


def _check(weight_kg: Decimal | None, epinephrine_limit_ug: Decimal | None) -> None:
    if weight_kg is not None and (not weight_kg.is_finite() or not 0 < weight_kg <= MOST_KG or too_fine(weight_kg)):
        raise ValueError(
            f"A weight of {weight_kg} kg is not allowed: a weight is above 0 and at most {MOST_KG} kg, "
            "no finer than a billionth of a kg."
        )
    if epinephrine_limit_ug is not None and (not epinephrine_limit_ug.is_finite() or epinephrine_limit_ug <= 0):
        raise ValueError(f"An epinephrine limit of {epinephrine_limit_ug} µg is not allowed: it is above 0 µg.")


def _part(agent: Agent, ml: Decimal, weight_kg: Decimal | None) -> Part:
    maximum, mg = own_maximum(agent, weight_kg), ml * agent.mg_per_ml
    amount, strict = maximum if maximum is not None else (None, False)
    return Part(
        agent=agent,
        ml=ml,
        mg=mg,
        cartridges=ml / agent.cartridge_ml,
        epinephrine_ug=ml * agent.epinephrine_ug_per_ml,
        maximum_mg=amount,
        strict=strict,
        basis=_basis(agent, amount, strict, weight_kg),
        share=_decimal(Fraction(mg) / Fraction(amount)) if amount is not None else None,
        gap=_gap(agent, weight_kg),
    )


def _over(shares: Fraction, against_lowest: Fraction, given: Sequence[Part]) -> frozenset[Method]:
    """Tell by which methods the drugs are over. One agent that has to stay below its cap makes the whole do so."""
    lowest, over = lowest_of(given), set[Method]()
    if shares > 1 or (shares == 1 and any(part.strict for part in given)):
        over.add("shares")
    if against_lowest > 1 or (against_lowest == 1 and lowest is not None and lowest[1]):
        over.add("lowest_maximum")
    return frozenset(over)


def _basis(agent: Agent, maximum_mg: Decimal | None, strict: bool, weight_kg: Decimal | None) -> str:
    """Say which of an agent's maxima is the lowest one."""
    if maximum_mg is None:
        return ""
    if maximum_mg == agent.max_mg:
        return f"cap, {'below' if strict else 'at most'} {maximum_mg.normalize():f} mg"
    return f"{agent.max_mg_per_kg} mg/kg at {weight_kg} kg"


def _gap(agent: Agent, weight_kg: Decimal | None) -> str:
    """Say what of an agent could not be compared."""
    by_weight = agent.max_mg_per_kg is not None
    if by_weight and weight_kg is None and agent.max_mg is not None:
        return f"Weight not known: of the maxima of {agent.name} the cap alone was compared."
    if by_weight and weight_kg is None:
        return f"Weight not known and no cap listed: no maximum of {agent.name} is known, none was compared."
    if not by_weight and agent.max_mg is None:
        return f"No maximum of {agent.name} is listed: none was compared."
    return ""


def _decimal(value: Fraction) -> Decimal:
    return _UP.divide(Decimal(value.numerator), Decimal(value.denominator))
