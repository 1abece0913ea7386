"""A row for each canal: how it ended, with the figures that a reader looks for first."""

from __future__ import annotations

from stepper.case.carry_said import GAUGE
from stepper.case.fit import cone_of, last_fit, master_file, technique_of
from stepper.case.state import Case
from stepper.facts.entries import Carried, Joined
from stepper.facts.state import Canal
from stepper.facts.values import Instrument
from stepper.kinds.asking import show_absent
from stepper.kinds.gauged import gauged_row
from stepper.kinds.outcome import DRESSED, FILLED, FILLED_OUTSIDE, GIVEN_UP, JOINS, outcome_of, treated
from stepper.kinds.words import plain
from stepper.note.carried import EARLIER, ended_earlier
from stepper.note.level import level_of
from stepper.note.shape import OUTSIDE, Sentence, Table, rests_on
from stepper.note.words import canal_name, show
from stepper.sums.iso3630 import name

COLUMNS = (
    "Canal",
    "Outcome",
    "Working length",
    "Gauge at length",
    "Master apical file",
    "Cone",
    "Level of the fill",
)
NOT_TREATED = "not_treated"
NOT_RECORDED = "not recorded"
NOTHING = "-"
"""What stands in a cell of which nothing is expected, such as the cone of a canal that was dressed."""

Part = tuple[str, tuple[int, ...]]
"""Some words, and the entries they came from."""


def canal_table(case: Case) -> Table | None:
    """Give a row for each canal; None while no canal is known."""
    rows = tuple(_row(case, canal) for canal in case.told.canals.values())
    return Table(COLUMNS, rows) if rows else None


def _row(case: Case, canal: Canal) -> tuple[Sentence, ...]:
    outcome, earlier = outcome_of(case.told, canal.number), ended_earlier(case, canal.number)
    worked_in = (outcome is not None or treated(case.told, canal.number)) and not earlier
    filled = outcome in (FILLED, FILLED_OUTSIDE) and not earlier
    ended, entries = _ended(case, canal, outcome)
    figures = (
        (_length(case, canal), worked_in),
        (_gauge(case, canal), worked_in),
        (_master(case, canal), worked_in),
        (_cone(case, canal), filled),
        (_level(case, canal), filled),
    )
    return (
        Sentence(f"{canal.number} {canal.name}", rests_on(entries)),
        Sentence(ended, rests_on(entries), OUTSIDE if outcome == FILLED_OUTSIDE else ""),
        *(_cell(part, expected=expected and outcome != NOT_TREATED) for part, expected in figures),
    )


def _cell(part: Part, *, expected: bool) -> Sentence:
    text, entries = part
    return Sentence(text or (NOT_RECORDED if expected else NOTHING), rests_on(entries))


def _ended(case: Case, canal: Canal, outcome: str | None) -> Part:
    if outcome is None:
        return "no outcome is recorded", ()
    if canal.carried is not None and ended_earlier(case, canal.number):
        words = _labels(case, "outcome").get(outcome, outcome.replace("_", " "))
        ended = FILLED if outcome == FILLED_OUTSIDE else words
        return f"{ended}, {EARLIER}", (canal.carried.seq,)
    if outcome in (FILLED, FILLED_OUTSIDE) and canal.fill is not None:
        return FILLED, (canal.fill.seq,)
    if outcome == JOINS and canal.joins is not None:
        joins = [one for one in case.entries if isinstance(one, Carried | Joined) and one.canal == canal.number]
        where = f" at {plain(canal.join_at_mm)} mm" if canal.join_at_mm is not None else ""
        return f"joins {canal_name(case, canal.joins)}{where}", tuple(one.seq for one in joins[-1:])
    stated = case.told.role("outcome", canal.number) is not None
    told = [_by_role(case, canal.number, "outcome")] if stated else []
    if case.told.role("dressing", canal.number) is not None and (outcome in GIVEN_UP or not stated):
        material, seqs = _by_role(case, canal.number, "dressing")
        told += [(f"{DRESSED}, {material}", seqs)]
    return "; ".join(text for text, _ in told), tuple(seq for _, seqs in told for seq in seqs)


def _length(case: Case, canal: Canal) -> Part:
    if canal.length is None:
        if canal.carried is not None and canal.carried.mm is not None:
            return f"{plain(canal.carried.mm)} mm {EARLIER}, not agreed today", (canal.carried.seq,)
        keyed = case.told.role("working_length", canal.number)
        return ("none in force", (keyed.seq,)) if keyed is not None else _absent(case, canal.number, "working_length")
    told = f"{plain(canal.length.mm)} mm"
    if case.told.role("reference", canal.number) is None:
        return f"{told}, no reference point", (canal.length.seq,)
    reference, seqs = _by_role(case, canal.number, "reference")
    return f"{told} from the {reference}", (canal.length.seq, *seqs)


def _gauge(case: Case, canal: Canal) -> Part:
    gauged = gauged_row(case.told, canal.number, case.protocol.limits)
    gauge = gauged.get("gauge_file") if gauged is not None else None
    if gauge is None or not isinstance(gauge.value, Instrument):
        why = _absent(case, canal.number, "gauge_file")
        earlier = _gauged_earlier(case, canal)
        return (EARLIER, earlier) if earlier and not why[0] else why
    return name(gauge.value.size, gauge.value.taper), (gauge.seq,)


def _gauged_earlier(case: Case, canal: Canal) -> tuple[int, ...]:
    """Give the entry that carried over what an earlier visit told of gauging; its words stand among what is carried."""
    brought = case.entries[canal.carried.seq] if canal.carried is not None else None
    told = isinstance(brought, Carried) and any(one.about == GAUGE for one in brought.said)
    return (brought.seq,) if brought is not None and told else ()


def _master(case: Case, canal: Canal) -> Part:
    declared = master_file(case.told, canal.number)
    if declared is None:
        return _absent(case, canal.number, "master_apical_file")
    fact, size = declared
    earlier = f", {EARLIER}" if isinstance(case.entries[fact.seq], Carried) else ""
    return f"{name(size.size, size.taper)}{earlier}", (fact.seq,)


def _cone(case: Case, canal: Canal) -> Part:
    """Say the last cone fitted, and for which technique."""
    fit = last_fit(case.told, canal.number)
    cone = cone_of(fit) if fit is not None else None
    if fit is None or cone is None:
        return _absent(case, canal.number, "cone")
    technique, said = technique_of(case.told, case.protocol, canal.number), case.told.role("technique", canal.number)
    told = name(cone.size, cone.taper)
    if technique is None or said is None:
        return told, fit.seqs
    return f"{told}, {technique.label}", (*fit.seqs, said.seq)


def _level(case: Case, canal: Canal) -> Part:
    """Say how deep the fill came."""
    level = level_of(case, canal.number)
    return (show(case.protocol, level[0], level[1].value), (level[1].seq,)) if level is not None else ("", ())


def _labels(case: Case, role: str) -> dict[str, str]:
    """Give the words of the options of a role."""
    asked = [question for step in case.protocol.step for question in step.question if question.role == role]
    return {option.id: option.label for question in asked for option in question.options_of(case.protocol)}


def _by_role(case: Case, canal: int, role: str) -> Part:
    """Write the latest real fact of a role as its question shows it, else why there is none."""
    latest = case.told.role(role, canal)
    if latest is None:
        return _absent(case, canal, role)
    asked = [(step, question) for step in case.protocol.step for question in step.question if question.role == role]
    facts = ((question, case.told.fact(f"{step.id}.{question.id}", canal)) for step, question in asked)
    question = next((question for question, fact in facts if fact == latest), None)
    return show(case.protocol, question, latest.value), (latest.seq,)


def _absent(case: Case, canal: int, role: str) -> Part:
    """Say why there is no fact of a role, if that was said."""
    fact = case.told.by_role.get((role, canal))
    why = show_absent(fact.value) if fact is not None else None
    return (why, (fact.seq,)) if fact is not None and why is not None else ("", ())
