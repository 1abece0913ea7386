"""Local anaesthetic forecast against the maximum that the protocol names."""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar, Literal

from stepper.facts.state import Row
from stepper.facts.values import Choice
from stepper.kinds.judging import Finding, Rule, Seen, number_of
from stepper.kinds.shape import Name
from stepper.kinds.tables import Agent
from stepper.kinds.words import plain
from stepper.sums import dose as sums


class Dose(Rule):
    """Speaks when the volume about to be given would pass the agent's maximum.

    Gaps: agent, mg, maximum, share, source. `weight` is asked first; without it only the cap counts.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset({"agent", "mg", "maximum", "share", "source"})

    kind: Literal["dose"]
    agent: Name
    volume_ml: Name
    weight_kg: Name

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        return (self.agent, self.volume_ml, self.weight_kg)

    def on_row(self, seen: Seen, row: Row) -> Finding | None:
        """Add up what was given of the same agent before, and this."""
        agent, volume = self._agent(seen, row), number_of(row.facts.get(self.volume_ml))
        if agent is None or volume is None or volume < 0:
            return None
        earlier = [
            max(number_of(one.facts.get(self.volume_ml)) or Decimal(0), Decimal(0))
            for one in seen.view.rows_of(row.step, row.canal)
            if one.number < row.number and self._agent(seen, one) == agent
        ]
        weight = number_of(seen.view.fact(f"{row.step}.{self.weight_kg}", row.canal))
        weight = weight if weight is not None and weight > 0 else None
        known, before = as_supplied(agent), sum(earlier, Decimal(0))
        forecast = sums.forecast(known, before, volume, weight, agent.epinephrine_max_ug)
        if not forecast.over:
            return None
        gaps = {
            "agent": agent.label,
            "mg": plain(forecast.after_mg),
            "maximum": "none known" if forecast.maximum_mg is None else plain(forecast.maximum_mg),
            "share": "unknown" if forecast.share is None else f"{forecast.share * 100:.0f} %",
            "source": agent.source,
        }
        return Finding(row.seqs, gaps)

    def _agent(self, seen: Seen, row: Row) -> Agent | None:
        fact = row.facts.get(self.agent)
        item = seen.tables.by_id(fact.value.options[0]) if fact and isinstance(fact.value, Choice) else None
        return item if isinstance(item, Agent) else None


def as_supplied(agent: Agent) -> sums.Agent:
    """Give a stock entry as the sums take it."""
    return sums.Agent(
        id=agent.id,
        name=agent.label,
        mg_per_ml=agent.mg_per_ml,
        max_mg_per_kg=agent.max_mg_per_kg,
        max_mg=agent.max_mg,
        strictly_below=agent.strictly_below,
        epinephrine_ug_per_ml=agent.epinephrine_ug_per_ml,
        cartridge_ml=agent.cartridge_ml,
    )
