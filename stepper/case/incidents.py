"""What went wrong: which incidents nobody has named yet, and what is still asked about the others."""

from __future__ import annotations

from stepper.case.state import Case
from stepper.facts.entries import TOOTH
from stepper.facts.values import Absent, Choice, Why
from stepper.kinds.asking import holds
from stepper.kinds.union import AnyQuestion


def unnamed(case: Case) -> list[int]:
    """Give the incidents of which nobody has said yet what they were."""
    return [seq for seq, what in case.incidents.items() if what is None]


def canal_of(case: Case, seq: int) -> int:
    """Give the canal in which an incident was, 0 for the tooth: as told, else the one at hand when it was stamped."""
    return case.incident_in.get(seq, int(getattr(case.entries[seq], "canal", TOOTH)))


def open_details(case: Case, seq: int) -> tuple[AnyQuestion, ...]:
    """Give the questions about an incident that are open, those that wait for an earlier answer among them."""
    kind = case.protocol.incident_of(case.incidents.get(seq) or "")
    facts = {name: fact.value for name, fact in case.details.get(seq, {}).items()}
    owed = {name for name, value in facts.items() if value == Absent(why=Why.OWED)}
    left = tuple(one for one in kind.question if one.id not in facts or one.id in owed) if kind is not None else ()
    return left if any(holds(one, facts) for one in left) else ()


def half_told(case: Case) -> list[int]:
    """Give the incidents that are named and about which something is still asked."""
    return [seq for seq in case.incidents if open_details(case, seq)]


def mishap_in(case: Case, canal: int) -> bool:
    """Tell whether something went wrong in a canal after which it is asked how far it was treated."""
    return any(canal_of(case, seq) == canal and _asks_outcome(case, seq, what) for seq, what in case.incidents.items())


def _asks_outcome(case: Case, seq: int, what: str | None) -> bool:
    kind = case.protocol.incident_of(what or "")
    wanted = kind.asks_outcome if kind is not None else None
    fact = case.details.get(seq, {}).get(wanted.question) if wanted is not None else None
    chosen = fact.value.options if fact is not None and isinstance(fact.value, Choice) else ()
    return wanted is not None and bool(set(chosen) & set(wanted.any))
