"""The fill gate: whether a canal may be filled, as the record stands.

One rule over roles, in eight clauses (`CLAUSES`). It is open only when all of them hold for all that was told and also
for what is sure, so that late entries and keyed-wrong corrections can shut it at once and open it only when the
clinician has confirmed them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from stepper.case.alarms import allergies_met, dam_on, identity_open
from stepper.case.fit import (
    FIT_ROLES,
    cone_of,
    declared_outside,
    last_rows,
    master_file,
    matches,
    outdated,
    technique_of,
)
from stepper.case.judge import unanswered
from stepper.case.look import Look
from stepper.case.lots import lots
from stepper.case.state import Case
from stepper.facts.state import Place, Row, joined
from stepper.facts.values import Choice, Depth, Number
from stepper.kinds.tables import Sealer
from stepper.kinds.touched import NEVER, final_rinses, last_touch
from stepper.sums.clash import final_rinse_gap
from stepper.sums.envelope import Cut, reaches, same_size, wider_within
from stepper.sums.iso3630 import name

DRYING_ROLES = frozenset({"paper_point_depth", "dryness"})
"""What a drying measures."""

DRY = "dry"
"""The answer that needs no mm."""

Clause = Callable[[Look], str | None]
"""Gives the reason why it is shut, or None."""


def clear(look: Look) -> str | None:
    """Clause 1: the dam is on; no open stop on patient, tooth or allergy; the canal is not filled already."""
    if not dam_on(look.view):
        return "the dam is not on"
    if identity_open(look.seen):
        return "patient and tooth are not confirmed against the header"
    if any(True for _ in allergies_met(look.seen, look.protocol)):
        return "an allergy stands against something set up"
    if look.view.canals[look.canal].fill is not None:
        return "it is filled already"
    return None


def length(look: Look) -> str | None:
    """Clause 2: a working length is agreed and not void."""
    canal = look.view.canals[look.canal]
    if canal.length is not None:
        return None
    waits = canal.carried is not None and canal.carried.mm is not None
    return "the length is not confirmed today" if waits else "no working length is agreed"


def master_apical_file(look: Look) -> str | None:
    """Clause 3: the declared file was cut to length, and no file cut to length was wider over the apical span."""
    declared = master_file(look.view, look.canal)
    if declared is None:
        return "no master apical file is declared"
    fact, size = declared
    if declared_outside(look.view, look.canal, fact):
        return "the master apical file was declared outside the chain"
    if fact.place < look.measured:
        return "the length was measured anew since the master apical file was declared"
    limits, cuts = look.protocol.limits, _cuts_to_length(look)
    file = Cut(size.size, size.taper, Decimal(0))
    label = name(size.size, size.taper)
    if not any(same_size(cut, file) and reaches(cut, limits.at_length_mm) for cut, against in cuts if not against):
        return f"no file {label} was cut to length"
    at_length = [_at_length(cut, limits.at_length_mm) for cut, _ in cuts]
    wider = next((cut for cut in at_length if wider_within(cut, file, limits.span_mm)), None)
    return f"{name(wider.size, wider.taper)} was cut to length and is wider than {label}" if wider else None


def cone_fit(look: Look) -> str | None:
    """Clause 4: the last cone fit begun is complete, later than the last cut, and suits its technique and the file."""
    rows = last_rows(look.view, look.canal, FIT_ROLES)
    if not rows:
        return "no cone is fitted"
    return next((reason for row in rows if (reason := _fit(look, row)) is not None), None)


def _fit(look: Look, row: Row) -> str | None:
    technique = technique_of(look.view, look.protocol, look.canal)
    if technique is None:
        return "the technique is not said"
    if row.outside:
        return "the last cone fit is outside the chain"
    if outdated(look.view, row):
        return "a cut or a new length came after the cone fit"
    cone, declared = cone_of(row), master_file(look.view, look.canal)
    if cone is None or declared is None:
        return "there is no master apical file to compare the cone with"
    if not matches(technique, cone, declared[1]):
        file = name(declared[1].size, declared[1].taper)
        return f"the cone {name(cone.size, cone.taper)} does not match the master apical file {file}"
    return _fit_needs(row, technique.needs, technique.seat_within_mm)


def dry(look: Look) -> str | None:
    """Clause 5: the last drying is later than the last irrigant, file and length, and satisfies the sealer's limit."""
    rows = last_rows(look.view, look.canal, DRYING_ROLES)
    if not rows:
        return "the canal is not dried"
    return next((reason for row in rows if (reason := _dried(look, row)) is not None), None)


def _dried(look: Look, row: Row) -> str | None:
    fact = look.view.role("sealer", look.canal)
    sealer = look.protocol.by_id(fact.value.options[0]) if fact and isinstance(fact.value, Choice) else None
    if row.place < max(look.measured, last_touch(look.view, look.canal), _last_rinse(look)):
        return "a rinse, a file or a new length came after the drying"
    if not isinstance(sealer, Sealer):
        return "the sealer is not said"
    if row.outside:
        return "the drying is outside the chain"
    depth = row.get("paper_point_depth")
    within = look.protocol.limits.dry_within_mm
    if depth is None or not isinstance(depth.value, Depth) or depth.value.short_mm > within:
        return f"the paper point was not within {within:f} mm of length"
    found = row.options("dryness")
    if not found:
        return "how the paper point came out is not logged"
    if not set(found) <= set(sealer.dryness):
        return f"the paper point was {', '.join(found)}; {sealer.label} does not bear that"
    return None if found == (DRY,) else _damp(row, sealer)


def _damp(row: Row, sealer: Sealer) -> str | None:
    damp = row.get("damp_mm")
    if damp is None or not isinstance(damp.value, Number):
        return "how far up the paper point was damp is not logged"
    if damp.value.value > sealer.damp_max_mm:
        return f"{damp.value.value:f} mm of the point were damp; {sealer.label} bears {sealer.damp_max_mm:f}"
    return None


def rinse(look: Look) -> str | None:
    """Clause 6: the irrigants since the last cut contain what the final rinse needs."""
    used = [one.family for one in final_rinses(look.view, look.canal)]
    gap = final_rinse_gap(used, look.protocol.limits.final_rinse)
    return f"the final rinse lacks {', '.join(gap)}" if gap else None


def answered(look: Look) -> str | None:
    """Clause 8: no ask of this canal or of the tooth is unanswered; owed counts as unanswered."""
    left = unanswered(look.case, look.view, look.canal)
    return f"unanswered: {left[0].text}" if left else None


CLAUSES: dict[str, Clause] = {
    "clear": clear,
    "length": length,
    "master_apical_file": master_apical_file,
    "cone_fit": cone_fit,
    "dry": dry,
    "rinse": rinse,
    "lots": lots,
    "answered": answered,
}
"""The clauses of the gate by the names that `stepper check` reports."""


def shut(case: Case, canal: int) -> dict[str, str]:
    """Give each clause that does not hold, with its reason; empty means that the gate is open."""
    return dict(_reasons(case, canal))


def is_open(case: Case, canal: int) -> bool:
    """Tell whether every clause holds; the first that does not settles it."""
    return next(_reasons(case, canal), None) is None


def _reasons(case: Case, canal: int) -> Iterator[tuple[str, str]]:
    if canal not in case.told.canals:
        yield ("clear", "there is no such canal")
        return
    for clause, holds in CLAUSES.items():
        reason = holds(Look(case, case.told, canal))
        if reason is None and not sure_of(case, canal):
            reason = "the canal is in an entry that the clinician has not confirmed"
        elif reason is None and case.sure is not case.told:
            unsure = holds(Look(case, case.sure, canal))
            reason = None if unsure is None else f"without what the clinician has not confirmed: {unsure}"
        if reason is not None:
            yield (clause, reason)


def sure_of(case: Case, canal: int) -> bool:
    """Tell whether a canal is there, under the same name, without what is not confirmed."""
    sure = case.sure.canals.get(canal)
    return sure is not None and sure.name == case.told.canals[canal].name


def _cuts_to_length(look: Look) -> list[tuple[Cut, bool]]:
    """Give the files cut to length or beyond, from the length in force, and whether each counts against the gate only.

    Where a file's absolute depth is not known (no length was in force, or its reference point broke), its distance as
    keyed can still shut the gate, but no longer open it.
    """
    within = look.protocol.limits.at_length_mm
    in_force = look.view.canals[look.canal].length
    cuts: list[tuple[Cut, bool]] = []
    for use in look.view.canals[look.canal].kinds_of_files:
        if use.purpose != "cut":
            continue
        known = in_force is not None and use.absolute_mm is not None
        short = in_force.mm - use.absolute_mm if in_force and use.absolute_mm is not None else use.short_mm
        if short <= within:
            cuts.append((Cut(use.size, use.taper, short), use.outside or not known))
    return cuts


def _at_length(cut: Cut, within_mm: Decimal) -> Cut:
    """Take a file that stopped within the limit, short or beyond, for one at length, as the declared one is taken."""
    return Cut(cut.size, cut.taper, Decimal(0) if cut.short_mm >= -within_mm else cut.short_mm)


def _fit_needs(row: Row, needs: tuple[str, ...], within: Decimal) -> str | None:
    cone = row.get("cone")
    measured = {fact.role: fact for fact in row.facts.values() if cone is not None and fact.place < cone.place}
    if any(role in measured for role in needs):
        return "the cone is another one than the one whose fit was measured"
    seat = row.get("seat")
    if "seat" in needs:
        if seat is None or not isinstance(seat.value, Depth):
            return "how far the cone went is not logged"
        if abs(seat.value.short_mm) > within:
            return f"the cone did not seat within {within:f} mm of length"
    if "tug_back" in needs and row.options("tug_back") != ("yes",):
        return "the cone has no tug-back, or it is not logged"
    if "cone_image" in needs and row.options("cone_image") != ("seated",):
        return "the image of the fitted cone does not show it seated, or is not logged"
    return None


def _last_rinse(look: Look) -> Place:
    rinses = [look.view.canals[number].rinses for number in joined(look.view, look.canal)]
    return max((found[-1].place for found in rinses if found), default=NEVER)
