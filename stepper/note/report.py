"""What `stepper check` says of a session, as JSON members and in a few lines of words."""

from __future__ import annotations

from collections.abc import Sequence

from stepper.case.gate import CLAUSES, shut
from stepper.case.judge import Standing, judge
from stepper.case.state import Case
from stepper.facts.entries import TOOTH
from stepper.facts.remarks import Remark, Weight
from stepper.facts.state import Canal
from stepper.facts.values import Absent, Why
from stepper.kinds.outcome import outcome_of
from stepper.kinds.reopening import reopened_by
from stepper.lines.refusal import visible
from stepper.note.afterwards import after_fill

Report = dict[str, object]
"""JSON-ready members."""


def session_report(
    name: str,
    case: Case | None,
    *,
    entries: int,
    head: str,
    damage: str | None,
    signed: bool = False,
    more: Sequence[Remark] = (),
) -> Report:
    """Report on a session file; `case` is None where its entries could not be read as one.

    `intact` is about the file alone: no damage. A report without a case has no canals and no remarks. `more` are
    remarks that rest on other files; `signed`: the last word of the record is a signature, and each one in it holds.
    """
    return {
        "file": name,
        "intact": damage is None,
        "damage": damage,
        "practice": case is not None and case.header.practice,
        "closed": case is not None and case.closed,
        "signed": signed,
        "head": head,
        "entries": entries,
        "canals": [_canal(case, canal) for canal in case.told.canals.values()] if case is not None else [],
        "remarks": [_remark(one) for one in (*_remarks(case), *more)] if case is not None else [],
        "sounds": case.sounds if case is not None else 0,
    }


def stops_standing(case: Case, more: Sequence[Remark] = ()) -> list[Remark]:
    """Give the stops that stand: those still open, those of facts outside the chain, and changes after a fill.

    Any of them makes `check` end with 1. A fact outside the chain keeps its stop until the record changes.
    """
    standing = (Standing.OPEN, Standing.OUTSIDE)
    found = [one.remark for one in judge(case) if one.remark.weight is Weight.STOP and one.standing in standing]
    return found + [remark for remark in (*after_fill(case), *more) if remark.weight is Weight.STOP]


def words_for(report: Report) -> str:
    """Say a report in a few lines."""
    state = [
        "intact" if report["intact"] else "DAMAGED",
        f"{report['entries']} entries",
        "closed" if report["closed"] else "not closed",
        "signed" if report["signed"] else "not signed",
        *(("PRACTICE",) if report["practice"] else ()),
    ]
    lines = [f"{report['file']}: {', '.join(state)}."]
    if report["damage"] is not None:
        lines.append(f"  {report['damage']}")
    lines += [f"  {_canal_words(one)}" for one in _tables(report["canals"])]
    weights = [str(one["weight"]) for one in _tables(report["remarks"])]
    counts = ", ".join(f"{weights.count(weight.value)} {weight.value}" for weight in Weight)
    lines.append(f"  remarks: {counts}; rang {report['sounds']} times.")
    return "\n".join(visible(line) for line in lines)


def _canal(case: Case, canal: Canal) -> Report:
    reasons = shut(case, canal.number)
    return {
        "number": canal.number,
        "name": canal.name,
        "outcome": outcome_of(case.told, canal.number),
        "gate_open": not reasons,
        "gate": {clause: clause not in reasons for clause in CLAUSES},
        "reopened": _reopened(case, canal.number),
        "owed": _owed(case, canal.number),
        "departures": [key for key in case.departures if _canal_of(key) in (TOOTH, canal.number)],
    }


def _reopened(case: Case, canal: int) -> list[str]:
    rests_on = case.protocol.rests_on
    steps = [step.id for step in case.protocol.step if step.scope == "C"]
    return [step for step in steps if reopened_by(case.told, rests_on, step, canal) is not None]


def _owed(case: Case, canal: int) -> list[str]:
    """Name what is owed for a canal or the tooth: remarks by their keys, questions and steps by their ids."""
    mine = (TOOTH, canal)
    found = [key for key in case.owed if _canal_of(key) in mine]
    for (step, number), rows in sorted(case.told.rows.items()):
        for row in rows if number in mine else ():
            owed = [name for name, fact in row.facts.items() if fact.value == Absent(why=Why.OWED)]
            found += [f"{step}.{name}" for name in owed]
    declared = sorted(case.told.declared.items())
    found += [step for (step, number), (how, _, _) in declared if how == "owed" and number in mine]
    return list(dict.fromkeys(found))


def _canal_of(key: str) -> int:
    """Read the canal out of a remark's key, `rule:canal:entries`; -1 where it is not one."""
    parts = key.split(":")
    return int(parts[1]) if len(parts) == 3 and parts[1].isdecimal() and parts[1].isascii() else -1


def _remarks(case: Case) -> list[Remark]:
    return [one.remark for one in judge(case)] + after_fill(case)


def _remark(remark: Remark) -> Report:
    return {
        "id": remark.rule,
        "weight": remark.weight.value,
        "canal": remark.canal,
        "entries": list(remark.evidence),
    }


def _canal_words(canal: Report) -> str:
    name = f"canal {canal['number']} {canal['name']}"
    outcome = canal["outcome"]
    if outcome is not None:
        return f"{name}: {str(outcome).replace('_', ' ')}."
    gate = canal["gate"]
    shut_for = [clause for clause, holds in gate.items() if not holds] if isinstance(gate, dict) else []
    return f"{name}: no outcome; gate {'shut: ' + ', '.join(shut_for) if shut_for else 'open'}."


def _tables(value: object) -> list[Report]:
    return [one for one in value if isinstance(one, dict)] if isinstance(value, list) else []
