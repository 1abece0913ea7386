"""Local anaesthetic forecast against the maxima that the protocol names, all agents together."""

from typing import ClassVar

from stepper.facts.state import Row
from stepper.kinds.doses import DoseRule, DosesGiven, agent_of, as_supplied, doses_given, left_words, volume_of
from stepper.kinds.judging import Finding, Seen
from stepper.kinds.tables import Agent
from stepper.kinds.words import plain
from stepper.sums import dose as sums


class Dose(DoseRule, tag="dose", frozen=True):
    """Speaks when the volume about to be given would bring all agents together over a maximum.

    `weight_kg` is asked first; without it only caps count.
    Gaps: agent, mg and maximum (of this agent), share (of all, by the method), method, left (of this agent, before this
    volume), epinephrine (of all), source.
    """

    GAPS: ClassVar[frozenset[str]] = frozenset(
        {"agent", "mg", "maximum", "share", "method", "left", "epinephrine", "source"}
    )

    def on_row(self, seen: Seen, row: Row) -> Finding | None:
        """Add up all that was given before, and this."""
        agent, volume = agent_of(seen.tables, row.facts.get(self.agent)), volume_of(row.facts.get(self.volume_ml))
        if agent is None or volume is None:
            return None
        given, coming = doses_given(seen, [(row.step, self)], row), sums.Dose(as_supplied(agent), volume)
        found = sums.forecast(given.doses, coming, given.weight_kg, given.limit_ug(agent))
        return Finding(row.seqs, self._gaps(agent, given, found)) if found.passes(self.method) else None

    def _gaps(self, agent: Agent, given: DosesGiven, found: sums.Forecast) -> dict[str, str]:
        part = next(one for one in found.after.parts if one.agent == found.coming.agent)
        share, limit = found.after.share(self.method), found.after.epinephrine_limit_ug
        least = "at least " if given.at_least or found.after.gaps else ""
        of_limit = f" of at most {plain(limit)}" if limit is not None else ""
        return {
            "agent": agent.label,
            "mg": plain(part.mg),
            "maximum": "none known" if part.maximum_mg is None else plain(part.maximum_mg),
            "share": "unknown" if share is None else f"{least}{sums.percent(share)} %",
            "method": sums.METHODS[self.method],
            "left": left_words(found.before, found.coming.agent, self.method),
            "epinephrine": f"{plain(found.after.epinephrine_ug)}{of_limit} µg",
            "source": agent.source,
        }
