"""Local anaesthetic as the record has it: what was given of each agent, and what is left of it.

Which questions hold agent, volume and weight is told by the protocol's dose rules. Every dose counts, whatever its
site: also one given earlier today elsewhere, and one given although something held it, for all of it is in the patient.
"""

import textwrap
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import ClassVar

from stepper.facts.entries import TOOTH
from stepper.facts.state import Fact, Row
from stepper.facts.values import Choice
from stepper.kinds.judging import Rule, Seen, number_of
from stepper.kinds.shape import Name, Place, Positive, Table
from stepper.kinds.tables import Agent, Tables
from stepper.kinds.words import plain
from stepper.sums import dose as sums
from stepper.sums.dose_left import Left, left, outlook

WIDE = 52
"""A forecast line is at most this wide; the first, with method and epinephrine limit, twice that."""

NO_BREAK = "\u00a0"


class Cardiac(Table, frozen=True):
    """Which answer says that epinephrine is limited as for a cardiac patient, and to how many µg."""

    question: Place
    any: tuple[Name, ...]
    epinephrine_max_ug: Positive


class DoseRule(Rule, frozen=True):
    """What a dose rule names: the questions of its step that hold agent, volume and weight, and how doses add up.

    `method` is how several agents are added up. `cardiac` names the answer that lowers the epinephrine limit.
    """

    READS: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "agent": ("choice",),
        "volume_ml": ("number",),
        "weight_kg": ("number",),
    }

    agent: Name
    volume_ml: Name
    weight_kg: Name
    method: sums.Method = "shares"
    cardiac: Cardiac | None = None

    def questions(self) -> tuple[str, ...]:
        """Name what it reads."""
        asked = (self.agent, self.volume_ml, self.weight_kg)
        return (*asked, self.cardiac.question) if self.cardiac is not None else asked


@dataclass(slots=True)
class Group:
    """The volumes of one agent in mL, the entries they come from, and how often no volume was recorded.

    Without an agent it holds what nobody knows what it was.
    """

    agent: Agent | None
    volumes: list[Decimal] = field(default_factory=list)
    entries: list[int] = field(default_factory=list)
    without: int = 0

    @property
    def ml(self) -> Decimal:
        """All of it together."""
        return sum(self.volumes, Decimal(0))


@dataclass(frozen=True, slots=True)
class DosesGiven:
    """What was given, agents in the order first given.

    `cardiac` is the answer that says so of the patient, with `cardiac_max_ug`; None of any other patient.
    """

    groups: tuple[Group, ...]
    weight_kg: Decimal | None
    weight: Fact | None
    cardiac: Fact | None
    cardiac_max_ug: Decimal | None
    method: sums.Method

    @property
    def agents(self) -> tuple[Agent, ...]:
        """The agents given."""
        return tuple(group.agent for group in self.groups if group.agent is not None)

    @property
    def doses(self) -> tuple[sums.Dose, ...]:
        """The doses as the sums take them: those of an agent and a volume that are known."""
        known = [(group.agent, group.volumes) for group in self.groups if group.agent is not None]
        return tuple(sums.Dose(as_supplied(agent), ml) for agent, volumes in known for ml in volumes or (Decimal(0),))

    @property
    def at_least(self) -> bool:
        """Whether more was given than can be added up."""
        return any(group.agent is None or group.without for group in self.groups)

    def limit_ug(self, *more: Agent) -> Decimal | None:
        """Give the epinephrine limit in µg: the lowest of the agents given and `more`, or a cardiac patient's."""
        named = [one.epinephrine_max_ug for one in (*self.agents, *more) if one.epinephrine_ug_per_ml]
        return min((one for one in (*named, self.cardiac_max_ug) if one is not None), default=None)

    def total(self, *more: Agent) -> sums.Total:
        """Add up what was given, under the limit that holds if `more` are given next."""
        return sums.total(self.doses, self.weight_kg, self.limit_ug(*more))


def doses_given(seen: Seen, rules: Sequence[tuple[str, DoseRule]], before: Row | None = None) -> DosesGiven:
    """Read what was given in the steps of these dose rules (step id and rule; the first rule's method counts).

    `before` leaves out a row that is being judged, and what happened after its volume; an answer that it holds itself,
    such as the weight, counts.
    """
    groups: dict[str, Group] = {}
    for rule, row in _rows(seen, rules, before):
        agent, volume = agent_of(seen.tables, row.facts.get(rule.agent)), row.facts.get(rule.volume_ml)
        ml = volume_of(volume)
        if agent is None and ml is None:
            continue
        group = groups.setdefault(agent.id if agent is not None else "", Group(agent))
        group.entries += [fact.seq for fact in (row.facts.get(rule.agent), volume) if fact is not None]
        group.volumes += [ml] if ml is not None else []
        group.without += ml is None
    weight = _weight(seen, rules, before)
    found = [_cardiac(seen, rule.cardiac, before) for _, rule in rules if rule.cardiac is not None]
    cardiac = min((one for one in found if one is not None), key=lambda one: one[0], default=None)
    return DosesGiven(
        groups=tuple(groups.values()),
        weight_kg=_kilograms(weight),
        weight=weight,
        cardiac=cardiac[1] if cardiac is not None else None,
        cardiac_max_ug=cardiac[0] if cardiac is not None else None,
        method=rules[0][1].method if rules else "shares",
    )


def forecast_lines(seen: Seen, rule: DoseRule, step: str, items: Iterable[str] = ()) -> tuple[str, ...]:
    """Say in at most three lines what was given so far, and what is left of each agent before the next cartridge.

    `items` are ids of stock that was set up today; agents among them are told of beside those given, the last given
    first. An agent is called by its stock number, which is what is keyed for it.
    """
    given = doses_given(seen, [(step, rule)])
    set_up = [one for one in map(seen.tables.by_id, items) if isinstance(one, Agent)]
    agents = list({one.id: one for one in (*reversed(given.agents), *set_up)}.values())
    so_far = given.total(*agents)
    if len(agents) <= 2:
        return (_so_far(given, so_far), *(_left_line(given, so_far, agent) for agent in agents))
    supplied = [as_supplied(agent) for agent in agents]
    rest = [(agent.number, left(so_far, one, given.method)) for agent, one in zip(agents, supplied, strict=True)]
    told = [
        f"{number}: {_in_ml(one, 10)} ({one.cartridges})" if one.ml is not None else f"{number}: ?"
        for number, one in rest
    ]
    most = "Left at most" if any(by_cap_alone(one, given.weight_kg) for one in supplied) else "Left"
    text = f"{most}, mL (cartridges): " + ", ".join(one.replace(" ", NO_BREAK) for one in told)
    packed = textwrap.wrap(text, WIDE, max_lines=2, placeholder=" and more")
    return (_so_far(given, so_far), *(line.replace(NO_BREAK, " ") for line in packed))


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
        source=agent.source,
    )


def agent_of(tables: Tables, fact: Fact | None) -> Agent | None:
    """Give the agent that a fact names."""
    item = tables.by_id(fact.value.options[0]) if fact is not None and isinstance(fact.value, Choice) else None
    return item if isinstance(item, Agent) else None


def volume_of(fact: Fact | None) -> Decimal | None:
    """Give a volume in mL; one that only a damaged or foreign log can hold is none."""
    ml = number_of(fact)
    return ml if ml is not None and 0 <= ml <= sums.MOST_ML and not sums.too_fine(ml) else None


def by_cap_alone(agent: sums.Agent, weight_kg: Decimal | None) -> bool:
    """Tell whether a maximum per kg is left out for want of a weight: what is left is then at most that."""
    return weight_kg is None and agent.max_mg_per_kg is not None


def left_words(found: sums.Total, agent: sums.Agent, method: sums.Method) -> str:
    """Say what is left of an agent: 8.65 mL, 4 cartridges. mL are rounded down."""
    rest = left(found, agent, method)
    if rest.ml is None:
        return "not known"
    most = "at most " if found.weight_kg is None and (found.gaps or by_cap_alone(agent, None)) else ""
    return f"{most}{_in_ml(rest)} mL, {_whole(rest)}"


def _whole(rest: Left) -> str:
    return f"{rest.cartridges} {'cartridge' if rest.cartridges == 1 else 'cartridges'}"


def _in_ml(rest: Left, parts: int = 100) -> str:
    """Write what is left in mL, rounded down to hundredths or where there is little room to tenths."""
    return plain(Decimal(int((rest.ml or Decimal(0)) * parts)) / parts)


def _so_far(given: DosesGiven, so_far: sums.Total) -> str:
    """Say what share was used, by the protocol's method."""
    limit = so_far.epinephrine_limit_ug
    most = f"; epinephrine at most {plain(limit)} µg." if limit is not None else "."
    if not given.groups:
        return f"Nothing given so far{most}"
    share = so_far.share(given.method)
    if share is None and so_far.over(given.method):
        return "So far over the maximum; the share is not known."
    if share is None:
        return f"So far: share not known{' without the weight' if given.weight_kg is None else ''}."
    words = "by shares" if given.method == "shares" else "by the lowest maximum"
    return f"{'At least' if given.at_least or so_far.gaps else 'So far'} {sums.percent(share)} % {words}{most}"


def _left_line(given: DosesGiven, so_far: sums.Total, agent: Agent) -> str:
    """Say what is left of an agent and what one more cartridge would bring the share to."""
    supplied = as_supplied(agent)
    rest = left(so_far, supplied, given.method)
    if rest.ml is None:
        return f"{agent.number}: what is left is not known."
    if so_far.gaps or by_cap_alone(supplied, given.weight_kg):
        return f"{agent.number}: no weight; at most {_in_ml(rest)} mL, {_whole(rest)}"
    after = outlook(so_far, supplied, given.method).after.share(given.method)
    return f"{agent.number}: {_in_ml(rest)} mL left, {_whole(rest)}, next makes {sums.percent(after or Decimal(0))} %"


def _rows(seen: Seen, rules: Sequence[tuple[str, DoseRule]], before: Row | None) -> list[tuple[DoseRule, Row]]:
    """Give the rows of these steps in the order in which they happened, for the tooth and every canal."""
    asked = dict(reversed(rules))  # of two rules of one step the first: the second would count the same volumes again
    found = [(asked[step], row) for (step, _), rows in seen.view.rows.items() if step in asked for row in rows]
    if before is not None:
        found = [(rule, row) for rule, row in found if _earlier(row, before, rule, asked[before.step])]
    return sorted(found, key=lambda pair: (pair[1].place, pair[1].number))


def _earlier(row: Row, before: Row, rule: DoseRule, own: DoseRule) -> bool:
    """Tell whether a row is another one, and its volume was said before that of the row that is being judged."""
    if (row.step, row.canal, row.number) == (before.step, before.canal, before.number):
        return False
    mine, other = before.facts.get(own.volume_ml), row.facts.get(rule.volume_ml)
    return (other.place if other else row.place) < (mine.place if mine else before.place)


def _weight(seen: Seen, rules: Sequence[tuple[str, DoseRule]], before: Row | None) -> Fact | None:
    """Give the latest word on the weight, also that there is none."""
    canals = {canal for _, canal in seen.view.rows}
    said = [seen.view.fact(f"{step}.{rule.weight_kg}", canal) for step, rule in rules for canal in canals]
    said += [before.facts.get(rule.weight_kg) for step, rule in rules if before is not None and before.step == step]
    return max((fact for fact in said if fact is not None), key=lambda fact: fact.place, default=None)


def _kilograms(fact: Fact | None) -> Decimal | None:
    kg = number_of(fact)
    return kg if kg is not None and 0 < kg <= sums.MOST_KG and not sums.too_fine(kg) else None


def _cardiac(seen: Seen, cardiac: Cardiac, before: Row | None) -> tuple[Decimal, Fact] | None:
    """Give a cardiac patient's limit and the answer that says so."""
    step, _, question = cardiac.question.partition(".")
    own = before.facts.get(question) if before is not None and before.step == step else None
    fact = own or seen.view.fact(cardiac.question, TOOTH)
    if fact is None or not isinstance(fact.value, Choice) or not set(fact.value.options) & set(cardiac.any):
        return None
    return cardiac.epinephrine_max_ug, fact
